package fretboard

import (
	"fmt"
	"slices"
	"strconv"
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
	flat      []Position // what origins are cut from
	tally     tally
	low, high int // the fretted notes, 0 while there is none
}

// Origin returns where note n of event e came from.
func (m Moved) Origin(e, n int) Position { return m.origins[e][n] }

// A Problem is one thing that a move breaks or changes.
type Problem struct {
	Event   int // index
	Kind    ProblemKind
	Message string // one sentence, with the bar

	what string // the sentence without the bar
}

// Move moves the part from one key to another of the same mode, the keys that its
// shapes are in: see [Fretboard.ShapeKey]. Of the two
// directions, up or down, it takes the one that breaks least, then changes
// least, then is shorter; with new places the shorter one, if every note can be
// played there in its octave. No note is dropped: what cannot be played is kept, and
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
	var tried []Moved
	for _, n := range directions(from, to) {
		m := p.try(how, p.Neck, n, how == SameStrings)
		tried = append(tried, m)
		if how == Refingered && m.tally.keepsEveryPitch() {
			break
		}
	}
	best := slices.MinFunc(tried, compareMoves)
	if best.Events == nil { // a shift is soon done again, with words
		best = p.try(how, p.Neck, best.Semitones, false)
	}
	best.From, best.To = from, to
	best.Ways = p.ways(best, tried)
	return best, nil
}

