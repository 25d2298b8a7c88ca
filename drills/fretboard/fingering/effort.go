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
	position float64 // per fret of hand position above the first
	reach    float64 // per note stopped four frets above the index finger
	open     float64 // per open string: below zero it is sought, above avoided

	span   float64 // per fret from a chord's lowest fret to its highest
	finger float64 // per finger of a chord beyond the first
	skip   float64 // per silent string inside a chord beyond two

	shift      float64 // for moving the hand at all
	shiftFret  float64 // and per fret moved
	shiftOpen  float64 // times this, where an open string covers the move
	shiftSlide float64 // times this, where two or more fingers stay on their strings
	quick      float64 // beats: a move in less time costs in proportion more

	cross     float64 // from a string to its neighbour
	crossMore float64 // and per string further
	hop       float64 // one finger to the same fret of another string
	regrip    float64 // from a chord to one on other strings
	slur      float64 // a hammer-on, pull-off or slide parted over two strings
}

// defaultEffort seeks open strings, as walks and parts in open position do.
var defaultEffort = effort{
	position: 0.08, reach: fretboard.EffortReach, open: -0.2,
	span: fretboard.EffortSpan, finger: fretboard.EffortFinger, skip: fretboard.EffortSkip,
	shift: 2, shiftFret: 0.6, shiftOpen: 0.8, shiftSlide: 0.4, quick: 0.5,
	cross: 0.15, crossMore: 0.5, hop: 0.6, regrip: 0.8, slur: 6,
}

// hold returns what holding s takes.
func (e *effort) hold(s *state, span, fingers, skipped int) float64 {
	cost := e.position*float64(s.hand-1) + e.open*float64(s.opens) + e.reach*float64(s.reached)
	if s.notes > 1 {
		cost += e.span*float64(span) + e.finger*float64(max(fingers-1, 0)) + e.skip*float64(max(skipped-2, 0))
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
	if beats < e.quick {
		quick = e.quick / beats
	}
	for d := 1; d < len(m.shift); d++ {
		m.shift[d] = (e.shift + e.shiftFret*float64(d)) * quick
	}
	for d := 1; d < len(m.cross); d++ {
		m.cross[d] = e.cross + e.crossMore*float64(d-1)
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
			cost *= m.shiftOpen
		} else if a.fretted == b.fretted && a.fretted&(a.fretted-1) != 0 {
			cost *= m.shiftSlide
		}
	}
	if a.notes == 1 && b.notes == 1 {
		if a.strs[0] != b.strs[0] {
			cost += m.cross[abs(a.strs[0]-b.strs[0])]
			if a.fret == b.fret && a.fret > 0 {
				cost += m.hop
			}
		}
	} else if a.notes > 1 && b.notes > 1 && a.played != b.played {
		cost += m.regrip
	}
	for j, i := range from {
		if i >= 0 && a.strs[i] != b.strs[j] {
			cost += m.slur
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
