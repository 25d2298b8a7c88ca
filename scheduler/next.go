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
	extraAfter   = 12   // answers before an item comes twice in a day for no other reason
	extraBelow   = 0.95 // fluency above which another answer on the day is a waste
	longestRun   = 3    // answers in a row to one family, where there is another
	familyRest   = 20   // answers a family may be left out, times the number of families
	stageRest    = 4    // one in so many of a stage may be new when the next opens
	makingMost   = 60   // items asked and not yet to be counted on, beyond which no new ones come
	makingBelow  = 0.7  // fluency under which they are not
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
	pressed // a deadline's, when it is its turn
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
	if p.asked == 0 || left.Seconds() < leastSeconds {
		return Choice{}, false
	}
	p.prepare(DayOf(now, p.opt.Location))
	s := p.newSearch(left.Seconds())
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
		case t.first > 0 || t.deadline >= 0 || s.rested(t): // all others are open
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
	stage   int32   // lowest stage that new items are asked of
	rests   uint32  // answers that a family may be left out
	group   int32   // of the last answer, 0 for none
	family  int32   // that was asked too often in a row, -1 for none
}

func (p *Planner) newSearch(seconds float64) search {
	s := search{p: p, seconds: float32(seconds), stage: p.openStage(), rests: uint32(familyRest * p.asked), family: -1}
	if p.last >= 0 {
		s.group = p.standing[p.last].group
		if p.run >= longestRun {
			s.family = p.standing[p.last].family
		}
	}
	return s
}

// rested reports whether an item's family was left out for too long.
func (s *search) rested(t *standing) bool {
	return s.p.seq-s.p.families[t.family].seq > s.rests
}

// notToday ranks an item that was not asked on this day.
func (s *search) notToday(t *standing) rank {
	rested := s.rested(t)
	if t.first > 0 { // never asked at all
		waits := t.deadline < 0 && (s.p.making >= makingMost || t.stage > s.stage && !(rested && t.stage == s.p.families[t.family].fresh))
		if waits || s.seconds < t.first+lastSeconds {
			return none
		}
	}
	switch {
	case rested:
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
	since := p.seq - e.seq
	switch {
	case e.back && since >= againAfter:
		return again, t.worth
	case since >= extraAfter && t.fluent < extraBelow:
		if t.deadline >= 0 && p.deadlineTurn(t.deadline) {
			return pressed, -1 / float32(since) // the longest rested first
		}
		return extra, t.worth
	case p.items[p.last].state.Asked == 1:
		return soon, t.worth
	}
	return none, 0
}

// waits says why an item had better not follow the last answer.
func (s *search) waits(t *standing) (w wait) {
	if s.group != 0 && t.group == s.group {
		w = blocked
	}
	if t.family == s.family {
		w += running
	}
	return w
}

// openStage is the lowest stage of which more than a quarter of this sitting's
// items were never asked. New items of later stages wait for it, unless a deadline
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
		if s := &p.standing[i]; !s.out && !s.asked && s.first > 0 && s.deadline < 0 {
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
