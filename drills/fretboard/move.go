package fretboard

import (
	"fmt"
	"slices"
	"strconv"

	"surefret/drills/theory"
)

// A How is a way to move a part to another key.
type How string

const (
	SameStrings How = "same-strings" // every note stays on its string and slides
	Refingered  How = "refinger"     // the path of least effort, see [Fretboard.fingering]
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
	Cost      float64 // of a refingered part, by its [effort]

	origins   [][]Position
	flat      []Position // what origins are cut from
	tally     tally
	low, high int    // the fretted notes, 0 while there is none
	limit     *tally // what a trial must stay below to be of use; nil for all
	beyond    bool   // whether it did not
}

// origin returns where note n of event e came from.
func (m Moved) origin(e, n int) Position { return m.origins[e][n] }

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
	var limit *tally // what a longer shift must stay below
	for _, n := range directions(from, to) {
		if how == SameStrings {
			tried = append(tried, p.trial(p.Neck, n, limit))
			limit = &tried[0].tally
			continue
		}
		tried = append(tried, p.refinger(p.Neck, n, false))
		if tried[len(tried)-1].tally.keepsEveryPitch() {
			break
		}
	}
	best := slices.MinFunc(tried, compareMoves)
	if best.Events == nil { // a shift is soon done again, with words
		best = p.shift(p.Neck, best.Semitones)
	}
	best.From, best.To = from, to
	best.Ways = p.ways(best, tried)
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
	m.beyond = m.beyond || m.limit != nil && m.tally.compare(*m.limit) >= 0
	if m.Events != nil {
		what := tell()
		m.Problems = append(m.Problems, Problem{event, kind, "bar " + strconv.Itoa(m.Was[event].Bar) + ": " + what, what})
	}
}

// shift moves every note n frets along its string, on a neck that may have
// another capo or tuning than the part's own.
func (p Part) shift(neck Fretboard, n int) Moved {
	m := newMoved(p, SameStrings, neck, n, false)
	p.slideAll(&m, make([]Fretted, 0, p.notes()))
	return m
}

// trial is a quiet shift. It breaks off where it reaches the limit, if there is one:
// what it has counted by then is no less.
func (p Part) trial(neck Fretboard, n int, limit *tally) Moved {
	m := newMoved(p, SameStrings, neck, n, true)
	m.limit = limit
	p.slideAll(&m, nil)
	return m
}

// slideAll moves the notes of all events along their strings.
func (p Part) slideAll(m *Moved, flat []Fretted) {
	quiet := m.Events == nil
	var latest [maxStrings + 1]step
	for i, e := range p.Events {
		if m.beyond {
			return
		}
		if quiet {
			flat = flat[:0] // nobody reads what is written
		}
		first, whole := len(flat), true
		for _, was := range e.Notes {
			note, onNeck := m.slide(i, was)
			whole = whole && onNeck
			flat = append(flat, note)
			if !quiet {
				m.cameFrom(i, was.Position)
			}
		}
		notes := flat[first:len(flat):len(flat)]
		for j, was := range e.Notes {
			if !was.Dead {
				m.checkMarks(i, &latest, was, &notes[j])
			}
		}
		if whole && len(notes) > 1 {
			m.checkHand(i, e.Notes, m.Semitones)
		}
		if !quiet {
			m.Events[i] = e
			m.Events[i].Notes = notes
		}
	}
}

