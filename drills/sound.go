package drills

import "time"

// Lengths of cues.
const (
	noteLength  = 1500 * time.Millisecond // a single note
	chordLength = 2500 * time.Millisecond
	stepLength  = 500 * time.Millisecond // one note of a walk-up or a scale
	strumSpread = 25 * time.Millisecond  // from string to string
)

// single is the cue of one note.
func single(midi int) []Sounding { return []Sounding{{MIDI: midi, For: noteLength}} }

// pair is the cue of an interval: one note, the other, then both.
func pair(a, b int) []Sounding {
	const each = 700 * time.Millisecond
	return []Sounding{{a, 0, each}, {b, each, each}, {a, 2 * each, noteLength}, {b, 2 * each, noteLength}}
}

// strum is the cue of a chord, from the lowest note up.
func strum(midis []int) []Sounding {
	var cue []Sounding
	for i, m := range midis {
		at := time.Duration(i) * strumSpread
		cue = append(cue, Sounding{m, at, chordLength - at})
	}
	return cue
}

// row is the cue of notes one after another, the last one ringing.
func row(midis []int) []Sounding {
	var cue []Sounding
	for i, m := range midis {
		cue = append(cue, Sounding{m, time.Duration(i) * stepLength, stepLength})
	}
	if len(cue) > 0 {
		cue[len(cue)-1].For = noteLength
	}
	return cue
}
