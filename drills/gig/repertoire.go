package gig

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"surefret/drills/chart"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// mostBars is how many bars a section has that is one of several, since it was too long.
const mostBars = 64

// FromChart makes a song of a chart and the text that it was read from: learned in the
// key in which it sounds, with a section for each that has chords. The error says
// what a song needs that the chart does not say.
func FromChart(c chart.Chart, text string) (Song, error) {
	if !c.Keyed {
		return Song{}, chart.Unkeyed
	}
	sounding, err := c.Named(theory.Names{}).Move(c.Sounding(), 0)
	if err != nil {
		return Song{}, err
	}
	s := Song{Title: c.Title, Learned: sounding.Key.Short(), Called: sounding.Key.Short(), Tempo: c.Tempo, Chart: text}
	for i, sec := range sounding.Sections {
		from := sounding.Source(i)
		if len(sounding.Chords(from)) > 0 {
			name := cmp.Or(strings.TrimSpace(sec.Name), strings.TrimSpace(sounding.Sections[from].Name))
			s.Sections = append(s.Sections, sectionsOf(name, sounding.Bars(from), max(sec.Times, 1))...)
		}
	}
	if len(s.Sections) == 0 {
		return s, fmt.Errorf("it has no chords")
	}
	return s, nil
}

// AsChart returns the chart of a song, in English names: the one that it was read
// from, or a row for each of its sections. The error says what cannot be read.
func (s Song) AsChart() (chart.Chart, error) {
	key, err := theory.ParseKey(s.Learned)
	if err != nil {
		return chart.Chart{}, err
	}
	name, text, o := "song.txt", s.Chart, chart.Options{Key: key, Keyed: true}
	switch {
	case text == "":
		if text, err = s.asText(o); err != nil {
			return chart.Chart{}, err
		}
		o = chart.Options{}
	case chart.FormatOf("", text) == chart.ChordPro:
		name = "song.cho"
	}
	charts, err := chart.Read(name, text, o)
	if err != nil {
		return chart.Chart{}, err
	}
	charts[0].Title = s.Title
	return charts[0], nil
}

// A Stretch is a section of a song as it is played.
type Stretch struct {
	Name     string
	Times    int         // how often it is played, 1 at least
	Recalled bool        // its bars stand in a section before, which it calls for
	Bars     []chart.Bar // as written, in the called key: [chart.Unfold] plays their repeats
}

// Stretches returns the sections of a song in the order in which they are played. The
// error says what cannot be read.
func (s Song) Stretches() ([]Stretch, error) {
	_, called, err := s.Keys()
	if err != nil {
		return nil, err
	}
	c, err := s.AsChart()
	if err == nil {
		c, err = c.Move(called, 0)
	}
	if err != nil {
		return nil, err
	}
	var all []Stretch
	for i, sec := range c.Sections {
		from := c.Source(i)
		if bars := c.Bars(from); len(bars) > 0 {
			name := cmp.Or(strings.TrimSpace(sec.Name), strings.TrimSpace(c.Sections[from].Name))
			all = append(all, Stretch{name, max(sec.Times, 1), from != i, bars})
		}
	}
	return all, nil
}

// asText writes a song that came from no chart as one.
func (s Song) asText(o chart.Options) (string, error) {
	var b strings.Builder
	fmt.Fprintf(&b, "Title: %s\nKey: %s\n", s.Title, s.Learned)
	if s.Tempo > 0 {
		fmt.Fprintf(&b, "Tempo: %g\n", s.Tempo)
	}
	for _, sec := range s.Sections {
		b.WriteString("\n")
		if sec.Name != "" {
			fmt.Fprintf(&b, "[%s]\n", sec.Name)
		}
		row, err := sec.row(o)
		if err != nil { // of an earlier program
			o := o
			o.Settled = true
			if row, err = sec.row(o); err == nil {
				row, err = row.Letters()
			}
		}
		if err != nil {
			return "", err
		}
		b.WriteString(row.String())
	}
	return b.String(), nil
}

