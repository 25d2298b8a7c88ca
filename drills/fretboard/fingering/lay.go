package fingering

import (
	"fmt"
	"slices"
	"strconv"

	"surefret/drills/fretboard"
)

// What breaks and what changes, note by note, where a part is laid in another key.

// problem counts a problem, and unless the trial is quiet has it told.
func (m *Moved) problem(event int, kind ProblemKind, tell func() string) {
	m.tally[kind.index()]++
	m.beyond = m.beyond || m.limit != nil && m.tally.compare(*m.limit) >= 0
	if m.Events != nil {
		what := tell()
		m.Problems = append(m.Problems, Problem{event, kind, "bar " + strconv.Itoa(m.was[event].Bar) + ": " + what, what})
	}
}

// trial counts what breaks where every note moves n frets along its string, on a neck
// that may have another capo or tuning than the part's own. It tells nothing, and
// breaks off where it reaches the limit: what it has counted by then is no less.
func trial(p fretboard.Part, neck fretboard.Fretboard, n int, limit *tally) Moved {
	m := Moved{Semitones: n, How: SameStrings, Neck: neck, was: p.Events, limit: limit}
	var latest [fretboard.MaxStrings + 1]step
	var written [fretboard.MaxStrings + 1][2]fretboard.Fretted // by string, in turn: a mark is taken from the note before as well
	for i, e := range p.Events {
		if m.beyond {
			break
		}
		whole := true
		for _, was := range e.Notes {
			note, onNeck := m.slide(i, was)
			whole = whole && onNeck
			if was.Dead {
				continue
			}
			at := &written[was.String][0]
			if latest[was.String].written == at {
				at = &written[was.String][1]
			}
			*at = note
			m.checkMarks(i, &latest, was, at)
		}
		if whole && len(e.Notes) > 1 {
			m.checkHand(i, e.Notes, n)
		}
	}
	return m
}

// slide moves a note along its string and reports what becomes of it there. It
// returns false where the note falls off the neck.
func (m *Moved) slide(event int, was fretboard.Fretted) (note fretboard.Fretted, onNeck bool) {
	note = was
	if was.Dead {
		return note, true
	}
	if harmonicOf(was) > 0 {
		note = m.slideHarmonic(event, was)
	} else {
		note.Fret += m.Semitones
	}
	m.high = max(m.high, note.Fret)
	switch {
	case note.Fret < 0:
		m.problem(event, belowNut, func() string {
			return fmt.Sprintf("%s would lie %s below the nut", was.Say(), fretboard.Count(-note.Fret, "fret"))
		})
		return note, false
	case note.Fret > m.Neck.Last():
		m.problem(event, pastLastFret, func() string {
			return fmt.Sprintf("%s would need fret %d, and the neck ends at %d", was.Say(), note.Fret, m.Neck.Last())
		})
		return note, false
	case was.Fret == 0 && note.Fret > 0 && m.rings(event):
		m.problem(event, openString, func() string {
			return "the open string " + strconv.Itoa(was.String) + " becomes fret " + strconv.Itoa(note.Fret) + " and no longer rings"
		})
	}
	return note, true
}

// rings reports whether an open string of an event rings on: in a line on a bass notes are
// damped as they go.
func (m *Moved) rings(event int) bool { return !m.Neck.Tuning.Bass() || len(m.was[event].Notes) > 1 }

// cameFrom notes the origin of the next note of an event.
func (m *Moved) cameFrom(event int, was fretboard.Position) {
	m.flat = append(m.flat, was)
	n := len(m.origins[event]) + 1
	m.origins[event] = m.flat[len(m.flat)-n:]
}

// checkHand reports what a hand cannot hold of the notes of one event, shifted
// n frets. What the original needs is within the player's reach.
func (m *Moved) checkHand(event int, notes []fretboard.Fretted, n int) {
	at, low, high := heldBy(notes, n)
	takes := at.Fingers(low, high)
	if takes <= fretboard.HandFingers && high-low <= m.Neck.Reach() {
		return
	}
	span, fingers := needs(notes)
	reach := max(m.Neck.Reach(), span)
	if low > 0 && high-low > reach {
		m.problem(event, tooWide, func() string {
			return fmt.Sprintf("it needs a stretch of %s, and your hand is set to %d", fretboard.Count(high-low, "fret"), reach)
		})
	} else if takes > max(fretboard.HandFingers, fingers) {
		m.problem(event, tooManyFingers, func() string {
			return fmt.Sprintf("it takes %d fingers, even with barres", takes)
		})
	}
}

