package scheduler

import (
	"math"
	"time"
)

// A Choice is the next item to ask and why.
type Choice struct {
	Item    string
	Reason  Reason
	Fluency float64       // probability of right and within the aim, now
	Expect  time.Duration // what asking will probably take, all told
	Worth   float64       // fluent evenings lost a second of asking if it waited until tomorrow
}

// A Reason says in a short clause why an item was chosen.
type Reason struct {
	Kind ReasonKind
	Gig  string    // name of the deadline, for ForDeadline
	Day  time.Time // its day, for ForDeadline
}

// ReasonKind is the sort of a [Reason].
type ReasonKind uint8

// The reasons for asking.
const (
	New         ReasonKind = iota // never asked before
	Due                           // waiting would cost most
	Again                         // missed a moment ago
	ForDeadline                   // a gig needs it
	Rested                        // its family had been left out for long
	Extra                         // nothing is due, and there is time left
)

// String returns a short clause: "new", "due", "missed a moment ago",
// "for Saturday's gig", "not heard for long", "nothing else is due".
func (r Reason) String() string {
	switch r.Kind {
	case New:
		return "new"
	case Due:
		return "due"
	case Again:
		return "missed a moment ago"
	case ForDeadline:
		return "for " + r.Day.Weekday().String() + "'s gig"
	case Rested:
		return "not heard for long"
	}
	return "nothing else is due"
}

// Settings of a sitting.
const (
	againAfter   = 5    // answers between a miss and its return: enough that it must be remembered
	extraAfter   = 12   // answers before an item comes twice in a day for no other reason
	extraBelow   = 0.95 // fluency above which another answer on the day is a waste
	longestRun   = 3    // answers in a row to one family, where there is another
	familyRest   = 20   // answers a family may be left out, times the number of families
	lastSeconds  = 10   // that must be left after a new item, for one that is known
	leastSeconds = 1    // left, to ask anything
)

// A rank orders candidates before their worth does.
type rank uint8

const (
	none    rank = iota
	soon         // asked today, but better than to end on a new item
	extra        // asked today, nothing gained but the time filled
	blocked      // same group as the last
	running      // too many of its family in a row
	open
	pressed // a gig's, when it is the gig's turn
	resting // its family has been left out for too long
	again   // missed a moment ago
)

// Next returns the item to ask now, with the time left in the sitting, and
// false when nothing sensible can be asked. It reads every item's standing,
// O(n), and allocates nothing; the first call on a practice day also lays the
// day's plan, some milliseconds.
func (p *Planner) Next(now time.Time, left time.Duration) (Choice, bool) {
	seconds := left.Seconds()
	if p.asked == 0 || seconds < leastSeconds {
		return Choice{}, false
	}
	p.prepare(DayOf(now, p.opt.Location), seconds)
	var group, fam int32 = 0, -1
	if p.last >= 0 {
		group = p.standing[p.last].group
		if p.run >= longestRun {
			fam = p.standing[p.last].family
		}
	}
	stage := p.openStage()
	rests := uint32(familyRest * p.asked)
	best, top, worth := int32(-1), none, float32(0)
	for i := range p.standing {
		s := &p.standing[i]
		if s.out || int32(i) == p.last {
			continue
		}
		r, w := open, s.worth
		switch {
		case s.asked:
			if r = p.todays(int32(i)); r == none {
				continue
			}
			if r == pressed {
				w = -1 / float32(p.seq-p.items[i].seq) // the longest rested first
			}
		case s.first > 0 && seconds < float64(s.first)+lastSeconds:
			continue // never a new item last
		case s.first > 0 && s.stage > stage && s.gig < 0:
			continue // what comes before it was not all met yet
		case p.seq-p.families[s.family].seq > rests:
			r = resting
		case s.gig >= 0 && w > 0 && p.gigTurn(s.gig):
			r = pressed
		}
		switch {
		case r <= extra:
		case group != 0 && s.group == group:
			r = blocked
		case s.family == fam:
			r = running
		}
		if r > top || r == top && w > worth {
			best, top, worth = int32(i), r, w
		}
	}
	if best < 0 {
		return Choice{}, false
	}
	return p.choice(best, top), true
}

