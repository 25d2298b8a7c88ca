// Package walking makes and judges walking lines: a bass that plays a note a beat, from
// chord to chord of a song.
//
// Its one idea is that a line is right by rules, not by being ours. A [Beat] says what
// the harmony is there; [Broken] finds the first rule that a line breaks; [Line] finds,
// among all lines that break none, one that lies well under the hand.
//
// The rules are those that method books begin with: a chord enters on its bass, strong
// beats have tones of the chord, others may have notes of the key as well, and the last
// note before a chord leads into its bass by a step or a half step, from above or below
// (from memory: Ray Brown's Bass Method, 1963; Friedland, Building Walking Bass Lines,
// 1995). That of notes only a tone of the chord comes twice in a row, that the 5 of the key
// has its seventh, written or not, and that nothing leaps further than an octave, is common
// practice, no source.
//
// It knows notes and necks, [surefret/drills/theory] and [surefret/drills/fretboard],
// and no song: [surefret/drills/rehearse] and [surefret/drills/gig] lay songs out in beats.
package walking

import (
	"slices"

	"surefret/drills/theory"
)

// A Beat is where one note of a line is to be.
type Beat struct {
	At, Length float64 // quarter notes
	Chord      theory.Chord
	Key        theory.Key
	Enters     bool // the chord begins here
	Strong     bool // the metre has weight here
	Rest       bool // nothing sounds, and nothing leads here
}

// A Pulse is a beat of a bar, before there is a chord on it.
type Pulse struct {
	At, Length float64 // quarter notes from the start of the bar
	Strong     bool
}

// Pulses returns the notes that walk through a bar of so many beats of a unit. Quarter
// notes fill 4/4, 3/4 and 2/4, and 2/2 too, the odd ones strong where the bar has an even
// number, else the first. In 6/8 each half has a long note and a short one, the long ones
// strong; longer bars of threes have a note on each three. Common practice, no source.
func Pulses(beats, unit int) (all []Pulse) {
	n, each := beats, 4/float64(unit)
	switch {
	case unit == 8 && beats == 6:
		return []Pulse{{0, 1, true}, {1, 0.5, false}, {1.5, 1, true}, {2.5, 0.5, false}}
	case unit >= 8 && beats > 3 && beats%3 == 0:
		n, each = beats/3, 3*each
	case unit < 4: // halves are walked in quarters
		n, each = beats*4/unit, 1
	}
	for i := range n {
		all = append(all, Pulse{float64(i) * each, each, i == 0 || n%2 == 0 && i%2 == 0})
	}
	return all
}

// A Rule is what a note of a line may break.
type Rule int

// The rules, in the order in which they are looked at.
const (
	NoRule Rule = iota
	Begins      // a chord enters on its bass
	Moves       // no note twice in a row but a tone of the chord
	Leaps       // no leap wider than an octave
	Leads       // the last note before a chord leads into it by a step or a half step
	Tone        // a strong beat has a tone of the chord
	Scale       // a weak beat has one, or a note of the key, or one a half step from the next
)

// Broken returns the first note of a line, by its index, that breaks a rule, and the
// rule; [NoRule] for a line that breaks none. The notes are MIDI numbers, one a beat;
// where octaves is false they stand for notes of any octave, and neighbours are as near
// as they can be.
func Broken(beats []Beat, line []int, octaves bool) (int, Rule) {
	for i := range line {
		next := 0
		if i+1 < len(line) {
			next = step(line[i], line[i+1], octaves)
		}
		if r := beats[i].broken(line, i, next, octaves, beats); r != NoRule {
			return i, r
		}
	}
	return 0, NoRule
}

// broken returns the rule that note i of a line breaks; next is the step to the note
// behind it.
func (b Beat) broken(line []int, i, next int, octaves bool, beats []Beat) Rule {
	if b.Rest {
		return NoRule
	}
	follows := i > 0 && !beats[i-1].Rest
	switch {
	case b.Enters && mod(line[i]) != b.Chord.Bass().PitchClass():
		return Begins
	case follows && mod(line[i]) == mod(line[i-1]) && !(octaves && line[i] != line[i-1]) && !b.has(line[i]):
		return Moves
	case follows && octaves && abs(line[i]-line[i-1]) > 12:
		return Leaps
	case b.Enters:
		return NoRule
	}
	last := i+1 < len(line) && beats[i+1].Enters && !beats[i+1].Rest
	if last {
		if bass := beats[i+1].Chord.Bass().PitchClass(); mod(line[i+1]) != bass {
			next = step(line[i], bass, false) // what is wrong is the next note
		}
	}
	switch n := abs(next); {
	case last && (n < 1 || n > 2):
		return Leads
	case last && n == 1, b.has(line[i]):
		return NoRule
	case b.Strong && !last:
		return Tone
	case b.Fits(line[i]), n == 1:
		return NoRule
	}
	return Scale
}

// has reports whether a MIDI number is a tone of the chord.
func (b Beat) has(midi int) bool { return within(b.Tones(), midi) }

// Tones returns the tones of the chord; to a triad on the 5 of the key belongs its
// seventh, as bands play it.
func (b Beat) Tones() []theory.Note {
	all := b.Chord.Notes()
	if five := b.Key.Note(theory.Degree{Number: 5}); b.Chord == (theory.Chord{Root: five}) {
		all = append(all, b.Key.Note(theory.Degree{Number: 4}))
	}
	return all
}

// Fits reports whether a MIDI number is a tone of the chord or a note of the key; in a
// minor key under a chord with the leading tone, of its melodic scale too.
func (b Beat) Fits(midi int) bool {
	if b.has(midi) || within(b.Key.Scale(), midi) {
		return true
	}
	rising := theory.Key{Tonic: b.Key.Tonic, Mode: theory.MelodicMinor}.Scale()
	leading := len(rising) == 7 && within(b.Chord.Notes(), rising[6].PitchClass())
	return b.Key.Mode.Minor() && leading && within(rising, midi)
}

func within(notes []theory.Note, midi int) bool {
	return slices.ContainsFunc(notes, func(n theory.Note) bool { return n.PitchClass() == mod(midi) })
}

// step is the way from one note to another in half steps: the shorter one where octaves
// are not known.
func step(from, to int, octaves bool) int {
	if octaves {
		return to - from
	}
	up := mod(to - from)
	if up > 6 {
		up -= 12
	}
	return up
}

func mod(n int) int { return (n%12 + 12) % 12 }

func abs(n int) int { return max(n, -n) }
