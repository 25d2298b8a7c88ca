package chart

import (
	"slices"
	"strconv"
	"strings"

	"surefret/drills/theory"
)

// A Bar is one bar of a chart.
type Bar struct {
	Meter  Meter      // that holds in it; zero where the chart says none
	Key    theory.Key // that holds in it: the chart's, or one that it goes to on the way
	Beats  []Beat
	Ending string // "1" or "1,2" where an ending begins
	Opens  bool   // a repeat begins with it
	Closes int    // a repeat ends with it, which is played that often; else 0
	Same   bool   // it was written as a sign that repeats what came before
}

// A Beat is one beat of a bar, or a share of it where a bar says only its chords.
type Beat struct {
	Kind    Kind // Chord, Slash, Hold, Rest or NoChord
	Chord   theory.Chord
	Diamond bool // struck once, and rings
	Push    bool // comes half a beat early
	Mark    Mark // as it was written
}

// Bars returns the bars of a section. Where its lines have bar lines, these divide
// it; elsewhere each chord has a bar of its own, but those in one pair of brackets
// share one. A bar that only repeats others has their beats.
func (c Chart) Bars(section int) []Bar {
	b := barReader{meter: c.Time, key: c.Key, keys: c.laterKeys()}
	for _, before := range c.Sections[:section] {
		for _, l := range before.lines {
			b.changeKey(l)
		}
	}
	for _, l := range c.Sections[section].lines {
		b.line(l)
	}
	return b.bars
}

// Chords returns the chords of a section, bar by bar, each as often as it is written.
func (c Chart) Chords(section int) (p theory.Progression) {
	for _, b := range c.Bars(section) {
		for _, beat := range b.Beats {
			if beat.Kind == Chord {
				p = append(p, beat.Chord)
			}
		}
	}
	return p
}

// Source returns the section whose bars a section plays: itself, or where it only calls
// for an earlier one, as {chorus} does and a heading without music, that one.
func (c Chart) Source(section int) int {
	s := c.Sections[section]
	if slices.ContainsFunc(s.lines, func(l songLine) bool { return l.kind == musicLine || l.kind == sameLine }) {
		return section
	}
	for i := section - 1; i >= 0; i-- {
		before := c.Sections[i]
		called := s.Name != "" && strings.EqualFold(before.Name, s.Name) || s.recall() && (before.Kind == "chorus" || chorusForm().MatchString(before.Name))
		if called && len(c.Bars(i)) > 0 {
			return i
		}
	}
	return section
}

var chorusForm = formOf(`^(?i:chorus|refrain)\b`)

// Unfold plays the repeats of bars, and stops soon after most of them.
func Unfold(bars []Bar, most int) (played []Bar) {
	start, body, ending := 0, -1, 0 // where the repeat, its first ending and the last one begin
	for i, bar := range bars {
		if len(played) >= most {
			break
		}
		if bar.Opens {
			start, body = i, -1
		}
		if bar.Ending != "" {
			if ending = i; body < 0 {
				body = i
			}
		}
		played = append(played, bar)
		switch {
		case bar.Closes == 0:
		case body < 0:
			for range bar.Closes - 1 {
				played = append(played, bars[start:i+1]...)
			}
			start = i + 1
		default:
			for range len(strings.Split(bars[ending].Ending, ",")) - 1 {
				played = append(append(played, bars[start:body]...), bars[ending:i+1]...)
			}
			if i+1 < len(bars) && bars[i+1].Ending != "" {
				played = append(played, bars[start:body]...) // and on to the next ending
			} else {
				start, body = i+1, -1
			}
		}
	}
	return played
}

// A barReader makes bars of marks.
type barReader struct {
	bars  []Bar
	now   *Bar // the bar that is open; nil where the next beat begins one
	meter Meter
	key   theory.Key
	keys  func(songLine) (theory.Key, bool)
}

// changeKey takes the key of a line that says one.
func (b *barReader) changeKey(l songLine) {
	if l.kind == fieldLine && l.field == "key" {
		if k, ok := b.keys(l); ok {
			b.key = k
		}
	}
}

