package drills

import (
	"fmt"
	"slices"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// What a teacher says of a movable shape, and of one that was placed wrong.

// shapePattern says how a shape is built from its root, wherever it lies.
func (s Setup) shapePattern(r fretboard.Recipe) string {
	switch {
	case r.Family == "held tones":
		return s.heldPattern(r)
	case r.Kind == fretboard.KindInterval:
		high := r.Tones[len(r.Tones)-1]
		name := theory.Chromatic(high.Above.Semitones).Name()
		return sentence("the " + strings.TrimPrefix(name, "perfect ") + ": " + s.hops(r.Root, r.Root-high.String, high.Above.Semitones, false))
	case r.Kind == fretboard.KindScale:
		first := r.Tones[0]
		if r.Family != "pentatonic boxes" {
			return fmt.Sprintf("%s: %s", sentence(bare(r.Words)), s.tonesFrom(r))
		}
		return fmt.Sprintf("%s: two notes a string; its lowest note is %s, and its root is on string %d", sentence(strings.TrimSuffix(r.Words, ", two notes a string")), sayTone(first.Above), r.Root)
	}
	if open, ok := s.openForm(r); ok {
		return fmt.Sprintf("%s: the open %s moved up, a finger in place of the nut; its root is on string %d", sentence(bare(r.Words)), open, r.Root)
	}
	return fmt.Sprintf("%s: %s", sentence(bare(r.Words)), s.tonesFrom(r))
}

// bare is the name of a shape without what says where its root is.
func bare(words string) string {
	before, after, found := strings.Cut(words, ", root on string ")
	if _, more, on := strings.Cut(after, ", "); found && on {
		return before + ", " + more
	}
	return before
}

// tonesFrom says where the tones of a chord shape lie from its root.
func (s Setup) tonesFrom(r fretboard.Recipe) string {
	base := s.placedAt(r)
	root := fretboard.Position{String: r.Root, Fret: base.Fret}
	ways := []string{fmt.Sprintf("root on string %d", r.Root)}
	for _, n := range base.Notes {
		if n.String == r.Root && n.Fret == base.Fret || slices.Contains(r.Ringing, n.String) {
			continue
		}
		tone := sayTone(n.Above)
		if r.Symbol == "add9" && tone == "the major second" {
			tone = "the ninth" // wherever it lies
		}
		ways = append(ways, fmt.Sprintf("%s on string %d, %s", tone, n.String, sayUp(n.Fret-root.Fret)))
	}
	if r.Ringing != nil {
		ways = append(ways, sayStrings(r.Ringing)+" ring open")
	}
	return strings.Join(ways, "; ")
}

// placedAt lays a shape anywhere where a hand can hold it, to be measured.
func (s Setup) placedAt(r fretboard.Recipe) fretboard.Placement {
	for _, c := range []theory.Note{{Letter: theory.C}, {Letter: theory.F}, {Letter: theory.A}} {
		if all := s.playable(r, c); len(all) > 0 {
			return all[0]
		}
	}
	return r.At(s.Neck, theory.FromMIDI(s.Neck.MIDI(fretboard.Position{String: r.Root, Fret: 5}), s.Flats).Note, 5)
}

// sayTone names a tone of a chord: "the fifth", "the minor third".
func sayTone(above theory.Interval) string {
	switch iv := above.Simple(); {
	case iv.Semitones%12 == 0:
		return "the root"
	case above.Semitones < 0:
		up := above
		for up.Semitones < 0 {
			up = up.Plus(theory.Interval{Steps: 7, Semitones: 12})
		}
		return sayTone(up)
	default:
		return "the " + strings.TrimPrefix(iv.Name(), "perfect ")
	}
}

// openForm is the open chord that a form is made of: "Em7", where the guitar has it.
func (s Setup) openForm(r fretboard.Recipe) (string, bool) {
	letter, ok := strings.CutSuffix(r.Family, " form")
	if !ok || r.Root < 4 {
		return "", false
	}
	root, err := theory.ParseNote(letter)
	if err != nil {
		return "", false
	}
	c, ok := r.Chord(root)
	all := r.On(fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 12}, root)
	open := ok && len(all) > 0 && all[0].Playable() && slices.ContainsFunc(all[0].Notes, func(n fretboard.Held) bool { return n.Fret == 0 })
	return s.Names.Chord(c), open
}

