package fingering

import "surefret/drills/fretboard"

// An effort weighs what the left hand does, in units of no name: 1 is about
// the trouble of crossing two strings. A path of positions costs the sum over
// its events of what holding them takes, and over its neighbours of what
// getting there takes.
//
// That a fingering is the cheapest path through a graph whose layers are the
// positions of each note is Sayegh's optimum path paradigm (Computer Music
// Journal 13(3), 1989); that frets and strings are two different distances is
// Radicioni, Anselma and Lombardo's (2004); the discount for a barre, here for
// fingers saved, is Tuohy and Potter's (2005). The numbers are our own: chosen
// so that the open-position scales and chords which every method book teaches
// come out as taught, which the tests hold them to.
type effort struct {
	Position float64 // per fret of hand position above the first
	Reach    float64 // per note stopped four frets above the index finger
	Open     float64 // per open string: below zero it is sought, above avoided

	Span   float64 // per fret from a chord's lowest fret to its highest
	Finger float64 // per finger of a chord beyond the first
	Skip   float64 // per silent string inside a chord beyond two

	Shift      float64 // for moving the hand at all
	ShiftFret  float64 // and per fret moved
	ShiftOpen  float64 // times this, where an open string covers the move
	ShiftSlide float64 // times this, where two or more fingers stay on their strings
	Quick      float64 // beats: a move in less time costs in proportion more

	Cross     float64 // from a string to its neighbour
	CrossMore float64 // and per string further
	Hop       float64 // one finger to the same fret of another string
	Regrip    float64 // from a chord to one on other strings
	Slur      float64 // a hammer-on, pull-off or slide parted over two strings
}

// defaultEffort seeks open strings, as walks and parts in open position do.
var defaultEffort = effort{
	Position: 0.08, Reach: fretboard.EffortReach, Open: -0.2,
	Span: fretboard.EffortSpan, Finger: fretboard.EffortFinger, Skip: fretboard.EffortSkip,
	Shift: 2, ShiftFret: 0.6, ShiftOpen: 0.8, ShiftSlide: 0.4, Quick: 0.5,
	Cross: 0.15, CrossMore: 0.5, Hop: 0.6, Regrip: 0.8, Slur: 6,
}

// hold returns what holding s takes.
func (e *effort) hold(s *state, span, fingers, skipped int) float64 {
	cost := e.Position*float64(s.hand-1) + e.Open*float64(s.opens) + e.Reach*float64(s.reached)
	if s.notes > 1 {
		cost += e.Span*float64(span) + e.Finger*float64(max(fingers-1, 0)) + e.Skip*float64(max(skipped-2, 0))
	}
	return cost
}

// A mover is an effort worked out for the beats that one move may take.
type mover struct {
	*effort
	shift [fretboard.MostFrets + 1]float64  // by frets moved
	cross [fretboard.MaxStrings + 1]float64 // by strings crossed
}

func (e *effort) mover(beats float64) *mover {
	m := &mover{effort: e}
	quick := 1.0
	if beats < e.Quick {
		quick = e.Quick / beats
	}
	for d := 1; d < len(m.shift); d++ {
		m.shift[d] = (e.Shift + e.ShiftFret*float64(d)) * quick
	}
	for d := 1; d < len(m.cross); d++ {
		m.cross[d] = e.Cross + e.CrossMore*float64(d-1)
	}
	return m
}

// move returns what getting from a to b takes. from gives for each note of b
// the note of a that it is slurred from, or -1.
func (m *mover) move(a, b *state, from []int) float64 {
	cost := 0.0
	if a.hand != b.hand {
		cost = m.shift[abs(a.hand-b.hand)]
		if a.fretted == 0 || b.fretted == 0 {
			cost *= m.ShiftOpen
		} else if a.fretted == b.fretted && a.fretted&(a.fretted-1) != 0 {
			cost *= m.ShiftSlide
		}
	}
	if a.notes == 1 && b.notes == 1 {
		if a.strs[0] != b.strs[0] {
			cost += m.cross[abs(a.strs[0]-b.strs[0])]
			if a.fret == b.fret && a.fret > 0 {
				cost += m.Hop
			}
		}
	} else if a.notes > 1 && b.notes > 1 && a.played != b.played {
		cost += m.Regrip
	}
	for j, i := range from {
		if i >= 0 && a.strs[i] != b.strs[j] {
			cost += m.Slur
		}
	}
	return cost
}

func abs(n int8) int8 {
	if n < 0 {
		return -n
	}
	return n
}