// openStage is the lowest stage with an item in this sitting that was never
// asked. New items of later stages wait for it, unless a gig needs them.
func (p *Planner) openStage() int32 {
	stage := int32(math.MaxInt32)
	for i := range p.standing {
		if s := &p.standing[i]; !s.out && !s.asked && s.first > 0 && s.gig < 0 {
			stage = min(stage, s.stage)
		}
	}
	return stage
}

// todays is the rank of an item already asked today.
func (p *Planner) todays(i int32) rank {
	e := &p.items[i]
	since := p.seq - e.seq
	switch {
	case e.back && since >= againAfter:
		return again
	case since >= extraAfter && p.standing[i].fluent < extraBelow:
		if g := p.standing[i].gig; g >= 0 && p.gigTurn(g) {
			return pressed
		}
		return extra
	case p.items[p.last].state.Asked == 1:
		return soon
	}
	return none
}

func (p *Planner) choice(i int32, r rank) Choice {
	e := &p.items[i]
	v := p.look(i, p.today)
	c := p.player.costs(&v)
	choice := Choice{
		Reason:  Reason{Kind: Due},
		Item:    e.item.ID,
		Fluency: v.fluent,
		Expect:  time.Duration((v.recall*c.good + (1-v.recall)*c.bad) * float64(time.Second)),
		Worth:   float64(p.standing[i].worth),
	}
	g := p.standing[i].gig
	switch {
	case r == again:
		choice.Reason.Kind = Again
	case r == extra || r == soon:
		choice.Reason.Kind = Extra
	case g >= 0:
		choice.Reason = Reason{ForDeadline, p.gigs[g].Name, p.gigs[g].day.Start(p.opt.Location)}
	case e.state.Asked == 0:
		choice.Reason.Kind = New
	case r == resting:
		choice.Reason.Kind = Rested
	}
	return choice
}

// prepare lays the day's plan, unless it is laid.
func (p *Planner) prepare(today Day, seconds float64) {
	if p.planned && p.today == today {
		return
	}
	p.planned, p.today, p.then = true, today, p.player
	for i := range p.standing {
		p.standing[i].gig = -1
	}
	for g := range p.gigs {
		for _, i := range p.gigs[g].items {
			if s := &p.standing[i]; p.gigs[g].day >= today && (s.gig < 0 || p.gigs[g].day < p.gigs[s.gig].day) {
				s.gig = int16(g)
			}
		}
	}
	p.price(seconds)
}

// price finds the price of a second at which the plans of all items take what
// time there will be, and works out every item's worth at it. A sample of the
// items and a few halvings will do: the price only has to be of the right size.
func (p *Planner) price(seconds float64) {
	const (
		sample   = 100
		halvings = 5
		dearest  = 1.0 // fluent evenings a second
	)
	aim := math.Log(p.opt.Aim.Seconds())
	stride := max(len(p.items)/sample, 1)
	took := func(price float64) (sum float64) {
		p.plan.lay(&p.f, &p.then, price, aim)
		for i := 0; i < len(p.items); i += stride {
			if !p.standing[i].out {
				sum += p.appraise(int32(i)).took
			}
		}
		return sum * float64(stride)
	}
	if have := seconds * horizon; took(0) > have {
		low, high := 0.0, dearest
		for range halvings {
			if mid := (low + high) / 2; took(mid) > have {
				low = mid
			} else {
				high = mid
			}
		}
	}
	for i := range p.items {
		p.appraise(int32(i))
	}
}

// appraise sets the item's standing for the day.
func (p *Planner) appraise(i int32) appraisal {
	e, t := &p.items[i], &p.standing[i]
	s, prior := p.before(e, p.today)
	g := &p.families[t.family].Family
	a := p.plan.appraise(&p.f, &p.then, g, &s, p.today, e.logAim, prior*p.then.Kin.Mean)
	t.asked = s.Asked > 0 && (s.Day == p.today || s.Day == p.today+1) // tomorrow: after travel west
	t.first = 0
	if s.Asked == 0 {
		t.first = float32(a.seconds)
		// Its new kin gain with it: the more there are, the sooner it comes.
		const gain = 0.5 // of a fluent evening
		for _, k := range e.kin {
			if p.items[k.at].state.Asked == 0 {
				a.loss += gain * k.weight * p.then.Kin.Mean
			}
		}
	}
	if t.gig >= 0 {
		a.loss = p.gigs[t.gig].loss(&p.f, &p.then, a, p.today)
	}
	t.worth = float32(a.loss / a.seconds)
	t.fluent = float32(a.view.fluent)
	return a
}
