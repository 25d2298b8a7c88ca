package fretboard

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"surefret/drills/theory"
)

// A How is a way to move a part to another key.
type How string

const (
	SameStrings How = "same-strings" // every note stays on its string and slides
	Refingered  How = "refinger"     // the path of least effort, see [Fretboard.Refinger]
)

// A Moved is a part in another key, with all that breaks on the way.
type Moved struct {
	From, To  theory.Key
	Semitones int // up, or below zero down
	How       How
	Neck      Fretboard
	Was       []Event
	Events    []Event // one for each of Was; Fret is below 0 where a note fell off the neck
	Problems  []Problem
	Ways      []Way   // ways out, the best first; none when there is no problem
	Cost      float64 // of a refingered part, by its [Effort]
	origins   [][]Position
}

// Origin returns where note n of event e came from.
func (m Moved) Origin(e, n int) Position { return m.origins[e][n] }

// A Problem is one thing that a move breaks or changes.
type Problem struct {
	Event   int // index
	Kind    ProblemKind
	Message string // one sentence, with the bar
}

// A ProblemKind says what a move broke.
type ProblemKind string

const (
	BelowNut     ProblemKind = "below-nut"
	PastLastFret ProblemKind = "past-last-fret"
	Stretch      ProblemKind = "stretch"     // more frets than the hand spans
	Fingers      ProblemKind = "fingers"     // more fingers than a hand has
	Unplayable   ProblemKind = "unplayable"  // there is no place for it in any octave
	OctaveChange ProblemKind = "octave"      // a note had to change its octave
	OpenString   ProblemKind = "open-string" // an open string is now stopped, and rings no longer
	SlurBroken   ProblemKind = "slur"        // a hammer-on, pull-off or slide now crosses strings
	DampedLost   ProblemKind = "damped"      // a damped string is now sounded
)

// Breaks reports whether the part cannot be played with this problem; else it
// only sounds or feels different.
func (k ProblemKind) Breaks() bool {
	switch k {
	case BelowNut, PastLastFret, Stretch, Fingers, Unplayable:
		return true
	}
	return false
}

// Move moves the part from one key to another of the same mode. Of the two
// directions, up or down, it takes the one that breaks least, then changes
// least, then is shorter. No note is dropped: what cannot be played is kept, and
// told in Problems.
//
// The error is one sentence: an unknown way, or keys of different modes.
func (p Part) Move(from, to theory.Key, how How) (Moved, error) {
	if from.Mode != to.Mode {
		return Moved{}, fmt.Errorf("a part in %s cannot be moved to %s: a move keeps the mode, give two major or two minor keys", from, to)
	}
	if how != SameStrings && how != Refingered {
		return Moved{}, fmt.Errorf("%q is no way to move a part: give %s or %s", how, SameStrings, Refingered)
	}
	var all []Moved
	for _, n := range directions(from, to) {
		m := p.shift(p.Neck, n)
		if how == Refingered {
			m = p.refinger(p.Neck, n)
		}
		all = append(all, m)
	}
	best := slices.MinFunc(all, compareMoves)
	best.From, best.To = from, to
	best.Ways = p.ways(best)
	return best, nil
}

// directions returns the semitones from one tonic to the other, the shorter way
// first, and the other way.
func directions(from, to theory.Key) []int {
	n := mod(to.Tonic.PitchClass()-from.Tonic.PitchClass(), 12)
	switch {
	case n == 0:
		return []int{0, 12, -12}
	case n > 6:
		return []int{n - 12, n}
	}
	return []int{n, n - 12}
}

// compareTrouble puts the move first that breaks less, then changes less.
func compareTrouble(a, b Moved) int {
	aBreaks, aChanges := a.count()
	bBreaks, bChanges := b.count()
	return cmp.Or(cmp.Compare(aBreaks, bBreaks), cmp.Compare(aChanges, bChanges))
}

// compareMoves is compareTrouble, and among equals puts the shorter move first.
func compareMoves(a, b Moved) int {
	return cmp.Or(compareTrouble(a, b), cmp.Compare(max(a.Semitones, -a.Semitones), max(b.Semitones, -b.Semitones)))
}

// count returns how many problems break the part and how many only change it.
func (m Moved) count() (breaks, changes int) {
	for _, p := range m.Problems {
		if p.Kind.Breaks() {
			breaks++
		} else {
			changes++
		}
	}
	return breaks, changes
}

func newMoved(p Part, neck Fretboard, n int, how How) Moved {
	return Moved{
		Semitones: n, How: how, Neck: neck, Was: p.Events,
		Events: make([]Event, len(p.Events)), origins: make([][]Position, len(p.Events)),
	}
}

func (m *Moved) problem(event int, kind ProblemKind, format string, args ...any) {
	m.Problems = append(m.Problems, Problem{event, kind, fmt.Sprintf("bar %d: %s", m.Was[event].Bar, fmt.Sprintf(format, args...))})
}

// shift moves every note n frets along its string, on a neck that may have
// another capo or tuning than the part's own.
func (p Part) shift(neck Fretboard, n int) Moved {
	m := newMoved(p, neck, n, SameStrings)
	for i, e := range p.Events {
		e.Notes = slices.Clone(e.Notes)
		var places []Position
		off := false
		for j := range e.Notes {
			note := &e.Notes[j]
			was := note.Position
			m.origins[i] = append(m.origins[i], was)
			if note.Dead {
				continue
			}
			note.Fret += n
			switch {
			case note.Fret < 0:
				off = true
				m.problem(i, BelowNut, "%s would lie %s below the nut", was.Say(), count(-note.Fret, "fret"))
			case note.Fret > neck.Last():
				off = true
				m.problem(i, PastLastFret, "%s would need fret %d, and the neck ends at %d", was.Say(), note.Fret, neck.Last())
			case was.Fret == 0 && note.Fret > 0:
				m.problem(i, OpenString, "open string %d is stopped at fret %d and rings no longer", was.String, note.Fret)
			}
			places = append(places, note.Position)
		}
		m.Events[i] = e
		if !off {
			m.checkHand(i, places)
		}
	}
	return m
}