// heldPattern says what stays and what moves.
func (s Setup) heldPattern(r fretboard.Recipe) string {
	tones := r.Tones
	below := tones[:len(tones)-1]
	stays := fmt.Sprintf("The keynote stays on string %d", r.Root)
	if strings.HasPrefix(r.Name, "held-1-5") {
		stays = fmt.Sprintf("Keynote and fifth stay on strings %d and %d", r.Root, tones[len(tones)-2].String)
		below = tones[:len(tones)-2]
	}
	return fmt.Sprintf("%s, and the bass moves to %s of the key on string %d", stays, sayTone(r.Over), below[0].String)
}

// shapeLesson shows a shape where it is placed.
func (s Setup) shapeLesson(p fretboard.Placement) Lesson {
	return Lesson{
		Pattern: s.shapePattern(p.Recipe),
		Here:    fmt.Sprintf("%s: %s", s.over(p.Recipe, p.Root), p),
		Marks:   s.drawn(p, true),
		Heard:   s.sounding(p),
	}
}

// isRoot says what a shape would be with its root at a fret that was given, where it can
// be played there.
func (s Setup) isRoot(r fretboard.Recipe, at fretboard.Position, flats bool) string {
	if r.Over != (theory.Interval{}) || r.Kind == fretboard.KindScale {
		return s.isNote(at, flats)
	}
	root := s.plainRoot(r, s.noteAt(at, flats))
	there := func(p fretboard.Placement) bool { return p.Fret == at.Fret }
	if over := s.over(r, root); over != s.Names.Note(root) && slices.ContainsFunc(s.playable(r, root), there) {
		return s.gives(at, root) + ": the shape there is " + over
	}
	return s.isNote(at, flats)
}

// isKey says which key a shape would be in with its root at a fret that was given,
// where it stands on the same number as in c.
func (s Setup) isKey(c call, at fretboard.Position, flats bool) string {
	up := theory.Between(theory.Pitch{Note: c.root, Octave: 4}, theory.Pitch{Note: c.key.Tonic, Octave: 4})
	tonic := s.noteAt(at, flats).Add(up)
	return fmt.Sprintf("fret %d would be the key of %s", at.Fret, s.Names.Note(theory.SimplestKey(tonic.PitchClass(), theory.Major, flats).Tonic))
}

// isShape says what was placed in the stead of a shape: the same a few frets away, or
// the first tone that differs from the placement it is nearest to.
func (s Setup) isShape(given []fretboard.Position, right []fretboard.Placement) (is string, octave bool) {
	same := func(p fretboard.Placement) (n int) {
		for _, at := range given {
			if slices.Contains(p.Positions(), at) {
				n++
			}
		}
		return n
	}
	want := slices.MaxFunc(right, func(a, b fretboard.Placement) int { return same(a) - same(b) })
	off, moved := 0, true
	for _, n := range want.Notes {
		i := slices.IndexFunc(given, func(at fretboard.Position) bool { return at.String == n.String })
		if i < 0 {
			return fmt.Sprintf("string %d is missing", n.String), false
		}
		if by := given[i].Fret - n.Fret; n.String == want.Notes[0].String {
			off = by
		} else {
			moved = moved && by == off
		}
	}
	r := want.Recipe
	if moved && off != 0 && r.Kind != fretboard.KindScale {
		root := s.plainRoot(r, s.noteAt(fretboard.Position{String: r.Root, Fret: max(0, want.Fret+off)}, want.Root.Alter < 0))
		return fmt.Sprintf("that is %s, %s too %s", s.over(r, root), frets(abs(off)), map[bool]string{true: "high", false: "low"}[off > 0]), false
	}
	for _, n := range want.Notes {
		if slices.Contains(given, n.Position) {
			continue
		}
		i := slices.IndexFunc(given, func(at fretboard.Position) bool { return at.String == n.String })
		by := given[i].Fret - n.Fret
		return s.offBy(given[i], n.Pitch.Note, by), by%12 == 0
	}
	return "", false
}

// spells says the notes of a chord that was named: "Bm7 is B D F# A".
func (s Setup) spells(c theory.Chord) string {
	return fmt.Sprintf("%s is %s", s.Names.Chord(c), s.sayNotes(c.Notes()))
}