// slide moves a note along its string and reports what becomes of it there. It
// returns false where the note falls off the neck.
func (m *Moved) slide(event int, was Fretted) (note Fretted, onNeck bool) {
	note = was
	if was.Dead {
		return note, true
	}
	if was.harmonic() > 0 {
		note = m.slideHarmonic(event, was)
	} else {
		note.Fret += m.Semitones
	}
	m.covers(note.Fret)
	switch {
	case note.Fret < 0:
		m.problem(event, belowNut, func() string {
			return fmt.Sprintf("%s would lie %s below the nut", was.Say(), count(-note.Fret, "fret"))
		})
		return note, false
	case note.Fret > m.Neck.Last():
		m.problem(event, pastLastFret, func() string {
			return fmt.Sprintf("%s would need fret %d, and the neck ends at %d", was.Say(), note.Fret, m.Neck.Last())
		})
		return note, false
	case was.Fret == 0 && note.Fret > 0:
		m.problem(event, openString, func() string {
			return "open string " + strconv.Itoa(was.String) + " is stopped at fret " + strconv.Itoa(note.Fret) + " and rings no longer"
		})
	}
	return note, true
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

// checkHand reports what a hand cannot hold of the notes of one event, shifted
// n frets. What the original needs is within the player's reach.
func (m *Moved) checkHand(event int, notes []Fretted, n int) {
	at, low, high := heldBy(notes, n)
	takes := at.fingers(low, high)
	if takes <= handFingers && high-low <= m.Neck.reach() {
		return
	}
	span, fingers := needs(notes)
	reach := max(m.Neck.reach(), span)
	if low > 0 && high-low > reach {
		m.problem(event, tooWide, func() string {
			return fmt.Sprintf("the hand would span %s, and reaches %d", count(high-low, "fret"), reach)
		})
	} else if takes > max(handFingers, fingers) {
		m.problem(event, tooManyFingers, func() string {
			return fmt.Sprintf("it takes %d fingers, even with barres", takes)
		})
	}
}

// refinger moves every note n semitones and finds it a new place.
func (p Part) refinger(neck Fretboard, n int, quiet bool) Moved {
	m := newMoved(p, Refingered, neck, n, quiet)
	g := newGraph(neck, wish{effort: p.effort()})

	all, indices := p.Sounds()
	sounds, events := all[:0], indices[:0]      // those that have a place
	octaves := map[int]map[int]int{}            // event: note among its sounding ones: semitones added
	places := make([][]Position, len(p.Events)) // none for an event that cannot be played
	slid := make([]bool, len(p.Events))         // the events that stay on their strings
	before := -1                                // the index in indices of the last one kept
	for k, s := range all {
		i := indices[k]
		if slices.ContainsFunc(p.Events[i].Notes, func(n Fretted) bool { return n.harmonic() > 0 }) {
			slid[i] = true // harmonics lie where the nodes are
			continue
		}
		s.At = nil
		if len(s.MIDI) > 1 {
			s.span, s.fingers = needs(p.Events[i].Notes)
		}
		s.stopped = stoppedNotes(p.Events[i].Notes)
		for j := range s.MIDI {
			s.MIDI[j] += n
		}
		if len(g.states(&s)) == 0 {
			moved := g.otherOctaves(&s)
			if moved == nil {
				m.problem(i, unplayable, func() string { return g.whyNot(&s) })
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

	var latest [maxStrings + 1]step
	flat := make([]Fretted, 0, p.notes())
	for i, e := range p.Events {
		from := len(flat)
		flat = m.lay(flat, i, places[i], octaves[i], slid[i], &latest)
		if !quiet {
			m.Events[i] = e
			m.Events[i].Notes = flat[from:len(flat):len(flat)]
		}
	}
	slices.SortStableFunc(m.Problems, func(a, b Problem) int { return a.Event - b.Event })
	return m
}

// lay appends the notes of an event in their new places and reports what changed.
// Without places the notes slide along their strings, off the neck if need be.
func (m *Moved) lay(flat []Fretted, event int, places []Position, octaves map[int]int, slid bool, latest *[maxStrings + 1]step) []Fretted {
	var origin [maxStrings + 1]Fretted // by the string that a note went to
	first, k := len(flat), 0
	for _, was := range m.Was[event].Notes {
		if was.Dead {
			continue
		}
		note := was
		switch {
		case slid:
			note, _ = m.slide(event, was)
		case places == nil:
			note.Fret += m.Semitones
		default:
			note.Position = places[k]
		}
		if !slid {
			m.checkPlace(event, was, note, octaves[k])
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
			m.problem(event, dampedLost, func() string {
				return fmt.Sprintf("string %d was damped and is now sounded", note.String)
			})
			continue
		}
		origin[note.String] = note
		flat = append(flat, note)
	}
	notes := flat[first:]
	slices.SortStableFunc(notes, func(a, b Fretted) int { return a.String - b.String })
	before := *latest // a chord's notes are slurred from the event before, not from each other
	for i := range notes {
		was := origin[notes[i].String]
		if m.Events != nil {
			m.cameFrom(event, was.Position)
		}
		if !notes[i].Dead {
			one := before
			m.checkMarks(event, &one, was, &notes[i])
			latest[was.String] = one[was.String]
		}
	}
	return flat
}

// checkPlace reports what a note loses in a place that was found for it.
func (m *Moved) checkPlace(event int, was, note Fretted, octave int) {
	m.covers(note.Fret)
	if was.Fret == 0 && note.Fret > 0 {
		m.problem(event, openString, func() string {
			return "open string " + strconv.Itoa(was.String) + " is now " + note.Say() + " and rings no longer"
		})
	}
	if octave != 0 {
		m.problem(event, octaveChange, func() string {
			way := "up"
			if octave < 0 {
				way = "down"
			}
			return fmt.Sprintf("%s had to go an octave %s, to %s", was.Say(), way, note.Say())
		})
	}
}