// laterKeys returns what reads the keys of a chart's lines in their order. The first one
// may be the key that sounds, in front of a capo, which no chord is written in.
func (c Chart) laterKeys() func(songLine) (theory.Key, bool) {
	first := true
	return func(l songLine) (theory.Key, bool) {
		k, err := c.Names.ParseKey(l.text)
		sounding := first && k != c.Key && k.Tonic.Enharmonic(c.Sounding().Tonic)
		first = first && err != nil
		return k, err == nil && !sounding
	}
}

// line adds a line of music.
func (b *barReader) line(l songLine) {
	b.changeKey(l)
	lined := slices.ContainsFunc(l.marks, func(m Mark) bool { return m.kind == barLine })
	first := len(b.bars)
	shared, joined, opens, blank := false, false, false, false
	ending := ""
	b.now = nil
	begin := func() {
		b.bars = append(b.bars, Bar{Meter: b.meter, Key: b.key, Opens: opens, Ending: ending})
		b.now, opens, ending = &b.bars[len(b.bars)-1], false, ""
	}
	for i, m := range l.marks {
		switch m.kind {
		case barLine:
			if strings.HasPrefix(m.Text, ":") && len(b.bars) > first {
				b.bars[len(b.bars)-1].Closes = 2
			}
			opens = opens || strings.HasSuffix(m.Text, ":")
			b.now, blank = nil, false
			if more := slices.ContainsFunc(l.marks[i+1:], isBeat); more && i > 0 && l.marks[i-1].kind == barLine {
				begin() // an empty bar
			}
		case endingMark:
			ending = strings.Trim(m.Text, "[.")
		case meterMark:
			b.meter, _ = parseMeter(m.Text)
			if b.now != nil && len(b.now.Beats) == 0 {
				b.now.Meter = b.meter
			}
		case timesMark:
			b.times(m, first)
		case togetherMark:
			joined = true
		case same1, same2:
			b.again(m, begin)
			blank = true // the cells behind it, as ChordPro has them
		case remark, joinMark:
		default:
			if blank && m.kind == Hold {
				continue
			}
			opensShare := strings.Contains(m.pre, "(") && !strings.Contains(m.post, ")")
			if b.now == nil || !lined && (m.kind == Chord || m.kind == NoChord) && !shared && !joined {
				begin()
			}
			joined = false
			shared = shared && !strings.Contains(m.post, ")") || opensShare
			b.now.Beats = append(b.now.Beats, beatsOf(m)...)
		}
	}
}

// isBeat reports whether a mark makes a bar.
func isBeat(m Mark) bool {
	switch m.kind {
	case barLine, endingMark, timesMark, meterMark, joinMark, togetherMark, remark:
		return false
	}
	return true
}

// again adds one bar that was played before, or two.
func (b *barReader) again(m Mark, begin func()) {
	n := 1
	if m.kind == same2 {
		n = 2
	}
	from := len(b.bars)
	for i := range n {
		begin()
		if at := from - n + i; at >= 0 {
			b.now.Beats, b.now.Same = b.bars[at].Beats, true
		}
	}
}

// times takes how often a repeat is played, or the line where there is none.
func (b *barReader) times(m Mark, first int) {
	n, _ := strconv.Atoi(strings.Trim(m.Text, "()xX×"))
	if len(b.bars) == first {
		return
	}
	last := &b.bars[len(b.bars)-1]
	if last.Closes == 0 {
		b.bars[first].Opens = true
	}
	last.Closes = n
}

// beatsOf returns the beats that a mark stands for: 1... is four, and // two.
func beatsOf(m Mark) []Beat {
	beats := []Beat{{Kind: m.kind, Chord: m.chord, Diamond: m.diamond(), Push: m.push(), Mark: m}}
	more := m.post
	if m.kind == Slash || m.kind == Hold {
		more = m.Text[1:]
	}
	for _, r := range more {
		switch r {
		case '.':
			beats = append(beats, Beat{Kind: Hold, Chord: m.chord})
		case '/':
			beats = append(beats, Beat{Kind: Slash, Chord: m.chord})
		}
	}
	return beats
}