// try moves the part by n semitones one way. A quiet trial counts what breaks
// and keeps no events or messages.
func (p Part) try(how How, neck Fretboard, n int, quiet bool) Moved {
	if how == Refingered {
		return p.refinger(neck, n, quiet)
	}
	return p.shift(neck, n, quiet)
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

func newMoved(p Part, how How, neck Fretboard, n int, quiet bool) Moved {
	m := Moved{Semitones: n, How: how, Neck: neck, Was: p.Events}
	if !quiet {
		m.Events, m.origins = make([]Event, len(p.Events)), make([][]Position, len(p.Events))
		m.flat = make([]Position, 0, p.notes())
	}
	return m
}

// problem counts a problem, and unless the trial is quiet has it told.
func (m *Moved) problem(event int, kind ProblemKind, tell func() string) {
	m.tally[kind.index()]++
	if m.Events != nil {
		what := tell()
		m.Problems = append(m.Problems, Problem{event, kind, "bar " + strconv.Itoa(m.Was[event].Bar) + ": " + what, what})
	}
}

// shift moves every note n frets along its string, on a neck that may have
// another capo or tuning than the part's own.
func (p Part) shift(neck Fretboard, n int, quiet bool) Moved {
	m := newMoved(p, SameStrings, neck, n, quiet)
	var moved []Fretted
	if !quiet {
		moved = make([]Fretted, 0, p.notes())
	}
	var latest [maxStrings + 1]Fretted // of each string, the note before
	for i, e := range p.Events {
		off, sounding := false, 0
		for _, was := range e.Notes {
			if was.Dead {
				continue
			}
			sounding++
			fret := was.Fret + n
			if before := latest[was.String]; was.Slurred && before.String != 0 {
				m.checkSlur(i, before, was.String, before.Fret+n, fret)
			}
			latest[was.String] = was
			switch {
			case fret < 0:
				off = true
				m.problem(i, BelowNut, func() string {
					return fmt.Sprintf("%s would lie %s below the nut", was.Say(), count(-fret, "fret"))
				})
			case fret > neck.Last():
				off = true
				m.problem(i, PastLastFret, func() string {
					return fmt.Sprintf("%s would need fret %d, and the neck ends at %d", was.Say(), fret, neck.Last())
				})
			case was.Fret == 0 && fret > 0:
				m.problem(i, OpenString, func() string {
					return "open string " + strconv.Itoa(was.String) + " is stopped at fret " + strconv.Itoa(fret) + " and rings no longer"
				})
			}
			m.covers(fret)
		}
		if sounding > 1 && !off {
			m.checkHand(i, e.Notes, n)
		}
		if quiet {
			continue
		}
		first := len(moved)
		for _, note := range e.Notes {
			m.cameFrom(i, note.Position)
			if !note.Dead {
				note.Fret += n
			}
			moved = append(moved, note)
		}
		m.Events[i] = e
		m.Events[i].Notes = moved[first:len(moved):len(moved)]
	}
	return m
}

// cameFrom notes the origin of the next note of an event.
func (m *Moved) cameFrom(event int, was Position) {
	m.flat = append(m.flat, was)
	n := len(m.origins[event]) + 1
	m.origins[event] = m.flat[len(m.flat)-n:]
}

// covers widens the frets that the part covers.
func (m *Moved) covers(fret int) {
	if fret <= 0 {
		return
	}
	if m.low == 0 || fret < m.low {
		m.low = fret
	}
	m.high = max(m.high, fret)
}

// checkSlur reports a hammer-on or pull-off between two frets that no hand
// reaches at once, as when an open string was one of them. A slide moves the
// hand and needs no reach.
func (m *Moved) checkSlur(event int, before Fretted, str, from, to int) {
	apart := max(from-to, to-from)
	if from > 0 && to > 0 && apart > m.Neck.reach() && !strings.ContainsAny(before.After, `/\sS`) {
		m.problem(event, Stretch, func() string {
			return fmt.Sprintf("the slur on string %d from fret %d to %d spans %d frets, and the hand reaches %d", str, from, to, apart, m.Neck.reach())
		})
	}
}

// checkHand reports what a hand cannot hold of the notes of one event, shifted
// n frets.
func (m *Moved) checkHand(event int, notes []Fretted, n int) {
	at := noStops
	low, high := 0, 0
	for _, note := range notes {
		fret := note.Fret + n
		if note.Dead {
			continue
		}
		at[note.String] = int8(fret)
		if fret > 0 && (low == 0 || fret < low) {
			low = fret
		}
		high = max(high, fret)
	}
	kind := Stretch
	if high-low <= m.Neck.reach() || low == 0 {
		if at.fingers(low, high) <= handFingers {
			return
		}
		kind = Fingers
	}
	m.problem(event, kind, func() string {
		var places []Position
		for s := maxStrings; s >= 1; s-- {
			if at[s] >= 0 {
				places = append(places, Position{s, int(at[s])})
			}
		}
		return grip(m.Neck, places, false).why
	})
}

// refinger moves every note n semitones and finds it a new place.
func (p Part) refinger(neck Fretboard, n int, quiet bool) Moved {
	m := newMoved(p, Refingered, neck, n, quiet)
	wish := Wish{Effort: &ClosedEffort}
	if p.opens() {
		wish.Effort = &DefaultEffort
	}
	g := newGraph(neck, wish)

	all, indices := p.Sounds()
	sounds, events := all[:0], indices[:0]      // those that have a place
	octaves := map[int]map[int]int{}            // event: note among its sounding ones: semitones added
	places := make([][]Position, len(p.Events)) // none for an event that cannot be played
	before := -1                                // the index in indices of the last one kept
	for k, s := range all {
		i := indices[k]
		s.At = nil
		for j := range s.MIDI {
			s.MIDI[j] += n
		}
		if len(g.states(&s)) == 0 {
			moved := g.otherOctaves(&s)
			if moved == nil {
				m.problem(i, Unplayable, func() string { return g.whyNot(&s) })
				continue
			}
			octaves[i] = moved
		}
		if before != k-1 {
			s.From = nil // what it was slurred from is not there
		}
		before = k
		sounds, events = append(sounds, s), append(events, i)
	}
	if path, err := g.path(sounds); err == nil {
		m.Cost = path.Cost
		for k, i := range events {
			places[i] = path.Places[k]
		}
	}

	var latest [maxStrings + 1]*Fretted // by the string that it was on, the note before
	flat := make([]Fretted, 0, p.notes())
	for i, e := range p.Events {
		from := len(flat)
		flat = m.settle(flat, i, places[i], octaves[i], &latest)
		if !quiet {
			m.Events[i] = e
			m.Events[i].Notes = flat[from:len(flat):len(flat)]
		}
	}
	slices.SortStableFunc(m.Problems, func(a, b Problem) int { return a.Event - b.Event })
	return m
}

// settle appends the notes of an event in their new places and reports what
// changed. Without places the notes slide along their strings, off the neck if
// need be.
func (m *Moved) settle(flat []Fretted, event int, places []Position, octaves map[int]int, latest *[maxStrings + 1]*Fretted) []Fretted {
	var origin [maxStrings + 1]Position // by the string that a note went to
	first, k := len(flat), 0
	for _, note := range m.Was[event].Notes {
		if note.Dead {
			continue
		}
		was := note.Position
		if places == nil {
			note.Fret += m.Semitones
		} else {
			note.Position = places[k]
		}
		m.covers(note.Fret)
		if was.Fret == 0 && note.Fret > 0 {
			m.problem(event, OpenString, func() string {
				return "open string " + strconv.Itoa(was.String) + " is now " + note.Say() + " and rings no longer"
			})
		}
		if by := octaves[k]; by != 0 {
			m.problem(event, OctaveChange, func() string {
				way := "up"
				if by < 0 {
					way = "down"
				}
				return fmt.Sprintf("%s had to go an octave %s, to %s", was.Say(), way, note.Say())
			})
		}
		if before := latest[was.String]; note.Slurred && before != nil && before.String != note.String {
			m.problem(event, SlurBroken, func() string {
				return fmt.Sprintf("%s was slurred and is struck anew, on string %d", was.Say(), note.String)
			})
			note.Slurred = false
			if i := strings.IndexAny(before.After, slurs+bends); i >= 0 {
				before.After = strings.TrimRight(before.After[:i], "-")
			}
		}
		if before := latest[was.String]; note.Slurred && before != nil {
			m.checkSlur(event, *before, note.String, before.Fret, note.Fret)
		}
		origin[note.String] = was
		flat = append(flat, note)
		k++
	}
	for _, note := range m.Was[event].Notes {
		if !note.Dead {
			continue
		}
		if origin[note.String].String != 0 {
			m.problem(event, DampedLost, func() string {
				return fmt.Sprintf("string %d was damped and is now sounded", note.String)
			})
			continue
		}
		origin[note.String] = note.Position
		flat = append(flat, note)
	}
	notes := flat[first:]
	slices.SortStableFunc(notes, func(a, b Fretted) int { return a.String - b.String })
	for i := range notes {
		was := origin[notes[i].String]
		if m.Events != nil {
			m.cameFrom(event, was)
		}
		if !notes[i].Dead {
			latest[was.String] = &notes[i]
		}
	}
	return flat
}
