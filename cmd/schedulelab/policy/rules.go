package policy

import (
	"math"

	"surefret/cmd/schedulelab/dsr"
	"surefret/scheduler"
)

// A Repeat says which answers bring an item back in the same sitting.
type Repeat int

const (
	RepeatMissed Repeat = iota // wrong ones
	RepeatNone
)

func (r Repeat) String() string {
	return [...]string{"misses again", "no repeats"}[r]
}

// Leitner keeps items in boxes that come round every 1, 2, 4 ... days
// (Leitner, So lernt man lernen, 1972, whose compartments grow likewise). A
// good answer moves an item one box on, a miss back to the first, or one box
// back when gentle; by speed, a slow one leaves it where it is.
func Leitner(s Setting, gentle bool) Maker {
	return func(items []scheduler.Item, seed uint64) Policy {
		r := &leitner{box: make([]int8, len(items)), day: make([]int, len(items)), gentle: gentle}
		return newDueFirst(items, seed, r, s)
	}
}

type leitner struct {
	box    []int8
	day    []int // of the last move: repeats on one day don't move it on again
	gentle bool
}

const lastBox = 6 // 32 days

func (l *leitner) boxOf(item int) int { return int(l.box[item]) }

func (l *leitner) answered(i int, now float64, o scheduler.Outcome) float64 {
	switch {
	case o == scheduler.Missed && l.gentle:
		l.box[i] = max(l.box[i]-1, 0)
	case o == scheduler.Missed:
		l.box[i] = 0
	case o >= scheduler.Steady && l.day[i] != int(now):
		l.box[i] = min(l.box[i]+1, lastBox)
	}
	l.day[i] = int(now)
	// The first good answer puts an item in box 1, due tomorrow.
	return math.Floor(now) + float64(int(1)<<max(l.box[i]-1, 0))
}

// GrowingGaps is the algorithm of Wozniak, Optimization of learning, master's thesis,
// Poznan 1990: intervals 1, 6, then times an easiness that each answer's
// quality moves. Quality is 1 for a miss and 4 for a right answer; by speed 3,
// 4 and 5 for slow, steady and quick.
func GrowingGaps(s Setting) Maker {
	return func(items []scheduler.Item, seed uint64) Policy {
		r := &growingGaps{state: make([]gapState, len(items))}
		return newDueFirst(items, seed, r, s)
	}
}

type growingGaps struct{ state []gapState }

type gapState struct {
	easiness, interval float64
	run                int
	day                int
}

func (s *growingGaps) answered(i int, now float64, o scheduler.Outcome) float64 {
	st := &s.state[i]
	if st.easiness == 0 {
		st.easiness = 2.5
	}
	if st.day != int(now) { // repeats in the sitting don't count, as published
		st.day = int(now)
		q := [...]float64{1, 3, 4, 5}[o]
		if q < 3 {
			st.run = 0
		}
		st.run++
		switch st.run {
		case 1:
			st.interval = 1
		case 2:
			st.interval = 6
		default:
			st.interval = math.Ceil(st.interval * st.easiness)
		}
		st.easiness = max(1.3, st.easiness+0.1-(5-q)*(0.08+(5-q)*0.02))
	}
	return math.Floor(now) + st.interval
}

// Published schedules by the published model of memory, version 6, at its
// default weights: an item is due when recall falls to the retention wanted.
func Published(s Setting, retention float64) Maker {
	return func(items []scheduler.Item, seed uint64) Policy {
		r := &published{
			model: dsr.NewModel(dsr.Published), retention: retention,
			memory: make([]dsr.Memory, len(items)), last: make([]float64, len(items)),
		}
		return newDueFirst(items, seed, r, s)
	}
}

type published struct {
	model     *dsr.Model
	retention float64
	memory    []dsr.Memory
	last      []float64
}

func (p *published) answered(i int, now float64, o scheduler.Outcome) float64 {
	// Whole calendar days, as published.
	gap := math.Floor(now) - math.Floor(p.last[i])
	p.memory[i] = p.model.Next(p.memory[i], gap, dsr.Grade(o)+1)
	p.last[i] = now
	return math.Floor(now) + max(1, math.Round(p.model.Interval(p.memory[i], p.retention)))
}
