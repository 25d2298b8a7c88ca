package fingering

import (
	"slices"

	"surefret/drills/fretboard"
)

// A sound is what is to be fingered at one moment: a note or a chord.
type sound struct {
	midi  []int   // MIDI key numbers, in any order
	beats float64 // until the next sound; 0 means one beat
	from  []int   // for each note, the note of the sound before that it is slurred from, or -1; nil for none

	// at fixes the places of the notes. Nil leaves them to be found.
	at []fretboard.Position

	span, fingers int    // what the hand can do besides, where it holds more in the original
	stopped       []bool // for each note, whether it may not lie on an open string; nil for none
}

// soundsOf returns what the events of p sound, without damped strings, and for
// each the index of its event. Events of damped strings alone are left out.
func soundsOf(p fretboard.Part) (sounds []sound, events []int) {
	n := countNotes(p)
	sounds, events = make([]sound, 0, len(p.Events)), make([]int, 0, len(p.Events))
	midi, from, at := make([]int, 0, n), make([]int, 0, n), make([]fretboard.Position, 0, n)
	var before []fretboard.Position // the places of the sound before
	for i, e := range p.Events {
		first := len(midi)
		slurred := false
		for _, note := range e.Notes {
			if note.Dead {
				continue
			}
			source := -1
			if note.Slurred {
				source = slices.IndexFunc(before, func(b fretboard.Position) bool { return b.String == note.String })
				slurred = slurred || source >= 0
			}
			midi = append(midi, pitchOf(p.Neck, note))
			from = append(from, source)
			at = append(at, note.Position)
		}
		last := len(midi)
		if first == last {
			continue
		}
		s := sound{midi: midi[first:last:last], beats: e.Beats, at: at[first:last:last]}
		if slurred {
			s.from = from[first:last:last]
		}
		before = s.at
		sounds, events = append(sounds, s), append(events, i)
	}
	return sounds, events
}

// countNotes counts the notes of all events.
func countNotes(p fretboard.Part) int {
	n := 0
	for _, e := range p.Events {
		n += len(e.Notes)
	}
	return n
}
