package drills

import (
	"time"

	"surefret/drills/fretboard"
)

// The stages in which items are met. The order is a teacher's judgement, not
// from a study: roots live on the low strings, so these come first, and what
// spreads them over the neck comes before the high strings.
const (
	stageLowNaturals = iota // natural notes on the two lowest strings
	stageLowOthers          // sharps and flats there
	stageSpread             // what carries a low root up the neck: octaves, tenths
	stageUp                 // the other strings, one stage each, from low to high
)

// noteLength is how long a single note rings as a cue.
const noteLength = 1500 * time.Millisecond

// lowFirst lists the strings from the lowest to the highest.
func lowFirst(t fretboard.Tuning) []int {
	strs := make([]int, 0, t.Strings())
	for str := t.Strings(); str >= 1; str-- {
		strs = append(strs, str)
	}
	return strs
}

// noteStage returns when a note is met on the string that is rank strings above
// the lowest.
func noteStage(rank int, natural bool) int {
	switch {
	case rank < 2 && natural:
		return stageLowNaturals
	case rank < 2:
		return stageLowOthers
	default:
		return stageUp + rank - 2
	}
}

// natural reports whether a MIDI number is a note without an accidental.
func natural(midi int) bool {
	return [12]bool{true, false, true, false, true, true, false, true, false, true, false, true}[midi%12]
}
