package tuner

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/ink"
	"surefret/drills"
	"surefret/drills/theory"
)

// Line says of one string how far off it is, in words, and as a mark on a line.
func Line(s hearing.Tuned, setup drills.Setup) string {
	return fmt.Sprintf("%-14s %s  %s", name(s, setup), marks(s.Cents, 20, ink.Look{ASCII: true}.Scale()), turn(s))
}

// Sentence is Line in words alone.
func Sentence(s hearing.Tuned, setup drills.Setup) string {
	name := name(s, setup)
	return strings.ToUpper(name[:1]) + name[1:] + ": " + turn(s) + "."
}

// Short is Line for a narrow place on the screen.
func Short(s hearing.Tuned, setup drills.Setup, scale ink.Scale) string {
	return fmt.Sprintf("%-14s %s  %s", name(s, setup), marks(s.Cents, 10, scale), shortOff(s.Cents))
}

// Large says which string was heard and how far off it is, in a few words.
func Large(s hearing.Tuned, setup drills.Setup) string {
	return fmt.Sprintf("%d %s %s", s.String, setup.Names.Note(theory.FromMIDI(s.MIDI, setup.Flats).Note), shortOff(s.Cents))
}

// Off says how far off a string is.
func Off(cents float64) string {
	if cents < 0 {
		return fmt.Sprintf("%.0f cents flat", -cents)
	}
	return fmt.Sprintf("%.0f cents sharp", cents)
}

// turn says how far off a string is, and which way to turn it.
func turn(s hearing.Tuned) string {
	switch {
	case math.Abs(s.Cents) <= hearing.InTune:
		return "in tune"
	case s.Cents < 0:
		return Off(s.Cents) + ", turn it up"
	}
	return Off(s.Cents) + ", turn it down"
}

// shortOff says how far off a string is, to be shown large.
func shortOff(cents float64) string {
	switch off := math.Abs(cents); {
	case off <= hearing.InTune:
		return "in tune"
	case cents < 0:
		return fmt.Sprintf("%.0f flat", off)
	default:
		return fmt.Sprintf("%.0f sharp", off)
	}
}

// name names a string and its note.
func name(s hearing.Tuned, setup drills.Setup) string {
	pitch := theory.FromMIDI(s.MIDI, setup.Flats)
	return fmt.Sprintf("string %d, %s%d", s.String, setup.Names.Note(pitch.Note), pitch.Octave)
}

// marks draws a line of a semitone, so many cells to either side, with where the string
// should be in its middle and a dot where it is.
func marks(cents float64, half int, scale ink.Scale) string {
	marks := slices.Repeat([]string{scale.Line}, 2*half+1)
	marks[half] = scale.Aim
	marks[half+int(math.Round(max(-50, min(50, cents))/50*float64(half)))] = scale.Dot
	return strings.Join(marks, "")
}
