package gig

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"surefret/drills/chart"
	"surefret/drills/theory"
)

// mostBars is how many bars one section of a song has; a longer one goes on in another
// of its name.
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
		if len(sounding.Chords(i)) == 0 {
			continue
		}
		for bars := range slices.Chunk(sounding.Bars(i), mostBars) {
			s.Sections = append(s.Sections, Section{Name: strings.TrimSpace(sec.Name), Chords: rowOf(bars)})
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
		fmt.Fprintf(&b, "Tempo: %d\n", s.Tempo)
	}
	for _, sec := range s.Sections {
		b.WriteString("\n")
		if sec.Name != "" {
			fmt.Fprintf(&b, "[%s]\n", sec.Name)
		}
		row, err := chart.ReadTyped(sec.Chords, o)
		if err != nil { // of an earlier program
			p, err := theory.ParseProgression(sec.Chords, o.Key)
			if err != nil {
				return "", err
			}
			b.WriteString(p.String() + "\n")
			continue
		}
		b.WriteString(row.String())
	}
	return b.String(), nil
}

// rowOf writes bars as a row of a chart, without what repeats them.
func rowOf(bars []chart.Bar) string {
	var b strings.Builder
	for _, bar := range bars {
		b.WriteString("| ")
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
	}
	return b.String() + "|"
}

// SongsCalled returns the songs that a player may mean by a title, in either case: those
// of that title, or else those whose title begins with it.
func SongsCalled(songs []Song, title string) []Song {
	title = strings.ToLower(strings.TrimSpace(title))
	var exact, begun []Song
	for _, s := range songs {
		switch t := strings.ToLower(s.Title); {
		case t == title || s.ID == title:
			exact = append(exact, s)
		case title != "" && strings.HasPrefix(t, title):
			begun = append(begun, s)
		}
	}
	if byID := slices.IndexFunc(exact, func(s Song) bool { return s.ID == title }); len(exact) > 1 && byID >= 0 && !strings.EqualFold(exact[byID].Title, title) {
		return exact[byID : byID+1]
	}
	if exact != nil {
		return exact
	}
	return begun
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
