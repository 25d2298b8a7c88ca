package scheduler

import (
	"math"
	"time"
)

// What comes next: of all items the one to ask now.

// Settings of a sitting.
const (
	againAfter   = 12   // answers between a miss and its return: enough that it must be remembered
	againKnown   = 0.5  // fluency above which a miss returns, if it was not the first answer: the weak gain more tomorrow
	extraAfter   = 12   // answers, at most, before an item comes twice in a day for no other reason
	extraSpread  = 6    // fewer at times, so that a few items do not come round in one order
	soonAfter    = 5    // the same where nothing else is left and it was not fluent: a sitting of few goes on
	extraBelow   = 0.95 // fluency above which another answer on the day is a waste
	toldBy       = 0.4  // weight of a kin from which on its answer gives this one away
	mostInARow   = 3    // answers to one family, where there is another
	lastSeconds  = 10   // that must be left after a new item, for one that is known
	newSlower    = 3    // a new item may take so many times the thinking that is expected,
	newLongest   = 30   // and so many seconds at most
	leastSeconds = 1    // left, to ask anything
)

// A rank orders candidates before their worth does.
type rank uint8

const (
	none  rank = iota
	soon       // asked a moment ago and not fluent: nothing else is left
	extra      // asked today: nothing else is left, or better than to end on a new item
	open
	pressed // a deadline's, when it is its turn
	resting // its family has been left out for too long
	again   // missed a moment ago
)

// A wait comes before the rank: why a candidate had better not follow the last
// answer, the sum of what holds. Where all must wait alike, as in a sitting of one
// family, the rank decides.
type wait uint8

const (
	told    wait = 1 // its answer was just given away
	running wait = 2 // too many of its family in a row
	blocked wait = 4 // same group as the last
	filler  wait = 8 // extra: whatever else there is comes before
)

// Next returns the item to ask now, with the time left in the sitting, and
// false when nothing sensible can be asked. It reads every item's standing,
// O(n), and allocates nothing; the first call on a practice day also appraises
// every item, some milliseconds.
func (p *Planner) Next(now time.Time, left time.Duration) (Choice, bool) {
	if p.asked == 0 || left.Seconds() < leastSeconds {
		return Choice{}, false
	}
	p.prepare(DayOf(now, p.opt.Location))
	s := p.newSearch(left.Seconds())
	p.tell(true)
	defer p.tell(false)
	best, least, top, most := int32(-1), wait(math.MaxUint8), none, float32(0)
	for i := range p.standing {
		t := &p.standing[i]
		if t.out || t.asked && int32(i) == p.last {
			continue
		}
		r, w, worth := open, filler, t.worth
		switch {
		case t.asked:
			r, worth = s.askedToday(int32(i), t)
		case t.parked && t.deadline < 0:
			if r = none; p.named {
				r = extra
			}
		case t.first > 0 || t.deadline >= 0 || p.families[t.family].rested: // all others are open
			r = s.notToday(t)
		}
		if r == none {
			continue
		}
		if r > extra {
			w = s.waits(t)
		}
		if w < least || w == least && (r > top || r == top && worth > most) {
			best, least, top, most = int32(i), w, r, worth
		}
	}
	if best < 0 {
		return Choice{}, false
	}
	return p.choice(best, top), true
}

// A search holds what one call of Next compares all items with.
type search struct {
	p       *Planner
	seconds float32 // left in the sitting
	fresh   bool    // new items are asked
	group   int32   // of the last answer, 0 for none
	family  int32   // that was asked too often in a row, -1 for none
}

// tell marks the items that the last answer gives away, or takes the marks off again.
func (p *Planner) tell(told bool) {
	if p.last < 0 {
		return
	}
	for _, k := range p.items[p.last].helps {
		if k.weight >= toldBy {
			p.standing[k.at].told = told
		}
	}
}

func (p *Planner) newSearch(seconds float64) search {
	s := search{p: p, seconds: float32(seconds), family: -1,
		fresh: p.handful > 0 || p.making < p.paced()}
	if p.last >= 0 {
		s.group = p.standing[p.last].group
		if p.run >= mostInARow {
			s.family = p.standing[p.last].family
		}
	}
	return s
}

// notToday ranks an item that was not asked on this day.
func (s *search) notToday(t *standing) rank {
	if t.first > 0 { // never asked at all
		waits := t.deadline < 0 && !(s.fresh && t.topic == s.p.from && t.stage == s.p.topics[t.topic].stage)
		if waits || s.seconds < t.first+lastSeconds {
			return none
		}
	}
	switch {
	case s.p.families[t.family].rested:
		return resting
	case t.deadline >= 0 && t.worth > 0 && s.p.deadlineTurn(t.deadline):
		return pressed
	}
	return open
}

// askedToday ranks an item that was asked on this day already, and says what it is
// worth among those of its rank.
func (s *search) askedToday(i int32, t *standing) (rank, float32) {
	p, e := s.p, &s.p.items[i]
	since, by := p.seq-e.seq, spread(i, e.seq)
	longest := -1 / float32(since+2*by) // what rested longest comes first, more or less
	switch {
	case e.back && since >= againAfter:
		return again, t.worth
	case since >= extraAfter && t.fluent < extraBelow && t.deadline >= 0 && p.deadlineTurn(t.deadline):
		return pressed, longest
	case since >= extraAfter-by && !e.back && t.fluent < extraBelow:
		if !e.state.Last.Fluent() {
			return open, t.worth
		}
		return extra, t.worth
	case p.items[p.last].state.Asked == 1:
		return extra, t.worth
	case since >= soonAfter && !e.state.Last.Fluent():
		return soon, longest
	}
	return none, 0
}

// spread is 0 to extraSpread-1, as by chance, and the same whenever the log is replayed.
func spread(i int32, seq uint32) uint32 {
	h := (uint32(i)*2654435761 ^ seq) * 2246822519 // odd numbers that mix all bits
	return (h ^ h>>15) >> 8 % extraSpread
}

// waits says why an item had better not follow the last answer.
func (s *search) waits(t *standing) (w wait) {
	if s.group != 0 && t.group == s.group {
		w = blocked
	}
	if t.family == s.family {
		w += running
	}
	if t.told {
		w += told
	}
	return w
}