// sectionsOf makes one section of bars that are played so many times, or where they are
// too many for one, sections of one name without repeats.
func sectionsOf(name string, bars []chart.Bar, times int) (all []Section) {
	if times > 1 && slices.ContainsFunc(bars, func(b chart.Bar) bool { return b.Opens || b.Closes > 0 }) {
		bars = unfolded(bars) // a repeat has none within
	}
	if row := rowOf(bars, times); len(row) <= longestChart {
		return []Section{{Name: name, Chords: row}}
	}
	for range times {
		for part := range slices.Chunk(unfolded(bars), mostBars) {
			all = append(all, Section{Name: name, Chords: rowOf(part, 1)})
		}
	}
	return all
}

// unfolded returns bars in the order in which they are played, without repeats.
func unfolded(bars []chart.Bar) []chart.Bar {
	bars = slices.Clone(chart.Unfold(bars, mostPlayed))
	for i := range bars {
		bars[i].Opens, bars[i].Closes, bars[i].Ending = false, 0, ""
	}
	return bars
}

// rowOf writes bars as a row of a chart with its repeats, played so many times.
func rowOf(bars []chart.Bar, times int) string {
	var b strings.Builder
	line := "|"
	for _, bar := range bars {
		if bar.Opens {
			line = strings.TrimSuffix(line, "|") + "|:"
		}
		b.WriteString(line + " ")
		if bar.Ending != "" {
			b.WriteString("[" + bar.Ending + ". ")
		}
		for _, beat := range bar.Beats {
			switch beat.Kind {
			case chart.Chord:
				b.WriteString(beat.Chord.String() + " ")
			case chart.Rest:
				b.WriteString("r ")
			case chart.NoChord:
				b.WriteString("N.C. ")
			default:
				b.WriteString(". ")
			}
		}
		line = "|"
		if bar.Closes > 0 {
			line = ":|"
		}
		if bar.Closes > 2 {
			line += fmt.Sprintf(" x%d |", bar.Closes)
		}
	}
	b.WriteString(line)
	if times > 1 {
		fmt.Fprintf(&b, " (x%d)", times)
	}
	return b.String()
}

// Turned returns a song in another key or notation: turn rewrites each section's chords,
// and the key is learned from then on. Its parts move along, on the neck.
func (s Song) Turned(to theory.Key, fb fretboard.Fretboard, turn func(chart.Chart) (chart.Chart, error)) (Song, error) {
	learned, _, err := s.Keys()
	if err != nil {
		return s, err
	}
	s.Sections, s.Parts = slices.Clone(s.Sections), slices.Clone(s.Parts)
	for i, sec := range s.Sections {
		row, err := sec.row(chart.Options{Key: learned, Keyed: true, Settled: true})
		if err == nil {
			row, err = turn(row)
		}
		if err != nil {
			return s, err
		}
		s.Sections[i].Chords = row.Row()
	}
	for i, p := range s.Parts {
		var sp SheetPart
		if err := sp.move(p, learned, to, fb, theory.Names{}); err != nil {
			return s, err
		}
		s.Parts[i].Tab = sp.Tab
	}
	s.Learned, s.Called, s.Chart = to.Short(), to.Short(), ""
	return s, nil
}

// SongsCalled returns the songs that a player may mean by a title, in either case: those
// of that title, or else those whose title begins with it, or else those with a later word
// that does.
func SongsCalled(songs []Song, title string) []Song {
	title = strings.ToLower(strings.TrimSpace(title))
	var exact, begun, within []Song
	for _, s := range songs {
		switch t := strings.ToLower(s.Title); {
		case t == title || s.ID == title:
			exact = append(exact, s)
		case title != "" && strings.HasPrefix(t, title):
			begun = append(begun, s)
		case title != "" && strings.Contains(t, " "+title):
			within = append(within, s)
		}
	}
	if byID := slices.IndexFunc(exact, func(s Song) bool { return s.ID == title }); len(exact) > 1 && byID >= 0 && !strings.EqualFold(exact[byID].Title, title) {
		return exact[byID : byID+1]
	}
	if exact != nil {
		return exact
	}
	if begun != nil {
		return begun
	}
	return within
}

// SetsOf returns the names of the gigs that a song of the repertoire is played at.
func SetsOf(gigs []Gig, id string) (names []string) {
	for _, g := range gigs {
		if slices.ContainsFunc(g.Songs, func(s Song) bool { return s.Stored && s.ID == id }) {
			names = append(names, g.Name)
		}
	}
	return names
}
