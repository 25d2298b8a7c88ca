package fretboard

// A Part is what a player has written down: notes and chords one after another,
// each where it is played.
type Part struct {
	Neck   Fretboard
	Events []Event
}

// An Event is one column of a part: a note, or a chord.
type Event struct {
	Bar   int     // from 1
	Beats float64 // until the next event, read from the spacing: a bar holds four
	Notes []Fretted
}

// A Fretted is one number of a part, with the marks that stand by it.
type Fretted struct {
	Position
	Dead bool // an x: the string is struck but damped, and has no pitch

	// Before and After are the marks that belong to the number: the brackets
	// round a ghost note, h p / \ ~ after it.
	Before, After string
	Slurred       bool // from the note before it on the string, without a new stroke
}

// Sounds returns what the events of p sound, without damped strings, and for
// each the index of its event. Events of damped strings alone are left out.
func (p Part) Sounds() (sounds []Sound, events []int) {
	var before []int // the strings of the sound before
	for i, e := range p.Events {
		s := Sound{Beats: e.Beats}
		var strs []int
		slurred := false
		for _, n := range e.Notes {
			if n.Dead {
				continue
			}
			from := -1
			if n.Slurred {
				for j, str := range before {
					if str == n.String {
						from, slurred = j, true
					}
				}
			}
			strs = append(strs, n.String)
			s.MIDI = append(s.MIDI, p.Neck.MIDI(n.Position))
			s.From = append(s.From, from)
			s.At = append(s.At, n.Position)
		}
		if s.MIDI == nil {
			continue
		}
		if !slurred {
			s.From = nil
		}
		before = strs
		sounds, events = append(sounds, s), append(events, i)
	}
	return sounds, events
}

// opens reports whether the part lets an open string ring.
func (p Part) opens() bool {
	for _, e := range p.Events {
		for _, n := range e.Notes {
			if n.Fret == 0 && !n.Dead {
				return true
			}
		}
	}
	return false
}
