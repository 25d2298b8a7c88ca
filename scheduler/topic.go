package scheduler

import (
	"math"
	"time"
)

// A topic is what a player calls one thing: a string's naturals, the chords of a
// key. Half of it is worth little, so what is begun is finished before more is.
type topic struct {
	items  []int32
	family int32
	kept   int32   // items that are asked in this sitting
	fresh  int32   // of them, never asked
	stage  int32   // lowest of those
	soon   int32   // of those kept, that nobody should wait for
	unmet  int32   // of them, never asked
	met    int32   // of them, asked the first time today
	unsure int32   // of those asked, that are not yet sure, nor parked
	fluent float64 // sum of all items' probabilities
	weight float32 // what an evening of one of its items counts
}

// Settings of topics and of few new items at a time, chosen on the choosing bank
// of cmd/schedulelab: see SCIENCE.md.
const (
	makingMost  = 12   // items asked and not yet sure, beyond which no new ones come: see Options.Making and paced
	makingBelow = 0.6  // fluency under which they are not,
	makingDays  = 10   // until they were asked on so many days
	parkedBelow = 0.5  // fluency under which what was asked on so many days is parked,
	parkedDays  = 7    // and comes once in so many
	topicSure   = 0.88 // mean fluency of a topic that is about to be sure or about to slip, and counts most,
	topicWidth  = 0.10 // how narrowly,
	topicWorth  = 6.0  // and how much more than others
	familyDays  = 6    // a family may be left out
	restedMost  = 2    // families that come back on one day for that
	soonDays    = 18   // by this day all that nobody should wait for was met: some days before the three weeks are over,
	soonFrom    = 3    // begun on this one, whatever else is in the making,
	soonMost    = 8    // but no more of it on one day, so that a break does not end in a flood
	handfulMost = 2    // new items of a family that was left out, whatever else is in the making
	unsureBelow = 0.8  // fluency under which an item is not yet sure
	unsureShare = 0.2  // of a topic's items, above which it is unfinished
	firstPace   = 0.93 // share right lately above which another topic begins before the first is sure
	firstSure   = 0.9  // mean fluency of a topic that is sure for certain: until then no second one begins
)

// weigh sets what a topic counts: more the nearer it is to being sure, so that what
// is begun is finished, and what is sure is kept so.
func (p *Planner) weigh(k int32) {
	t := &p.topics[k]
	mean := t.fluent / float64(len(t.items))
	near := logistic((mean - topicSure) / topicWidth)
	worth := topicWorth * min(1, makingMost/float64(p.opt.Making)) // who begins much need not finish it
	t.weight = float32(1 + worth*4*near*(1-near))
	for _, i := range t.items {
		p.value(&p.standing[i])
	}
}

// value sets what asking an item is worth: by what its topic counts, but a deadline's
// items are wanted one by one, and there a topic that is nearly sure would hold the others up.
func (p *Planner) value(t *standing) {
	if t.worth = t.loss; t.deadline < 0 {
		t.worth *= p.topics[t.topic].weight
	}
}

// paces are the limit on what is in the making, in parts of [Options].Making, by the
// share that was right lately: more where nearly all is right, fewer where much goes
// wrong, so that right answers stay near the rate that is said to be best for learning,
// 85 % (Wilson, Shenhav, Straccia & Cohen 2019). Chosen on simulated beginners.
var paces = [...]struct{ right, part float64 }{{0.65, 0.6}, {0.75, 1}, {0.86, 1}, {0.92, 2.5}}

// pacedMost is the most that what is right lately lets into the making; who has set a higher
// limit keeps it.
const pacedMost = 30

// paced is how many items may be in the making as things go.
func (p *Planner) paced() int {
	if p.firstDay() {
		return p.opt.Making
	}
	right, part := p.player.Right.Mean, paces[0].part
	for k, b := range paces[1:] {
		a := paces[k]
		part += (b.part - a.part) * clamp((right-a.right)/(b.right-a.right), 0, 1)
	}
	return min(int(part*float64(p.opt.Making)), max(pacedMost, p.opt.Making))
}

// tryPace is the share right lately from which the player may be asked before he is shown.
const tryPace = 0.85

// MayTry reports whether the player has so much right that he may be asked what is new
// before he is shown it: to try and fail, and be told, teaches more than being told
// (Richland, Kornell & Kao 2009, from memory), for who mostly succeeds. It holds from his
// second day on.
func (p *Planner) MayTry() bool { return !p.firstDay() && p.player.Right.Mean >= tryPace }

// firstDay reports whether the player never practised before today: what was just told is
// right, and says little of tomorrow.
func (p *Planner) firstDay() bool { return p.seq == 0 || p.began == p.today }

// supply finds the topic that new items come from: one that nobody should wait for and
// that is late, or of a family that was left out, else one that is begun, else the first by
// stage. It stays with a handful.
func (p *Planner) supply() {
	if p.handful > 0 && p.topics[p.from].fresh > 0 {
		return
	}
	if p.handful, p.from = p.late(); p.handful > 0 {
		return
	}
	p.from, p.handful = -1, 0
	for k := range p.topics {
		t := &p.topics[k]
		if t.fresh > 0 && (p.from < 0 || p.sooner(t, &p.topics[p.from])) {
			p.from = int32(k)
		}
	}
	switch {
	case p.from < 0:
	case p.families[p.topics[p.from].family].rested:
		p.handful = handfulMost
	case p.topics[p.from].fresh == p.topics[p.from].kept && (p.firstDay() || p.player.Right.Mean < firstPace) && p.firstUnfinished():
		p.from = -1
	}
}

