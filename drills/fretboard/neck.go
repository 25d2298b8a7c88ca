package fretboard

import (
	"fmt"

	"surefret/drills/theory"
)

// A Fretboard is a tuned neck. Frets are counted from the capo where there is
// one, as tablature with a capo counts them: fret 0 is the string that rings
// open, so every shape and part stays what the hand does and only the sound
// moves.
type Fretboard struct {
	Tuning Tuning
	Frets  int // on the whole neck, 12 to 36
	Capo   int // the fret that a capo holds down, 0 for none, at most 12

	// Stretch is the hand's part: the most frets from the lowest to the
	// highest that it holds at once, 2 to 7; 0 means [defaultStretch].
	Stretch int

	Own []Recipe // the player's own shapes, see [OwnShape]
}

// The bounds of [Fretboard.Frets].
const (
	FewestFrets = 12
	MostFrets   = 36
	HighestCapo = 12
)

// Check returns an error, one sentence, unless the neck can be played: its
// tuning passes [Tuning.Check], it has 12 to 36 frets, and the capo lies at
// one of the first twelve.
func (fb Fretboard) Check() error {
	if err := fb.Tuning.Check(); err != nil {
		return err
	}
	if fb.Frets < FewestFrets || fb.Frets > MostFrets {
		return fmt.Errorf("a neck of %d frets cannot be used: give %d to %d", fb.Frets, FewestFrets, MostFrets)
	}
	if fb.Capo < 0 || fb.Capo > HighestCapo || fb.Capo >= fb.Frets {
		return fmt.Errorf("a capo at fret %d cannot be used: give 0 for none, or 1 to %d", fb.Capo, min(HighestCapo, fb.Frets-1))
	}
	if fb.Stretch != 0 && (fb.Stretch < 2 || fb.Stretch > 7) {
		return fmt.Errorf("a stretch of %d frets cannot be used: give 2 to 7, or 0 for the usual %d", fb.Stretch, defaultStretch)
	}
	return nil
}

// Last returns the last fret, counted from the capo.
func (fb Fretboard) Last() int { return fb.Frets - fb.Capo }

// Has reports whether p lies on the neck.
func (fb Fretboard) Has(p Position) bool {
	return p.String >= 1 && p.String <= fb.Tuning.Strings() && p.Fret >= 0 && p.Fret <= fb.Last()
}

// MIDI returns the MIDI key number that sounds at p, which must name a string
// of the tuning.
func (fb Fretboard) MIDI(p Position) int { return fb.Tuning.midi(p) + fb.Capo }

// Pitch returns what sounds at p, spelled without a key: a natural where there
// is one, else with a flat or a sharp as asked.
func (fb Fretboard) Pitch(p Position, flats bool) theory.Pitch {
	return theory.FromMIDI(fb.MIDI(p), flats)
}

// Places returns every position that sounds the MIDI key number, string 1
// first; none when it lies off the neck.
func (fb Fretboard) Places(midi int) []Position {
	var places []Position
	for s := 1; s <= fb.Tuning.Strings(); s++ {
		p := Position{s, 0}
		p.Fret = midi - fb.MIDI(p)
		if fb.Has(p) {
			places = append(places, p)
		}
	}
	return places
}

// Find returns every position of a note on one string, in any octave and under
// any spelling, from the nut up.
func (fb Fretboard) Find(n theory.Note, str int) []Position {
	first := mod(n.PitchClass()-fb.MIDI(Position{str, 0}), 12)
	var places []Position
	for f := first; f <= fb.Last(); f += 12 {
		places = append(places, Position{str, f})
	}
	return places
}

// Inlays returns how many dots are set into the neck at a fret counted from the
// capo: one at 3 5 7 9 and their octaves, two at 12 and 24, else none.
func (fb Fretboard) Inlays(fret int) int {
	switch fret += fb.Capo; {
	case fret <= 0:
		return 0
	case fret%12 == 0:
		return 2
	case fret%12 == 3, fret%12 == 5, fret%12 == 7, fret%12 == 9:
		return 1
	}
	return 0
}

func mod(a, n int) int { return ((a % n) + n) % n }
