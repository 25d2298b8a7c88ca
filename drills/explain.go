package drills

import (
	"fmt"
	"slices"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// What a wrong answer is in truth, and the rule that gives the right one.

// whereNote tells a note from its landmark, and on the higher strings also from its
// octave on the strings where roots are looked for.
func (s Setup) whereNote(at fretboard.Position, note theory.Note) string {
	where := s.landmark(at, note)
	for _, p := range s.Neck.Places(s.Neck.MIDI(at) - 12) {
		if p.String == at.String+2 && p.Fret > 0 && at.Fret != 12 {
			where += fmt.Sprintf("; it is an octave above %s", say(p))
		}
	}
	return where
}

// isNote says which note a place gives.
func (s Setup) isNote(at fretboard.Position, flats bool) string {
	return s.gives(at, s.noteAt(at, flats))
}

// gives says that a place gives a note.
func (s Setup) gives(at fretboard.Position, n theory.Note) string {
	if at.Fret == 0 {
		return fmt.Sprintf("the open string %d is %s", at.String, s.Names.Note(n))
	}
	return fmt.Sprintf("fret %d is %s", at.Fret, s.Names.Note(n))
}

// instead says where a note that was given lies on the string of the place that was asked,
// the nearest to it. Behind a high capo the string may not have it.
func (s Setup) instead(given theory.Note, asked fretboard.Position) string {
	places := s.Neck.Find(given, asked.String)
	if len(places) == 0 {
		return fmt.Sprintf("string %d has no %s on this neck", asked.String, s.Names.Note(given))
	}
	if near := s.window(asked.String, places[0].Fret%12); len(near) > 0 { // where he practises
		places = near
	}
	return s.landmark(slices.MinFunc(places, func(a, b fretboard.Position) int { return abs(a.Fret-asked.Fret) - abs(b.Fret-asked.Fret) }), given)
}

func (s Setup) noteLesson(n theory.Note, places ...fretboard.Position) Lesson {
	where := sayFrets(places)
	switch {
	case places[0].Fret == 0 && len(places) == 1:
		where = "open"
	case places[0].Fret == 0:
		where = "open, and " + sayFrets(places[1:])
	}
	why := s.whereNote(places[0], n)
	if places[0].Fret == 0 {
		which := "open string"
		if s.Beginner && places[0].String == s.Neck.Tuning.Strings() {
			which = "thickest, open"
		}
		why = fmt.Sprintf("%s on string %d: the %s", s.Names.Note(n), places[0].String, which)
	}
	l := Lesson{Pattern: why, Here: fmt.Sprintf("String %d, %s", places[0].String, where)}
	if other := s.Neck.Pitch(places[0], n.Alter >= 0).Note; other != n {
		l.Here += fmt.Sprintf("; %s is the same note", s.Names.Note(other))
	}
	l.Marks = s.named(n, places...)
	return l
}

// named labels places with the name of the one note that they all give.
func (s Setup) named(n theory.Note, places ...fretboard.Position) []Mark {
	var marks []Mark
	for _, p := range places {
		marks = append(marks, Mark{p, s.Names.Note(n)})
	}
	return marks
}

// whichNotWanted says of places given for one note which of them is another, or which
// place of it is missing.
func (s Setup) whichNotWanted(given, right []fretboard.Position, n theory.Note) string {
	for _, p := range given {
		if s.Neck.MIDI(p)%12 != n.PitchClass() {
			return fmt.Sprintf("%s is %s", say(p), s.Names.Note(s.noteAt(p, n.Alter < 0)))
		}
	}
	for _, p := range given {
		if !slices.Contains(right, p) {
			return fmt.Sprintf("%s is %s, and lies beyond these frets", say(p), s.Names.Note(n))
		}
	}
	for _, p := range right {
		if !slices.Contains(given, p) {
			return fmt.Sprintf("%s is missing", say(p))
		}
	}
	return ""
}

// whereInterval says where an interval that was named would lie, from the same place.
func (s Setup) whereInterval(given theory.Interval, low, high fretboard.Position) string {
	name := aNamed(theory.Chromatic(abs(given.Semitones)))
	wide := s.Neck.MIDI(high) - s.Neck.MIDI(low)
	off := abs(given.Semitones) - abs(wide)
	at := fretboard.Position{String: high.String, Fret: high.Fret + off}
	if wide < 0 {
		at.Fret = high.Fret - off
	}
	if off%12 == 0 || !s.Neck.Has(at) {
		if abs(given.Semitones) >= 24 { // two octaves
			return fmt.Sprintf("%s are %s", name, wider(off))
		}
		return fmt.Sprintf("%s is %s", name, wider(off))
	}
	if at.Fret == 0 {
		return fmt.Sprintf("%s would be the open string %d", name, at.String)
	}
	return fmt.Sprintf("%s would be fret %d of string %d", name, at.Fret, at.String)
}

// wider says by how much an interval is too wide or too narrow.
func wider(by int) string {
	way := "wider"
	if by < 0 {
		way = "narrower"
	}
	if by%12 == 0 {
		return aNamed(theory.Chromatic(abs(by))) + " " + way
	}
	return halfSteps(abs(by)) + " " + way
}

// isInterval says which interval a given place makes with the one that was shown.
func (s Setup) isInterval(from, given, want fretboard.Position) string {
	fret := fmt.Sprintf("fret %d", given.Fret)
	if given.Fret == 0 {
		fret = "the open string"
	}
	if off := given.Fret - want.Fret; off%12 == 0 {
		return fmt.Sprintf("%s is the same note, %s too %s", fret, aNamed(theory.Chromatic(abs(off))), map[bool]string{true: "high", false: "low"}[off > 0])
	}
	return fmt.Sprintf("%s is %s", fret, sayInterval(s.Neck.MIDI(given)-s.Neck.MIDI(from)))
}

// orOctave is the rule, or the pattern of the octave where an answer was off by octaves
// alone: he knew the rule.
func (s Setup) orOctave(rule string, off int) string {
	if off%12 != 0 {
		return rule
	}
	return sentence(s.octaves())
}

// spelledPair labels two places with the names that their interval has: a minor third
// above F is A flat. Where nothing but some keys is asked, they spell.
func (s Setup) spelledPair(low, high fretboard.Position) []Mark {
	if s.OnlyKeys {
		return s.told(low, high)
	}
	iv := theory.Chromatic(s.Neck.MIDI(high) - s.Neck.MIDI(low))
	var best []theory.Note
	signs := func(notes []theory.Note) (n int) {
		for _, note := range notes {
			if n += abs(note.Alter); unsaid(note) || abs(note.Alter) > 1 {
				n += 4
			}
		}
		return n
	}
	for _, flats := range []bool{s.Flats, !s.Flats} {
		root := theory.FromMIDI(s.Neck.MIDI(low), flats).Note
		if notes := []theory.Note{root, root.Add(iv)}; best == nil || signs(notes) < signs(best) {
			best = notes
		}
	}
	return append(s.named(best[0], low), s.named(best[1], high)...)
}

func (s Setup) intervalLesson(low, high fretboard.Position) Lesson {
	marks := s.spelledPair(low, high)
	return Lesson{
		Pattern: s.patternRule(low, high),
		Here:    fmt.Sprintf("%s (%s) to %s (%s)", sentence(say(low)), marks[0].Label, say(high), marks[1].Label),
		Marks:   marks,
	}
}

// offBy says what a place gives that is so many half steps off the note wanted.
func (s Setup) offBy(given fretboard.Position, want theory.Note, off int) string {
	way := "high"
	if off < 0 {
		way = "low"
	}
	if off%12 == 0 {
		return fmt.Sprintf("%s is %s, %s too %s", say(given), s.sayTold(want), aNamed(theory.Chromatic(abs(off))), way)
	}
	return fmt.Sprintf("%s is %s, not %s", say(given), s.Names.Note(s.noteAt(given, want.Alter < 0 || want.Alter == 0 && s.Flats)), s.sayTold(want))
}