// firstUnfinished reports whether the player has no topic yet that is sure for certain,
// and one that is begun and unfinished: the first is finished before another begins, so
// that he has something to play with within days. Who may have more in the making than
// the first one has, or meets a small one first, begins the next, and so does who has
// nearly all right from his second day on.
func (p *Planner) firstUnfinished() bool {
	unfinished, met := false, int32(0)
	for k := range p.topics {
		t := &p.topics[k]
		if t.fluent >= firstSure*float64(len(t.items)) {
			return false
		}
		unfinished = unfinished || float64(t.unsure) > unsureShare*float64(t.kept)
		met += t.kept - t.fresh
	}
	return unfinished && int(met) >= p.opt.Making
}

// late returns how many of the items that nobody should wait for should have been met by
// today and were not, as far as they may begin today, and the first topic by stage that has
// any; one that is begun comes first of its stage.
func (p *Planner) late() (n int, from int32) {
	all, unmet, met := 0, 0, 0
	from = -1
	for k := range p.topics {
		t := &p.topics[k]
		all, unmet, met = all+int(t.soon), unmet+int(t.unmet), met+int(t.met)
		if t.unmet > 0 && (from < 0 || t.before(&p.topics[from])) {
			from = int32(k)
		}
	}
	if p.began == 0 {
		return 0, -1
	}
	left := float64(soonDays-(p.today-p.began)) / (soonDays - soonFrom)
	return min(unmet-int(float64(all)*clamp(left, 0, 1)), soonMost-met), from
}

// sooner reports whether a is begun or gone on with before b.
func (p *Planner) sooner(a, b *topic) bool {
	f, g := &p.families[a.family], &p.families[b.family]
	if f.rested != g.rested {
		return f.rested
	}
	if begun := a.fresh < a.kept; begun != (b.fresh < b.kept) {
		return begun
	}
	return a.stage < b.stage
}

// before is the same of two that nobody should wait for.
func (t *topic) before(o *topic) bool {
	if t.stage != o.stage {
		return t.stage < o.stage
	}
	return t.fresh < t.kept && o.fresh == o.kept
}

// count counts the items of a topic that this sitting asks, and of them those never
// asked.
func (p *Planner) count(k int32) {
	t := &p.topics[k]
	t.kept, t.fresh, t.soon, t.unmet, t.met, t.stage = 0, 0, 0, 0, 0, math.MaxInt32
	for _, i := range t.items {
		if p.standing[i].out {
			continue
		}
		if p.standing[i].soon {
			t.soon++
			t.met += int32(one(p.items[i].state.Days == 1 && p.items[i].state.Day == p.today))
		}
		if t.kept++; p.items[i].state.Asked == 0 {
			t.fresh++
			t.unmet += int32(one(p.standing[i].soon))
			t.stage = min(t.stage, p.standing[i].stage)
		}
	}
}

// rest notes which families were left out for too long, and no more than restedMost on a
// day, those first that were left out longest: else what is new of all of them would come
// at once. A family that was never asked is not left out before the first stage, which it
// stands on, was met.
func (p *Planner) rest() {
	for f := range p.families {
		p.families[f].rested, p.families[f].day = false, 0
	}
	beginning := false // something of the first stage was never asked
	for i := range p.items {
		t, s := &p.standing[i], &p.items[i].state
		if s.Asked > 0 {
			g := &p.families[t.family]
			g.day = max(g.day, s.Day)
		}
		beginning = beginning || s.Asked == 0 && t.stage <= 0 && !t.out
	}
	if p.began == 0 {
		return
	}
	for range restedMost {
		longest := int32(-1)
		for f := range p.families {
			g := &p.families[f]
			left := !g.rested && p.today-max(g.day, p.began) >= familyDays && (g.day > 0 || !beginning)
			if left && (longest < 0 || g.day < p.families[longest].day) {
				longest = int32(f)
			}
		}
		if longest >= 0 {
			p.families[longest].rested = true
		}
	}
}

// parked reports whether an item is parked on a day: it was asked on many days and
// stays slow, so that more of the same will not help soon.
func (p *Planner) parked(i int32, day Day) bool {
	s := &p.items[i].state
	return s.Days >= makingDays && !s.Last.Fluent() && p.look(i, day).fluent < parkedBelow
}

// Parked lists the items that are parked: slow after ten days of practice, they come
// once a week, or as a deadline needs them, or to a player who named what he wants
// once nothing else of it is left.
func (p *Planner) Parked(now time.Time) []string {
	var ids []string
	for i := range p.items {
		if p.parked(int32(i), DayOf(now, p.opt.Location)) {
			ids = append(ids, p.given[i].ID)
		}
	}
	return ids
}

// mark notes, from a day on, whether an item is not yet sure and whether it is in the
// making: asked in this sitting's range, not yet to be counted on, and not for too long.
func (p *Planner) mark(i int32, day Day) {
	t, s := &p.standing[i], &p.items[i].state
	fluency := 1.0
	if !t.out && s.Asked > 0 && s.Fluent < s.Asked && s.Days < makingDays {
		fluency = p.look(i, day).fluent
	}
	making, unsure := fluency < makingBelow, fluency < unsureBelow
	p.making += one(making) - one(t.making)
	p.topics[t.topic].unsure += int32(one(unsure) - one(t.unsure))
	t.making, t.unsure = making, unsure
}

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}
