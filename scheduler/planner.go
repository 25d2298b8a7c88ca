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
	opt      Options
	f        formulas
	player   Player
	items    []entry
	index    map[string]int32
	families []family
	groups   int
	unknown  []Review // of items that are not in the set now: kept aside
	gigs     []gig
	day      Day    // of the latest answer
	seq      uint32 // answers learnt
	last     int32  // item of the latest answer, -1 before the first

	// What the plan of a day rests on, frozen when the day begins so that
	// the order of asking depends on the log and the clock alone.
	today   Day
	planned bool
	then    Player
	plan    plan
	worth   []float32 // fluent days a second lost by waiting, for each item
	spent   float64   // seconds of the day that the price was set for
	dirty   []int32
}

// entry is an item with its state and what the planner works out from it.
type entry struct {
	item   Item
	state  State
	logAim float64
	kin    []kin
	seq    uint32 // answer number of its last answer
	family int32
	group  int32
	out    bool // not in this sitting
	back   bool // missed today and not yet remembered since
}

type family struct {
	name string
	seq  uint32
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
	p := &Planner{opt: opt, f: newFormulas(opt.Weights), player: NewPlayer(), last: -1}
	p.index = make(map[string]int32, len(items))
	p.items = make([]entry, len(items))
	families, groups := map[string]int32{}, map[string]int32{"": 0}
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
		p.items[i] = entry{item: it, logAim: math.Log(aim.Seconds()), family: named(families, it.Family), group: named(groups, it.Group)}
	}
	p.families = make([]family, len(families))
	p.worth = make([]float32, len(items))
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
	prior := p.kinship(e, day)
	v := p.f.view(&p.player, &e.state, day, e.logAim, prior*p.player.Kin.Mean)
	remembered := p.player.read(v, r)
	p.player.learn(&e.state, v, remembered, r, prior)
	first := e.state.Asked == 0
	e.state = p.f.update(e.state, v, remembered, r, day, p.Outcome(r))
	p.seq++
	e.seq = p.seq
	e.back = remembered <= 0.5 && !r.Right
	p.families[e.family].seq = p.seq
	p.day, p.last = day, i
	if first {
		for _, k := range e.kin {
			p.dirty = append(p.dirty, k.at)
		}
	}
}

// named numbers names in the order they come.
func named(numbers map[string]int32, name string) int32 {
	n, ok := numbers[name]
	if !ok {
		n = int32(len(numbers))
		numbers[name] = n
	}
	return n
}

// kinship is how much of a new item its kin give away, 0 to 1.
func (p *Planner) kinship(e *entry, day Day) float64 {
	most := 0.0
	if e.state.Asked > 0 {
		return 0
	}
	for _, k := range e.kin {
		s := &p.items[k.at].state
		if s.Asked == 0 {
			continue
		}
		r, _ := p.player.recall(s.Stability, max(float64(day-s.Day), 1), s.stage())
		most = max(most, r*k.weight)
	}
	return most
}

// Outcome returns what r says of its item: missed, slow, steady or quick, by
// the item's aim.
func (p *Planner) Outcome(r Review) Outcome {
	aim := p.opt.Aim
	if i, ok := p.index[r.Item]; ok && p.items[i].item.Aim > 0 {
		aim = p.items[i].item.Aim
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
	e := &p.items[i]
	return p.f.view(&p.player, &e.state, day, e.logAim, p.kinship(e, day)*p.player.Kin.Mean).fluent
}

// Narrow makes this sitting ask only items that keep wants; nil wants all
// again. What is learnt still counts for every item.
func (p *Planner) Narrow(keep func(Item) bool) {
	for i := range p.items {
		p.items[i].out = keep != nil && !keep(p.items[i].item)
	}
}
