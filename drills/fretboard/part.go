package fretboard

import (
	"fmt"
	"slices"

	"surefret/drills/theory"
)

// A Part is what a player has written down: notes and chords one after another,
// each where it is played.
type Part struct {
	Neck   Fretboard
	Events []Event
	Names  theory.Names // in which keys are told
	Above  int          // how many of the highest strings it leaves alone, having no lines for them
}

// An Event is one column of a part: a note, or a chord.
type Event struct {
	Bar   int     // from 1
	Beats float64 // until the next event, rests included, read from the spacing: a bar holds four unless [Part.InMeter] says so
	Notes []Fretted
}

// The bounds of [Part.InMeter].
const (
	fewestBeats = 1
	mostBeats   = 16
)

// InMeter returns p with as many beats in every bar, 1 to 16: tablature doesn't
// say, and is read as if there were four.
func (p Part) InMeter(beats int) (Part, error) {
	if beats < fewestBeats || beats > mostBeats {
		return p, fmt.Errorf("%d beats in a bar cannot be used: give %d to %d", beats, fewestBeats, mostBeats)
	}
	p.Events = slices.Clone(p.Events)
	for i := range p.Events {
		p.Events[i].Beats *= float64(beats) / ReadBeats
	}
	return p, nil
}

// ReadBeats is how many beats a bar of tablature is read as, see [Event]; in another metre
// [Part.InMeter] says how many it has.
const ReadBeats = 4

// A Fretted is one number of a part, with the marks that stand by it.
type Fretted struct {
	Position
	Dead bool // an x: the string is struck but damped, and has no pitch

	// Before and After are the marks that belong to the number: the brackets
	// round a ghost note, h p / \ ~ after it.
	Before, After string
	Slurred       bool // from the note before it on the string, without a new stroke
}

// sounds returns what the events of p sound, without damped strings, and for
// each the index of its event. Events of damped strings alone are left out.
func (p Part) sounds() (sounds []sound, events []int) {
	n := p.notes()
	sounds, events = make([]sound, 0, len(p.Events)), make([]int, 0, len(p.Events))
	midi, from, at := make([]int, 0, n), make([]int, 0, n), make([]Position, 0, n)
	var before []Position // the places of the sound before
	for i, e := range p.Events {
		first := len(midi)
		slurred := false
		for _, note := range e.Notes {
			if note.Dead {
				continue
			}
			source := -1
			if note.Slurred {
				source = slices.IndexFunc(before, func(b Position) bool { return b.String == note.String })
				slurred = slurred || source >= 0
			}
			midi = append(midi, p.Neck.sounds(note))
			from = append(from, source)
			at = append(at, note.Position)
		}
		last := len(midi)
		if first == last {
			continue
		}
		s := sound{MIDI: midi[first:last:last], Beats: e.Beats, At: at[first:last:last]}
		if slurred {
			s.From = from[first:last:last]
		}
		before = s.At
		sounds, events = append(sounds, s), append(events, i)
	}
	return sounds, events
}

// notes counts the notes of all events.
func (p Part) notes() int {
	n := 0
	for _, e := range p.Events {
		n += len(e.Notes)
	}
	return n
}