// layOut writes a route out, with what changes on it.
func layOut(p fretboard.Part, rt route) Moved {
	m := Moved{Semitones: rt.semitones, How: rt.how, Neck: p.Neck, was: p.Events, cost: rt.cost, names: p.Names, route: &rt,
		Events: make([]fretboard.Event, len(p.Events)), origins: make([][]fretboard.Position, len(p.Events)), flat: make([]fretboard.Position, 0, countNotes(p))}
	var latest [fretboard.MaxStrings + 1]step
	flat := make([]fretboard.Fretted, 0, countNotes(p))
	for i, e := range p.Events {
		if why := rt.unplayed[i]; why != "" {
			m.problem(i, unplayable, func() string { return why })
		}
		from := len(flat)
		flat = m.layEvent(flat, i, &latest)
		m.Events[i] = e
		m.Events[i].Notes = flat[from:len(flat):len(flat)]
	}
	return m
}

// layEvent appends the notes of an event in their new places and reports what
// changed. Without places the notes slide along their strings, off the neck if need
// be.
func (m *Moved) layEvent(flat []fretboard.Fretted, event int, latest *[fretboard.MaxStrings + 1]step) []fretboard.Fretted {
	places, octaves, slid := m.route.places[event], m.route.octaves[event], m.route.slid[event]
	var origin [fretboard.MaxStrings + 1]fretboard.Fretted // by the string that a note went to
	first, k := len(flat), 0
	for _, was := range m.was[event].Notes {
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
	for _, note := range m.was[event].Notes {
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
	slices.SortStableFunc(notes, func(a, b fretboard.Fretted) int { return a.String - b.String })
	before := *latest // a chord's notes are slurred from the event before, not from each other
	for i := range notes {
		was := origin[notes[i].String]
		m.cameFrom(event, was.Position)
		if !notes[i].Dead {
			one := before
			m.checkMarks(event, &one, was, &notes[i])
			latest[was.String] = one[was.String]
		}
	}
	return flat
}

// leaps reports whether the single note of an event left its octave and one beside it did
// not.
func (m *Moved) leaps(event int) bool {
	for _, beside := range []int{event - 1, event + 1} {
		if beside >= 0 && beside < len(m.was) && len(m.was[event].Notes) == 1 && (m.route.octaves[beside] == nil) {
			return true
		}
	}
	return false
}

// checkPlace reports what a note loses in a place that was found for it.
func (m *Moved) checkPlace(event int, was, note fretboard.Fretted, octave int) {
	m.high = max(m.high, note.Fret)
	if was.Fret == 0 && note.Fret > 0 && m.rings(event) {
		m.problem(event, openString, func() string {
			now := note.Say()
			if note.String == was.String {
				now = "fret " + strconv.Itoa(note.Fret)
			}
			return "the open string " + strconv.Itoa(was.String) + " becomes " + now + " and no longer rings"
		})
	}
	if octave != 0 {
		m.problem(event, octaveChange, func() string {
			way := "up"
			if octave < 0 {
				way = "down"
			}
			said := fmt.Sprintf("%s had to go an octave %s, to %s", was.Say(), way, note.Say())
			if m.leaps(event) {
				said += ", and the line leaps there"
			}
			return said
		})
	}
}

// heldBy returns the frets that the notes of one event take, moved n frets along
// their strings, with the lowest and the highest that is stopped; 0 where none is.
func heldBy(notes []fretboard.Fretted, n int) (at fretboard.Stops, low, high int) {
	at = fretboard.NoStops
	for _, note := range notes {
		if note.Dead || harmonicOf(note) > 0 {
			continue
		}
		fret := note.Fret + n
		at[note.String] = int8(fret)
		if fret > 0 && (low == 0 || fret < low) {
			low = fret
		}
		high = max(high, fret)
	}
	return at, low, high
}

// needs returns the frets that the hand spans and the fingers that it takes to
// hold the notes where they are written.
func needs(notes []fretboard.Fretted) (span, fingers int) {
	at, low, high := heldBy(notes, 0)
	return high - low, at.Fingers(low, high)
}
