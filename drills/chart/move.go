package chart

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"surefret/drills/theory"
)

// Unkeyed is the error of what needs to know the key of a chart that does not say it.
var Unkeyed = errors.New("the chart does not say its key")

// Move returns the chart in another key, which is the one that sounds: every letter
// moves, and its spelling follows the new key. Numbers and numerals stay. A capo,
// 0 for none, is written, and the chords are then what the hand plays.
func (c Chart) Move(to theory.Key, capo int) (Chart, error) {
	if !c.Keyed {
		if c.has(Letters) {
			return c, Unkeyed
		}
		c.Key, c.Keyed = theory.Key{Tonic: c.Key.Tonic, Mode: c.Key.Mode}, true
	}
	if to.Mode.Minor() != c.Key.Mode.Minor() {
		return c, fmt.Errorf("a song in %s moves to another key, not to %s: give a %s key", c.Names.Key(c.Key), c.Names.Key(to), modeName(c.Key))
	}
	to.Mode = c.Key.Mode
	hand := to
	if capo != 0 {
		hand = theory.SimplestKey(to.Tonic.PitchClass()-capo+12, to.Mode, to.Signature() < 0)
	}
	v := view{from: c.Key, to: hand, unicode: c.unicode()}
	v.sounding, v.soundingTo, v.capo = c.Sounding(), to, capo
	moved := v.apply(c)
	moved.Key, moved.Capo = hand, capo
	moved.state("key", keyLike("", hand, c.Names))
	if capo != 0 {
		moved.state("capo", fmt.Sprint(capo))
	}
	return moved, nil
}

// state adds a fact that the chart does not say yet, behind those at its head.
func (c *Chart) state(field, value string) {
	at, first := 0, &c.Sections[0]
	for _, s := range c.Sections {
		if slices.ContainsFunc(s.lines, func(l songLine) bool { return l.kind == fieldLine && l.field == field }) {
			return
		}
	}
	for at < len(first.lines) && first.lines[at].kind == fieldLine {
		at++
	}
	label := strings.ToUpper(field[:1]) + field[1:] + ": "
	if c.Format == ChordPro {
		label = "{" + field + ": "
	}
	first.lines = slices.Insert(first.lines, at, songLine{kind: fieldLine, field: field, label: label, text: value})
}

func modeName(k theory.Key) string {
	if k.Mode.Minor() {
		return "minor"
	}
	return "major"
}

// Numbers returns the chart with its letters and numerals as numbers, which count
// from the major scale.
func (c Chart) Numbers() (Chart, error) {
	if !c.Keyed && c.has(Letters) {
		return c, Unkeyed
	}
	return c.seen(Numbers), nil
}

// Letters returns the chart with its numbers and numerals as letters.
func (c Chart) Letters() (Chart, error) {
	if !c.Keyed && (c.has(Numbers) || c.has(Romans)) {
		return c, Unkeyed
	}
	return c.seen(Letters), nil
}

// seen returns the chart with every chord in a notation.
func (c Chart) seen(in Notation) Chart {
	v := view{from: c.Key, to: c.Key, in: in, all: true, unicode: c.unicode()}
	v.sounding, v.soundingTo = c.Sounding(), c.Sounding()
	return v.apply(c)
}

// Named returns the chart with its letters in other names: a German B is Bb.
func (c Chart) Named(names theory.Names) Chart {
	if names == c.Names {
		return c
	}
	was := c.Names
	c = c.clone()
	c.Names = names
	for _, s := range c.Sections {
		for i, l := range s.lines {
			if l.kind == fieldLine && l.field == "key" {
				if k, err := was.ParseKey(l.text); err == nil {
					s.lines[i].text = keyLike(l.text, k, names)
				}
			}
			for j := range l.marks {
				if m := &l.marks[j]; m.kind == Chord && m.In == Letters {
					m.Text = m.letters(names.Note)
				}
			}
		}
	}
	return c
}

// letters writes a chord with the names of notes that are given, and its quality as it
// was written.
func (m Mark) letters(note func(theory.Note) string) string {
	text := note(m.chord.Root) + m.suffix
	if m.slash {
		text += "/" + note(m.chord.Bass())
	}
	return text
}

// has reports whether a chord of the chart is written in a notation.
func (c Chart) has(n Notation) bool {
	for _, s := range c.Sections {
		for _, l := range s.lines {
			for _, m := range l.marks {
				if m.kind == Chord && m.In == n {
					return true
				}
			}
		}
	}
	return false
}