// checkHand reports what a hand cannot hold of the places of one event.
func (m *Moved) checkHand(event int, places []Position) {
	if len(places) < 2 {
		return
	}
	slices.SortFunc(places, func(a, b Position) int { return b.String - a.String })
	g := grip(m.Neck, places, false)
	switch {
	case g.span > m.Neck.reach():
		m.problem(event, Stretch, "%s", g.why)
	case g.why != "":
		m.problem(event, Fingers, "%s", g.why)
	}
}

// refinger moves every note n semitones and finds it a new place.
func (p Part) refinger(neck Fretboard, n int) Moved {
	m := newMoved(p, neck, n, Refingered)
	effort := &ClosedEffort
	if p.opens() {
		effort = &DefaultEffort
	}
	wish := Wish{Effort: effort}
	g := newGraph(neck, wish)

	all, indices := p.Sounds()
	octaves := make([]map[int]int, len(p.Events)) // event: note among its sounding ones: semitones added
	places := make([][]Position, len(p.Events))
	var sounds []Sound
	var events []int
	for k, s := range all {
		s.At = nil
		s.MIDI = slices.Clone(s.MIDI)
		for j := range s.MIDI {
			s.MIDI[j] += n
		}
		i := indices[k]
		if len(g.states(&s)) == 0 {
			moved := g.otherOctaves(&s)
			if moved == nil {
				m.problem(i, Unplayable, "%s", g.whyNot(&s))
				continue
			}
			octaves[i] = moved
		}
		if len(events) == 0 || k == 0 || events[len(events)-1] != indices[k-1] {
			s.From = nil // what it was slurred from is not there
		}
		sounds, events = append(sounds, s), append(events, i)
	}
	path, err := neck.Refinger(sounds, wish)
	if err == nil {
		m.Cost = path.Cost
		for k, i := range events {
			places[i] = path.Places[k]
		}
	}

	latest := map[int]*Fretted{} // by the string that it was on, the note before
	for i, e := range p.Events {
		m.Events[i] = e
		m.Events[i].Notes = m.settle(i, places[i], octaves[i], latest)
	}
	slices.SortStableFunc(m.Problems, func(a, b Problem) int { return a.Event - b.Event })
	return m
}

// settle gives the notes of an event their new places and reports what changed.
// Without places the notes slide along their strings, off the neck if need be.
func (m *Moved) settle(event int, places []Position, octaves map[int]int, latest map[int]*Fretted) []Fretted {
	var notes, dead []Fretted
	origin := map[int]Position{} // by the string that a note went to
	k := 0
	for _, note := range m.Was[event].Notes {
		if note.Dead {
			dead = append(dead, note)
			continue
		}
		was := note.Position
		if places == nil {
			note.Fret += m.Semitones
		} else {
			note.Position = places[k]
		}
		if was.Fret == 0 && note.Fret > 0 {
			m.problem(event, OpenString, "open string %d is now %s and rings no longer", was.String, note.Say())
		}
		if by := octaves[k]; by != 0 {
			way := "up"
			if by < 0 {
				way = "down"
			}
			m.problem(event, OctaveChange, "%s had to go an octave %s, to %s", was.Say(), way, note.Say())
		}
		if before := latest[was.String]; note.Slurred && before != nil && before.String != note.String {
			m.problem(event, SlurBroken, "%s was slurred and is struck anew, on string %d", was.Say(), note.String)
			note.Slurred = false
			if i := strings.IndexAny(before.After, slurs+bends); i >= 0 {
				before.After = strings.TrimRight(before.After[:i], "-")
			}
		}
		origin[note.String] = was
		notes = append(notes, note)
		k++
	}
	for _, note := range dead {
		if slices.ContainsFunc(notes, func(n Fretted) bool { return n.String == note.String }) {
			m.problem(event, DampedLost, "string %d was damped and is now sounded", note.String)
			continue
		}
		origin[note.String] = note.Position
		notes = append(notes, note)
	}
	slices.SortStableFunc(notes, func(a, b Fretted) int { return a.String - b.String })
	for i := range notes {
		was := origin[notes[i].String]
		m.origins[event] = append(m.origins[event], was)
		if !notes[i].Dead {
			latest[was.String] = &notes[i]
		}
	}
	return notes
}

// otherOctaves makes a sound playable by moving as few of its notes as it can
// by an octave, and returns which went where; nil when nothing helps.
func (g *graph) otherOctaves(s *Sound) map[int]int {
	midi := slices.Clone(s.MIDI)
	var try func(first, left int, moved map[int]int) map[int]int
	try = func(first, left int, moved map[int]int) map[int]int {
		if left == 0 {
			if len(g.search(s)) == 0 {
				return nil
			}
			return moved
		}
		for i := first; i < len(midi); i++ {
			for _, by := range []int{12, -12} {
				if slices.Contains(s.MIDI, midi[i]+by) {
					continue
				}
				s.MIDI[i] = midi[i] + by
				moved[i] = by
				if found := try(i+1, left-1, moved); found != nil {
					return found
				}
				s.MIDI[i] = midi[i]
				delete(moved, i)
			}
		}
		return nil
	}
	for n := 1; n <= len(midi); n++ {
		if found := try(0, n, map[int]int{}); found != nil {
			return found
		}
	}
	return nil
}
