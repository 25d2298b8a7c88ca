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
	Gig  string    // name of the next deadline that needs the item, "" for none
	Day  time.Time // its day
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
	Extra                         // nothing is waiting, and there is time left
)

// String returns a short clause: "first time", "its turn", "missed a moment ago",
// "for Harbour Fair", "not heard for long", "nothing else is waiting".
func (r Reason) String() string {
	switch r.Kind {
	case New:
		return "first time"
	case Due:
		return "its turn"
	case Again:
		return "missed a moment ago"
	case ForDeadline:
		return "for " + r.Gig
	case Rested:
		return "not heard for long"
	}
	return "nothing else is waiting"
}

// Settings of a sitting.
const (
	againAfter   = 12   // answers between a miss and its return: enough that it must be remembered
	againKnown   = 0.5  // fluency above which a miss returns, if it was not the first answer: the weak gain more tomorrow
	extraAfter   = 12   // answers before an item comes twice in a day for no other reason
	extraBelow   = 0.95 // fluency above which another answer on the day is a waste
	longestRun   = 3    // answers in a row to one family, where there is another
	familyRest   = 20   // answers a family may be left out, times the number of families
	stageRest    = 4    // one in so many of a stage may be new when the next opens
	backlogMost  = 6    // sittings of known items that are not to be counted on, beyond which no new ones come
	lastSeconds  = 10   // that must be left after a new item, for one that is known
	newSlower    = 3    // a new item may take so many times the thinking that is expected,
	newLongest   = 30   // and so many seconds at most
	leastSeconds = 1    // left, to ask anything
)

// A rank orders candidates before their worth does.
type rank uint8

const (
	none  rank = iota
	soon       // asked today, but better than to end on a new item
	extra      // asked today, nothing gained but the time filled
	open
	pressed // a gig's, when it is the gig's turn
	resting // its family has been left out for too long
	again   // missed a moment ago
)

// A wait comes before the rank: why a candidate had better not follow the last
// answer, the sum of what holds. Where all must wait alike, as in a sitting of one
// family, the rank decides.
type wait uint8

const (
	running wait = 1 // too many of its family in a row
	blocked wait = 2 // same group as the last
	filler  wait = 4 // soon or extra: whatever else there is comes before
)

// Next returns the item to ask now, with the time left in the sitting, and
// false when nothing sensible can be asked. It reads every item's standing,
// O(n), and allocates nothing; the first call on a practice day also appraises
// every item, some milliseconds.
func (p *Planner) Next(now time.Time, left time.Duration) (Choice, bool) {
	seconds := left.Seconds()
	if p.asked == 0 || seconds < leastSeconds {
		return Choice{}, false
	}
	p.prepare(DayOf(now, p.opt.Location))
	var group, fam int32 = 0, -1
	if p.last >= 0 {
		group = p.standing[p.last].group
		if p.run >= longestRun {
			fam = p.standing[p.last].family
		}
	}
	stage := p.openStage()
	rests := uint32(familyRest * p.asked)
	best, least, top, worth := int32(-1), wait(math.MaxUint8), none, float32(0)
	for i := range p.standing {
		s := &p.standing[i]
		if s.out || int32(i) == p.last && s.asked {
			continue
		}
		r, w, t := open, s.worth, wait(0)
		f := &p.families[s.family]
		rested := p.seq-f.seq > rests
		switch {
		case s.asked:
			if r = p.todays(int32(i)); r == none {
				continue
			}
			if r == pressed {
				w = -1 / float32(p.seq-p.items[i].seq) // the longest rested first
			}
		case s.first > 0 && p.full && s.gig < 0:
			continue // enough is waiting
		case s.first > 0 && seconds < float64(s.first)+lastSeconds:
			continue // never a new item last
		case s.first > 0 && s.stage > stage && s.gig < 0 && !(rested && s.stage == f.fresh):
			continue // too much of what comes before it was never asked
		case rested:
			r = resting
		case s.gig >= 0 && w > 0 && p.gigTurn(s.gig):
			r = pressed
		}
		if r <= extra {
			t = filler
		} else {
			if group != 0 && s.group == group {
				t = blocked
			}
			if s.family == fam {
				t += running
			}
		}
		if t < least || t == least && (r > top || r == top && w > worth) {
			best, least, top, worth = int32(i), t, r, w
		}
	}
	if best < 0 {
		return Choice{}, false
	}
	return p.choice(best, top), true
}

