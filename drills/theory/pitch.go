package theory

import (
	"fmt"
	"math"
	"strconv"
)

// A Pitch is a note in an octave, in scientific pitch notation: C4 is middle C
// and B3 lies a semitone below it. The octave belongs to the letter, so Cb4
// sounds as B3.
type Pitch struct {
	Note
	Octave int
}

// MIDI returns the MIDI 1.0 key number of p: 60 for C4, 69 for A4. Numbers
// outside 0 to 127 are returned as they are; the MIDI writer refuses them.
func (p Pitch) MIDI() int { return 12*(p.Octave+1) + naturals[p.Letter] + p.Alter }

// Hz returns the frequency of p in hertz, in equal temperament, where a4 is
// that of A4: 440 by ISO 16, 400 to 480 where bands or old instruments are tuned otherwise.
func (p Pitch) Hz(a4 float64) float64 {
	return a4 * math.Exp2(float64(p.MIDI()-69)/12)
}

// String prints p in scientific pitch notation: "F#2", "Bb3".
func (p Pitch) String() string { return p.Note.String() + strconv.Itoa(p.Octave) }

// ParsePitch reads scientific pitch notation, "E2" or "Bb3", octaves -1 to 9.
func ParsePitch(s string) (Pitch, error) {
	n, rest, ok := scanNote(s)
	o, err := strconv.Atoi(rest)
	if !ok || err != nil || o < -1 || o > 9 || strconv.Itoa(o) != rest {
		return Pitch{}, fmt.Errorf("%q is not a pitch: use a note and its octave from -1 to 9, like E2 or Bb3", s)
	}
	return Pitch{n, o}, nil
}

// FromMIDI returns the pitch of a MIDI key number where no key tells how to
// spell it: naturals as they are, the five others as flats or as sharps. With
// a key, Spell knows better.
func FromMIDI(midi int, flats bool) Pitch {
	place := mod(7*midi+1, 12) - 1 // F to A#
	if flats && place > 5 {
		place -= 12 // Gb to B
	}
	return pitchOf(noteAt(place), midi)
}

// pitchOf returns n in the octave where it sounds as midi, which must be one
// of its own.
func pitchOf(n Note, midi int) Pitch {
	return Pitch{n, floorDiv(midi-n.Alter-naturals[n.Letter], 12) - 1}
}
