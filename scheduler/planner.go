package scheduler

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Options set up a [Planner]. The zero value is useful: two seconds of aim,
// days in UTC.
type Options struct {
	Aim      time.Duration  // for items that have none; 0 means [DefaultAim]
	Location *time.Location // where a practice day begins at four; nil means UTC
	Daily    time.Duration  // practice a day that predictions assume; 0 means [defaultDaily]
	Making   int            // items asked and not yet sure, beyond which no new ones come; 0 means 12
}

// defaultDaily is the practice a day that predictions assume when the player
// does not say otherwise.
const defaultDaily = 10 * time.Minute

// A Planner knows every item, learns from answers in log order, and says what
// to ask next. It is not safe for concurrent use.
//
// What it has learnt is a function of the log alone. What it asks next depends on
// when it last looked at every item as well, which is when the day began: one that
// was kept alive and one made anew from the same log may choose otherwise, and do
// as well.
type Planner struct {
	opt      Options
	items    []entry
	given    []Item // as they were handed in
	index    map[string]int32
	families []family
	topics   []topic

	// Learnt, and kept by a snapshot.
	player    player
	unknown   []Answer // of items that are not in the set now: kept aside
	day       Day      // of the latest answer
	before    Day      // the practice day before that
	began     Day      // of the first answer
	shifted   Day      // days that all was moved back by, as the clock was,
	shiftedOn Day      // on this day
	at        int64    // instant of the latest answer, Unix milliseconds
	seq       uint32   // answers learnt
	last      int32    // item of the latest answer, -1 before the first
	run       uint32   // answers in a row to one family

	deadlines []deadline

	today    Day
	planned  bool
	named    bool  // the player named what this sitting asks
	making   int   // items that are not yet sure: see makingMost
	from     int32 // topic that new items come from, -1 for none
	handful  int   // of them still to come from a family that was left out
	standing []standing
	asked    int // families that are asked in this sitting
}

// entry is what was learnt of an item and what every answer touches: kept small,
// so that a million are replayed in a second.
type entry struct {
	state  State
	logAim float64
	aim    time.Duration
	guess  float64 // chance that a guess is right
	helps  []kin   // the items that its practice helps
	seq    uint32  // answer number of its last answer
	back   bool    // missed on its last day, and to return that day
}

type kin struct {
	at     int32
	weight float64
}

type family struct {
	seq    uint32 // answer number of its last answer
	day    Day    // of it as of this morning, 0 for never
	kept   int32  // items that are asked in this sitting
	rested bool   // left out for too long
}

// standing is what [Planner.Next] looks at for each item, kept small because
// it looks at all of them after every answer.
type standing struct {
	worth    float32 // the same by what its topic counts
	loss     float32 // fluent evenings a second lost by waiting
	fluent   float32 // probability when last looked at
	first    float32 // seconds that asking may take, if new; else 0
	group    int32   // 0 for none
	family   int32
	topic    int32
	stage    int32
	soon     bool  // see Item.Soon
	deadline int16 // number of the deadline that wants it, -1 for none
	told     bool  // its answer was given away by the last one; only within Next
	making   bool  // asked, and not yet to be counted on
	unsure   bool  // asked, and not yet sure
	parked   bool  // slow after long practice, and asked lately
	out      bool  // not in this sitting
	asked    bool  // today
}

// NewPlanner returns a planner for items, none of them met yet. It fails on an
// empty or repeated id, on kin that is not among the items, on a kin weight
// outside 0 to 1, on an item that is its own kin and on a guess that is always right.
func NewPlanner(items []Item, opt Options) (*Planner, error) {
	if opt.Aim <= 0 {
		opt.Aim = DefaultAim
	}
	if opt.Daily <= 0 {
		opt.Daily = defaultDaily
	}
	if opt.Making <= 0 {
		opt.Making = makingMost
	}
	p := &Planner{opt: opt, player: newPlayer(), last: -1}
	p.index = make(map[string]int32, len(items))
	p.items, p.given = make([]entry, len(items)), slices.Clone(items)
	p.standing = make([]standing, len(items))
	families, groups, topics := map[string]int32{}, map[string]int32{"": 0}, map[string]int32{}
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
		if !(it.Guess >= 0 && it.Guess < 1) {
			return nil, fmt.Errorf("scheduler: a guess at item %q is right with a chance of %v; chances are 0 to below 1", it.ID, it.Guess)
		}
		p.items[i] = entry{aim: aim, logAim: math.Log(aim.Seconds()), guess: it.Guess}
		name := it.Topic
		if name == "" {
			name = fmt.Sprintf("%s, %s", it.Family, it.Group)
		}
		s := standing{deadline: -1, group: number(groups, it.Group), family: number(families, it.Family), topic: number(topics, name), stage: int32(it.Stage), soon: it.Soon}
		if int(s.topic) == len(p.topics) {
			p.topics = append(p.topics, topic{family: s.family})
		}
		p.topics[s.topic].items = append(p.topics[s.topic].items, int32(i))
		p.standing[i] = s
	}
	// What opens before something that nobody should wait for is met before it.
	last := int32(math.MinInt32)
	for i := range p.standing {
		if p.standing[i].soon {
			last = max(last, p.standing[i].stage)
		}
	}
	for i := range p.standing {
		p.standing[i].soon = p.standing[i].stage <= last
	}
	p.families = make([]family, len(families))
	if err := p.link(); err != nil {
		return nil, err
	}
	p.Narrow(nil, false)
	return p, nil
}

