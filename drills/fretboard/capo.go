package fretboard

import (
	"slices"

	"surefret/drills/theory"
)

// A Choice is one way to sound in a key while the hand plays another's shapes:
// sounding = fingered + capo - detuned, in semitones.
type Choice struct {
	Capo    int // the fret, 0 for none
	Detuned int // semitones that every string is tuned down, 0 for none
	Shapes  theory.Key
	Open    int // how many of the key's five common chords have an open form, 0 to 5
}

// openForms are the chords that every player holds in open position: common
// practice, no source.
var openForms = []string{"C", "A", "G", "E", "D", "Am", "Em", "Dm"}

// commonDegrees are the chords that most songs in a major key are made of: 1,
// 2-, 4, 5 and 6-, by index into its triads. Those of a minor key are its
// relative's.
var commonDegrees = []int{0, 1, 3, 4, 5}

// Choices returns the ways to play in a key with a capo at fret 1 to 7, without
// one, or tuned down one or two semitones, the best first: most open forms,
// then the lowest capo, then the least detuned.
func Choices(k theory.Key) []Choice {
	var all []Choice
	add := func(capo, detuned int) {
		shapes := theory.SimplestKey(mod(k.Tonic.PitchClass()-capo+detuned, 12), k.Mode, k.Signature() < 0)
		c := Choice{capo, detuned, shapes, openChords(shapes)}
		// The hand thinks in major and minor shapes, whatever the mode.
		if c.Shapes.Mode = theory.Major; k.Mode.Minor() {
			c.Shapes.Mode = theory.Minor
		}
		all = append(all, c)
	}
	for capo := range wayCapo + 1 {
		add(capo, 0)
	}
	for detuned := 1; detuned <= 2; detuned++ {
		add(0, detuned)
	}
	slices.SortStableFunc(all, func(a, b Choice) int {
		return b.Open - a.Open // the order of trying settles the rest
	})
	return all
}

// openChords counts the common chords of k that have an open form.
func openChords(k theory.Key) int {
	if k.Mode.Minor() {
		k = k.Relative()
	}
	triads := k.Triads()
	n := 0
	for _, d := range commonDegrees {
		if slices.Contains(openForms, triads[d].String()) {
			n++
		}
	}
	return n
}

// Roots returns where a note lies on the two lowest strings up to the twelfth
// fret, the lowest string first: where players look for the root of a chord.
func (fb Fretboard) Roots(n theory.Note) []Position {
	var roots []Position
	for s := fb.Tuning.Strings(); s > max(fb.Tuning.Strings()-2, 0); s-- {
		if first := fb.Find(n, s); len(first) > 0 {
			roots = append(roots, first[0])
		}
	}
	return roots
}
