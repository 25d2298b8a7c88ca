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
	Worth   float64       // fluent days lost a second if it waited; the largest is asked
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
	Due                           // about to fade
	Again                         // missed or slow a moment ago
	ForDeadline                   // a gig needs it
	Extra                         // nothing is due, and there is time left
)

// String returns a short clause: "new", "due", "missed a moment ago",
// "for Saturday's gig", "nothing else is due".
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
	}
	return "nothing else is due"
}

// Next returns the item to ask now, with the time left in the sitting, and
// false when nothing sensible can be asked.
func (p *Planner) Next(now time.Time, left time.Duration) (Choice, bool) {
	if left <= 0 || len(p.items) == 0 {
		return Choice{}, false
	}
	today := DayOf(now, p.opt.Location)
	p.prepare(today, left.Seconds())
	best, worth, kind := int32(-1), float32(math.Inf(-1)), Due
	var group, fam int32 = 0, -1
	if p.last >= 0 {
		group, fam = p.items[p.last].group, p.items[p.last].family
	}
	_ = fam
	for i := range p.items {
		e := &p.items[i]
		if e.out || int32(i) == p.last {
			continue
		}
		v, k := p.worth[i], Due
		switch {
		case e.state.Asked == 0:
			if left < 15*time.Second {
				continue
			}
			k = New
		case e.state.Day >= today && e.back:
			if p.seq-e.seq < 5 {
				continue
			}
			v, k = 100, Again
		case e.state.Day >= today:
			v, k = -100+float32(min(p.seq-e.seq, 1000))/100, Extra
		}
		if group > 0 && e.group == group {
			v -= 0.1 * max(v, -v)
		}
		if v > worth {
			best, worth, kind = int32(i), v, k
		}
	}
	if best < 0 {
		return Choice{}, false
	}
	e := &p.items[best]
	a := p.appraise(best, today)
	return Choice{Item: e.item.ID, Reason: Reason{Kind: kind}, Fluency: a.fluent,
		Expect: time.Duration(a.seconds * 1e9), Worth: float64(worth)}, true
}

// prepare lays the day's plan.
func (p *Planner) prepare(today Day, seconds float64) {
	if !p.planned || p.today != today {
		p.planned, p.today, p.then = true, today, p.player
		p.dirty = p.dirty[:0]
		p.price(today, seconds)
		return
	}
	for _, i := range p.dirty {
		p.appraise(i, today)
	}
	p.dirty = p.dirty[:0]
}

// price finds the price of a second at which the plans of all items take what
// time there will be, and works out every item's worth at it.
func (p *Planner) price(today Day, seconds float64) {
	low, high := 0.0, PriceMax
	aim := p.opt.Aim.Seconds()
	for range 8 {
		price := (low + high) / 2
		if low == 0 && high == PriceMax {
			price = 0
		}
		p.plan.lay(&p.f, &p.then, price, aim)
		took := 0.0
		for i := range p.items {
			if !p.items[i].out {
				took += p.appraise(int32(i), today).took
			}
		}
		if took > seconds*horizon*PriceLoad {
			if low == 0 && price == 0 {
				low = 1e-9
				continue
			}
			low = price
		} else {
			if price == 0 {
				return
			}
			high = price
		}
	}
}

var PriceLoad, PriceMax = 1.0, 2.0

func (p *Planner) appraise(i int32, today Day) appraisal {
	e := &p.items[i]
	a := p.plan.appraise(&p.f, &p.then, &e.state, today, e.logAim, p.kinship(e, today)*p.then.Kin.Mean)
	p.worth[i] = float32(a.loss / a.seconds)
	return a
}
