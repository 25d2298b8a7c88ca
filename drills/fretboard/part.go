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

// A Line is a row of single notes and where they lie.
type Line struct {
	Path    []Position
	Pitches []theory.Pitch
}

// Notes returns the notes without their octaves.
func (l Line) Notes() []theory.Note {
	var notes []theory.Note
	for _, p := range l.Pitches {
		notes = append(notes, p.Note)
	}
	return notes
}

// The marks by what they ask. Slurs lead into the next number without a new
// stroke; bends do so only where the number stands close behind them.
const (
	Slides   = `/\sS`
	Slurs    = `hHpPtT` + Slides
	Bends    = `bBrR^`
	Vibratos = `~vV`
)