// number numbers names in the order they come.
func number(numbers map[string]int32, name string) int32 {
	n, ok := numbers[name]
	if !ok {
		n = int32(len(numbers))
		numbers[name] = n
	}
	return n
}

// link finds what every item's practice helps.
func (p *Planner) link() error {
	for i, it := range p.given {
		for _, k := range it.Kin {
			j, ok := p.index[k.ID]
			switch {
			case !ok:
				return fmt.Errorf("scheduler: item %q has kin %q, which is not an item; add it or leave it out", it.ID, k.ID)
			case int(j) == i:
				return fmt.Errorf("scheduler: item %q is its own kin; leave it out", it.ID)
			case !(k.Weight >= 0 && k.Weight <= 1):
				return fmt.Errorf("scheduler: item %q has kin %q of weight %v; weights are 0 to 1", it.ID, k.ID, k.Weight)
			}
			p.items[j].helps = append(p.items[j].helps, kin{int32(i), k.Weight})
		}
	}
	return nil
}

// Learn takes in one answer. Answers come in log order; one of an item that is
// not among the planner's is kept aside. The work grows with the items that this
// one helps, not with items and answers, unless the clock was set back.
func (p *Planner) Learn(r Answer) {
	i, ok := p.index[r.Item]
	if !ok {
		r.At = r.At.Round(0).UTC()
		p.unknown = append(p.unknown, r)
		return
	}
	day := p.answerDay(r)
	if day < p.day-1 {
		p.setBack(day)
	}
	p.setRight(day)
	e, g := &p.items[i], &p.families[p.standing[i].family]
	o := judge(r.Right, r.Thinking, e.aim)
	before, again := e.state.Practice, e.back && e.state.Day == day
	first := e.state.Asked == 0
	p.pace(r, day)
	v := newView(&p.player, &e.state, day, e.logAim)
	v.guess = e.guess
	p.player, e.state = update(p.player, e.state, v, r, day, o)
	share := e.state.Practice - before
	for _, k := range e.helps {
		p.items[k.at].state.lend(share*k.weight*kinShare, day)
	}
	e.back = !r.Right && (first || v.fluent > againKnown) && !again // it returns once a day

	p.seq++
	p.run++
	if p.last < 0 || p.standing[p.last].family != p.standing[i].family {
		p.run = 1
	}
	if day != p.day {
		p.before = p.day
	}
	if p.shifted <= breakMost && day-p.shiftedOn >= trustedAfter {
		p.shifted = 0 // the clock was ahead before; what comes now is a break
	}
	e.seq, g.seq, p.day, p.last = p.seq, p.seq, day, i
	if p.seq == 1 {
		p.began = day
	}
	t := &p.standing[i]
	t.asked = true
	if p.planned {
		if first && !t.out {
			p.count(t.topic)
			if t.topic == p.from && p.handful > 0 {
				p.handful--
			}
		}
		if g.rested = false; first || p.handful == 0 {
			p.supply()
		}
		p.mark(i, day+1)
		p.appraise(i)
		for _, k := range e.helps {
			p.appraise(k.at)
		}
		p.weigh(t.topic)
	}
}

// pace learns what an answer takes besides thinking, and how often the player
// practises.
func (p *Planner) pace(r Answer, day Day) {
	at := r.At.UnixMilli()
	switch gap := float64(at-p.at)/1000 - r.Thinking.Seconds(); {
	case p.seq == 0:
	case day > p.day:
		p.player.Present.add(1, 1, daysMost)
		if away := day - p.day - 1; away > 0 {
			p.player.Present.add(0, float64(min(away, absence)), daysMost)
		}
	case r.Thinking > 0 && gap > 0 && gap < pause:
		if p.items[p.last].state.Last == Missed {
			gap = max(gap-feedback, 0)
		}
		p.player.Besides.add(gap, 1, timesMost)
	}
	p.at = at
}

func (p *Planner) answerDay(r Answer) Day {
	if r.Day != 0 {
		return r.Day
	}
	return DayOf(r.At, p.opt.Location)
}

// Outcome returns what r says of its item: missed, slow, steady or quick, by
// the item's aim.
func (p *Planner) Outcome(r Answer) Outcome {
	aim := p.opt.Aim
	if i, ok := p.index[r.Item]; ok {
		aim = p.items[i].aim
	}
	return judge(r.Right, r.Thinking, aim)
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
// right and within its aim on the practice day of at; 0 for an unknown item.
func (p *Planner) Fluency(item string, at time.Time) float64 {
	i, ok := p.index[item]
	if !ok {
		return 0
	}
	v := p.look(i, DayOf(at, p.opt.Location))
	return v.fluent
}

// look is the view of an item as the player is known now.
func (p *Planner) look(i int32, day Day) view {
	if p.isRight(day) {
		day -= p.shifted
	}
	return newView(&p.player, &p.items[i].state, day, p.items[i].logAim)
}

// Narrow makes this sitting ask only items that keep wants; nil wants all
// again. Named says that the player asked for just these: what is parked comes
// then, too, once nothing else is left. What is learnt still counts for every item.
func (p *Planner) Narrow(keep func(Item) bool, named bool) {
	for f := range p.families {
		p.families[f].kept = 0
	}
	p.asked, p.named = 0, named
	for i := range p.items {
		s := &p.standing[i]
		if s.out = keep != nil && !keep(p.given[i]); s.out {
			continue
		}
		g := &p.families[s.family]
		if g.kept++; g.kept == 1 {
			p.asked++
		}
	}
	p.planned = false
}