// unicode reports whether the chart writes ♯ and ♭.
func (c Chart) unicode() bool {
	for _, s := range c.Sections {
		for _, l := range s.lines {
			for _, m := range l.marks {
				if m.kind == Chord && contains(strings.TrimSuffix(m.Text, m.suffix), "♯♭") {
					return true
				}
			}
		}
	}
	return false
}

// A view rewrites the chords of a chart: moved, or in another notation.
type view struct {
	from, to             theory.Key // the chart's key, and what becomes of it
	sounding, soundingTo theory.Key // the same with the capo
	capo                 int
	in                   Notation
	all                  bool // whether every chord is written in that notation
	unicode              bool
}

func (v view) apply(c Chart) Chart {
	c = c.clone()
	names := c.Names
	key, to := v.from, v.to // that hold where the view is
	later := c.laterKeys()
	for i := range c.Sections {
		lines := c.Sections[i].lines
		kept := lines[:0]
		for _, l := range lines {
			switch {
			case l.kind == fieldLine && l.field == "key":
				if own, ok := later(l); ok {
					key, to = own, v.follow(own)
					l.text = keyLike(l.text, to, names)
				} else if _, err := names.ParseKey(l.text); err == nil { // the one that sounds
					l.text = keyLike(l.text, v.soundingTo, names)
				}
			case l.kind == fieldLine && l.field == "capo" && !v.all:
				if v.capo == 0 {
					continue
				}
				l.text = capoLike(l.text, v.capo, to, names)
			}
			for j := range l.marks {
				m := &l.marks[j]
				m.tight = m.tight && !v.all // 4-5 would be one chord
				switch {
				case m.kind == Chord:
					v.write(m, key, to, names)
				case m.kind == endingMark && v.all && v.in == Numbers && m.Text[0] != '[':
					m.Text = "[" + m.Text // 1. would be a chord held
				}
			}
			kept = append(kept, l)
		}
		c.Sections[i].lines = kept
	}
	return c
}

// follow returns what becomes of a key of the chart, spelled with a signature.
func (v view) follow(k theory.Key) theory.Key {
	moved := theory.Key{Tonic: k.Tonic.Add(v.from.To(v.to)), Mode: k.Mode}
	if s := moved.Signature(); s < -7 || s > 7 {
		return theory.SimplestKey(moved.Tonic.PitchClass(), k.Mode, s < 0)
	}
	return moved
}

// write rewrites a chord.
func (v view) write(m *Mark, key, to theory.Key, names theory.Names) {
	in := m.In
	if v.all {
		in = v.in
	}
	before := m.chord
	n := key.Numeral(m.chord)
	m.chord = to.Chord(n)
	note := func(n theory.Note) string { return v.note(names, n) }
	switch {
	case in == Numbers && m.In != Numbers:
		m.Text, m.suffix, m.slash = numberOf(n), "", false
		if meterForm().MatchString(m.written()) {
			m.pre, m.post = "("+m.pre, m.post+")"
		}
	case in == Letters && m.In == Letters && m.chord != before:
		m.Text = m.letters(note)
	case in == Letters && m.In != Letters:
		m.suffix, m.slash = m.chord.Quality.String(), m.chord.Slashed()
		m.Text = m.letters(note)
	}
	m.In = in
}

// note writes a note as the chart writes its accidentals.
func (v view) note(names theory.Names, n theory.Note) string {
	text := names.Note(n)
	if v.unicode && names.System != theory.German && n.Alter != 0 {
		plain := names.Note(theory.Note{Letter: n.Letter})
		text = plain + strings.NewReplacer("#", "♯", "b", "♭").Replace(text[len(plain):])
	}
	return text
}

// keyLike writes a key as short or as long as another was written.
func keyLike(text string, k theory.Key, names theory.Names) string {
	if strings.Contains(strings.TrimSpace(text), " ") {
		return names.Key(k)
	}
	switch k.Mode {
	case theory.Major:
		return names.Note(k.Tonic)
	case theory.Minor:
		return names.Note(k.Tonic) + "m"
	}
	return names.Key(k)
}

// capoLike writes a capo as another was written.
func capoLike(text string, capo int, hand theory.Key, names theory.Names) string {
	parts := capoForm().FindStringSubmatch(text)
	if parts == nil || parts[2] == "" {
		return fmt.Sprint(capo)
	}
	return fmt.Sprintf("%d, play %s", capo, keyLike(parts[2], hand, names))
}