// openStage is the lowest stage of which more than a quarter of this sitting's
// items were never asked. New items of later stages wait for it, unless a gig
// needs them or their family was left out for too long; a few that the plan keeps
// putting off hold nobody up. It notes the lowest stage with a new item of each family.
func (p *Planner) openStage() int32 {
	for k := range p.stages {
		p.stages[k].fresh = 0
	}
	for f := range p.families {
		p.families[f].fresh = math.MaxInt32
	}
	for i := range p.standing {
		if s := &p.standing[i]; !s.out && !s.asked && s.first > 0 && s.gig < 0 {
			p.stages[s.stage].fresh++
			f := &p.families[s.family]
			f.fresh = min(f.fresh, s.stage)
		}
	}
	for k, s := range p.stages {
		if s.fresh*stageRest > s.kept {
			return int32(k)
		}
	}
	return math.MaxInt32
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
	choice := Choice{
		Reason:  Reason{Kind: Due},
		Item:    p.given[i].ID,
		Fluency: v.fluent,
		Expect:  time.Duration(v.seconds(&p.player, &e.state) * float64(time.Second)),
		Worth:   float64(p.standing[i].worth),
	}
	g := p.standing[i].gig
	if g >= 0 {
		choice.Reason.Gig, choice.Reason.Day = p.gigs[g].Name, p.gigs[g].day.Start(p.opt.Location)
	}
	switch {
	case r == again:
		choice.Reason.Kind = Again
	case r == extra || r == soon:
		choice.Reason.Kind = Extra
	case g >= 0:
		choice.Reason.Kind = ForDeadline
	case e.state.Asked == 0:
		choice.Reason.Kind = New
	case r == resting:
		choice.Reason.Kind = Rested
	}
	return choice
}

// prepare appraises every item for the day, unless that is done.
func (p *Planner) prepare(today Day) {
	p.setRight(today)
	if p.planned && p.today == today {
		return
	}
	p.planned, p.today = true, today
	for i := range p.standing {
		s, met := &p.standing[i], &p.items[i].state
		s.gig = -1
		s.asked = met.Asked > 0 && (met.Day == today || met.Day == today+1) // tomorrow: after travel west
	}
	for g := range p.gigs {
		for _, i := range p.gigs[g].items {
			if s := &p.standing[i]; p.gigs[g].day >= today && p.gigs[g].day-today <= gigNotice && (s.gig < 0 || p.gigs[g].day < p.gigs[s.gig].day) {
				s.gig = int16(g)
			}
		}
	}
	backlog := 0.0
	for i := range p.items {
		seconds := p.appraise(int32(i))
		if s := &p.standing[i]; !s.out && !s.asked && p.items[i].state.Asked > 0 && s.fluent <= keptAbove {
			backlog += seconds
		}
	}
	p.full = backlog > backlogMost*p.opt.Daily.Seconds()
}

// appraise sets the item's standing for the day, and returns the seconds that asking
// it takes.
func (p *Planner) appraise(i int32) float64 {
	e, t := &p.items[i], &p.standing[i]
	v := p.look(i, p.today)
	c := newCourse(&p.player, &e.state, p.today)
	loss := c.loss()
	if !t.asked {
		for _, k := range e.helps {
			o := newCourse(&p.player, &p.items[k.at].state, p.today)
			begin := Day(1)
			if p.standing[k.at].asked {
				begin = 2
			}
			loss += kinWorth * o.gain(k.weight*lent, begin)
		}
	}
	if t.gig >= 0 {
		loss = p.gigs[t.gig].loss(c, loss, p.today)
	}
	seconds := v.seconds(&p.player, &e.state)
	t.first = 0
	if e.state.Asked == 0 {
		t.first = float32(overhead + feedback + min(newSlower*(seconds-overhead), newLongest))
	}
	t.worth = float32(loss / seconds)
	t.fluent = float32(v.fluent)
	return seconds
}
