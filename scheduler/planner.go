package scheduler

import (
	"fmt"
	"math"
	"time"
)

// Options set up a [Planner]. The zero value is useful: two seconds of aim,
// days in UTC, the published weights.
type Options struct {
	Aim      time.Duration  // for items that have none; 0 means [DefaultAim]
	Location *time.Location // where a practice day begins at four; nil means UTC
	Weights  Weights        // all zero: [DefaultWeights]
}

// A Planner knows every item, learns from reviews in log order, and says what
// to ask next. It is not safe for concurrent use.
type Planner struct {
	opt     Options
	f       formulas
	items   []entry
	index   map[string]int32
	unknown []Review // of items that are not in the set now: kept aside
	gigs    []gig
	narrow  func(Item) bool
	day     Day    // of the latest answer
	seq     uint32 // answers learnt
	last    [2]int32
}

// entry is an item with its state and what the planner works out from it.
type entry struct {
	item  Item
	state State
	aim   time.Duration
	kin   []kin
	seq   uint32 // answer number of its last answer
	out   bool   // not in this sitting
	gigs  bool
}

type kin struct {
	at     int32
	weight float64
}

// NewPlanner returns a planner for items, none of them met yet. It fails on an
// empty or repeated id, on kin that is not among the items, on a kin weight
// outside 0 to 1, on an item that is its own kin and on weights that are not
// finite numbers.
func NewPlanner(items []Item, opt Options) (*Planner, error) {
	if opt.Aim <= 0 {
		opt.Aim = DefaultAim
	}
	if opt.Weights == (Weights{}) {
		opt.Weights = DefaultWeights
	}
	for i, w := range opt.Weights {
		if math.IsNaN(w) || math.IsInf(w, 0) {
			return nil, fmt.Errorf("scheduler: weight %d is %v; give 21 finite numbers", i, w)
		}
	}
	p := &Planner{opt: opt, f: newFormulas(opt.Weights), last: [2]int32{-1, -1}}
	p.index = make(map[string]int32, len(items))
	p.items = make([]entry, len(items))
	for i, it := range items {
		if it.ID == "" {
			return nil, fmt.Errorf("scheduler: item %d has no id; give every item one", i)
		}
		if j, ok := p.index[it.ID]; ok {
			return nil, fmt.Errorf("scheduler: items %d and %d share the id %q; ids must differ", j, i, it.ID)
		}
		p.index[it.ID] = int32(i)
		aim := it.Aim
		if aim <= 0 {
			aim = opt.Aim
		}
		p.items[i] = entry{item: it, aim: aim}
	}
	for i := range p.items {
		e := &p.items[i]
		for _, k := range e.item.Kin {
			j, ok := p.index[k.ID]
			switch {
			case !ok:
				return nil, fmt.Errorf("scheduler: item %q has kin %q, which is not an item; add it or leave it out", e.item.ID, k.ID)
			case int(j) == i:
				return nil, fmt.Errorf("scheduler: item %q is its own kin; leave it out", e.item.ID)
			case !(k.Weight >= 0 && k.Weight <= 1):
				return nil, fmt.Errorf("scheduler: item %q has kin %q of weight %v; weights are 0 to 1", e.item.ID, k.ID, k.Weight)
			}
			e.kin = append(e.kin, kin{j, k.Weight})
		}
	}
	return p, nil
}

// Learn takes in one review. Reviews come in log order; one of an item that is
// not among the planner's is kept aside.
func (p *Planner) Learn(r Review) {
	day := r.Day
	if day == 0 {
		day = DayOf(r.At, p.opt.Location)
	}
	i, ok := p.index[r.Item]
	if !ok {
		p.unknown = append(p.unknown, r)
		return
	}
	e := &p.items[i]
	e.state = p.f.update(e.state, r, day, e.aim)
	p.seq++
	e.seq = p.seq
	p.day = day
	p.last[1], p.last[0] = p.last[0], i
}

// Outcome returns what r says of its item: missed, slow, steady or quick, by
// the item's aim.
func (p *Planner) Outcome(r Review) Outcome {
	aim := p.opt.Aim
	if i, ok := p.index[r.Item]; ok {
		aim = p.items[i].aim
	}
	return Judge(r.Right, r.Thinking, aim)
}

// State returns what is known of an item, and whether it is one of the
// planner's.
func (p *Planner) State(item string) (State, bool) {
	i, ok := p.index[item]
	if !ok {
		return State{}, false
	}
	return p.items[i].state, true
}

// Fluency returns the probability, 0 to 1, that the item would be answered
// right and within its aim at the given time; 0 for an unknown item.
func (p *Planner) Fluency(item string, at time.Time) float64 {
	i, ok := p.index[item]
	if !ok {
		return 0
	}
	return p.fluency(i, DayOf(at, p.opt.Location))
}

func (p *Planner) fluency(i int32, day Day) float64 {
	s := &p.items[i].state
	if s.Asked == 0 {
		return 0
	}
	return p.f.retrievability(s.Stability, float64(day-s.Day))
}

// Narrow makes this sitting ask only items that keep wants; nil wants all
// again. What is learnt still counts for every item.
func (p *Planner) Narrow(keep func(Item) bool) {
	for i := range p.items {
		p.items[i].out = keep != nil && !keep(p.items[i].item)
	}
}
