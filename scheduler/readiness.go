package scheduler

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"time"
)

// Readiness is how much of a deadline's items will probably be fluent on its
// day, and what it takes.
type Readiness struct {
	Items     int           // how many the planner knows
	Met       int           // how many were asked at least once
	Now       float64       // predicted fluent share today
	Idle      float64       // predicted share on the day with no more practice
	Share     float64       // predicted share on the day with [Options].Daily of practice a day
	Low, High float64       // nine times in ten the share will lie between
	Days      int           // practice days left, today and the day itself counted; 0 when it is past
	Enough    bool          // Daily will make nine in ten fluent
	Need      time.Duration // practice a day for nine in ten fluent; 0 when it is past
	Limit     bool          // not even Need, the most that is looked at, will do
}

// MostDaily is the most practice a day that [Planner.Readiness] looks at.
const MostDaily = 90 * time.Minute

// Readiness predicts d as seen from now, by rehearsing the days until then
// several times over. Its items need not be among those of
// [Planner.SetDeadlines]; other deadlines there take their share of the practice.
// It takes some hundredths of a second: call it off the path of a key press.
func (p *Planner) Readiness(d Deadline, now time.Time) Readiness {
	whole, _ := p.Rehearse(d, nil, now)
	return whole
}

// Rehearse predicts d as [Planner.Readiness] does, and parts of it, such as the
// songs of a gig, from the same rehearsals: each part is some of d's items, and
// is practised along with the rest. What a part alone would need is not looked
// for: its Need and Limit are not set.
func (p *Planner) Rehearse(d Deadline, parts [][]string, now time.Time) (whole Readiness, each []Readiness) {
	r := p.rehearsal(d, now)
	each = make([]Readiness, len(parts))
	of := make([][]int32, len(parts))
	all := make([]int32, len(r.gig.items))
	for i := range all {
		all[i] = int32(i)
	}
	for k, part := range parts {
		of[k] = r.cast(part)
	}
	idle := r.play(0, 0)
	plays := []play{idle}
	if r.days > 0 {
		plays = make([]play, rehearsals)
		for n := range plays {
			plays[n] = r.play(p.opt.Daily.Seconds(), n+1)
		}
	}
	whole = r.predict(all, idle, plays)
	for k := range each {
		each[k] = r.predict(of[k], idle, plays)
	}
	if r.days > 0 && whole.Items > 0 {
		r.need(&whole)
	}
	return whole, each
}

// Settings of rehearsals.
const (
	rehearsals = 10    // even: each other one mirrors the one before
	mostDays   = 40    // sittings rehearsed; where there are more days, one stands for several
	ninth      = 1.645 // standard deviations either side that hold nine in ten
	modelDoubt = 0.022 // standard deviation of the share that the model itself is off a day ahead, more by the root of the days:
	doubtDays  = 15    // held against simulated players 4, 8 and 15 days ahead, and taken to grow no more
)

// A rehearsal plays the days until a gig in the planner's own model. What the
// log leaves open about the player is drawn anew for every play, so that the plays
// differ as much as the players do who would have left such a log. Its items are
// taken as they are believed: to draw them too foretold too little.
type rehearsal struct {
	p     *Planner
	gig   gig
	today Day
	days  int    // of practice left, today and the day itself counted
	parts []part // one for each of the gig's items, then those of other gigs meanwhile
}

// A part is an item that is practised in a rehearsal.
type part struct {
	at   int32
	gigs []Day // the days of the gigs that need it, the next one first
}

// audition lists what is practised until the gig: its items, and those of the other
// gigs that come before it or are near enough to be practised for.
func (r *rehearsal) audition() {
	place := map[int32]int{}
	for n, g := range append([]gig{r.gig}, r.p.gigs...) {
		if n > 0 && (g.day < r.today || g.day > r.gig.day+gigNotice) {
			continue
		}
		for _, i := range g.items {
			k, ok := place[i]
			if !ok {
				k = len(r.parts)
				place[i] = k
				r.parts = append(r.parts, part{at: i})
			}
			r.parts[k].gigs = append(r.parts[k].gigs, g.day)
		}
	}
	for k := range r.parts {
		slices.Sort(r.parts[k].gigs)
	}
}

// next is the day of the first gig that needs the part, from day on; false when
// none does any more.
func (p *part) next(day Day) (Day, bool) {
	for _, g := range p.gigs {
		if g >= day {
			return g, true
		}
	}
	return 0, false
}

func (p *Planner) rehearsal(d Deadline, now time.Time) *rehearsal {
	r := &rehearsal{p: p, gig: p.gig(d), today: DayOf(now, p.opt.Location)}
	p.setRight(r.today)
	r.days = max(int(r.gig.day-r.today)+1, 0)
	r.audition()
	return r
}

// cast returns the places of the items among the gig's.
func (r *rehearsal) cast(ids []string) []int32 {
	var of []int32
	for _, id := range ids {
		if i, ok := r.p.index[id]; ok {
			if k, ok := slices.BinarySearch(r.gig.items, i); ok {
				of = append(of, int32(k))
			}
		}
	}
	slices.Sort(of)
	return slices.Compact(of)
}

// predict sums up plays for some of the gig's items, by their places.
func (r *rehearsal) predict(of []int32, idle play, plays []play) Readiness {
	s := Readiness{Items: len(of), Days: r.days}
	if s.Items == 0 {
		return s
	}
	n := float64(len(of))
	for _, k := range of {
		i := r.gig.items[k]
		v := r.p.look(i, r.today)
		s.Now += v.fluent / n
		s.Idle += idle[k] / n
		if r.p.items[i].state.Asked > 0 {
			s.Met++
		}
	}
	var squares, luck float64
	m := float64(len(plays))
	for _, p := range plays {
		share := 0.0
		for _, k := range of {
			f := p[k]
			share += f / n
			luck += f * (1 - f) / (n * n)
		}
		s.Share += share
		squares += share * share
	}
	s.Share /= m
	spread := ninth * math.Sqrt(max(squares/m-s.Share*s.Share, 0)+luck/m+modelDoubt*modelDoubt*float64(min(r.days, doubtDays)))
	s.Low, s.High = max(s.Share-spread, 0), min(s.Share+spread, 1)
	s.Enough = s.Share >= gigFluent
	if r.days == 0 {
		s.Low, s.High, s.Enough = s.Share, s.Share, false
	}
	return s
}

// need finds the least practice a day with which the same plays make nine in
// ten fluent, to a minute or a twentieth.
func (r *rehearsal) need(s *Readiness) {
	enough := func(minutes int) bool {
		sum := 0.0
		for n := range rehearsals {
			for _, f := range r.play(float64(minutes)*60, n+1) {
				sum += f
			}
		}
		return sum >= gigFluent*float64(rehearsals*len(r.gig.items))
	}
	low, high := 0, int(MostDaily/time.Minute)
	switch known := int(r.p.opt.Daily / time.Minute); {
	case s.Enough:
		high = min(high, max(known, 1))
	case !enough(high):
		s.Need, s.Limit = MostDaily, true
		return
	default:
		low = min(known, high-1)
	}
	for high-low > 1+high/20 {
		mid := int(math.Round(math.Sqrt(float64(max(low, 1) * high))))
		if mid = min(max(mid, low+1), high-1); enough(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	s.Need = time.Duration(high) * time.Minute
}

// A play is what a rehearsal came to: the chance of each of the gig's items to be
// fluent on the evening.
type play []float64

// play rehearses the days until the gig with so many seconds of practice a day.
// The player of play 0 is the likeliest; the others differ, and are the same
// whatever the seconds, so that more of them never look like less.
func (r *rehearsal) play(seconds float64, n int) play {
	t := r.troupe(n)
	step := Day(r.days/mostDays + 1)
	for day := r.gig.day - (r.gig.day-r.today)/step*step; day <= r.gig.day && seconds > 0; day += step {
		t.sit(day, seconds*float64(step))
	}
	result := make(play, len(r.gig.items))
	for k := range result {
		c := newCourse(&t.player, &t.actors[k].state, r.gig.day)
		result[k] = c.fluency(evening)
	}
	return result
}

// A troupe is the items of a rehearsal as one play has them.
type troupe struct {
	*rehearsal
	player Player
	actors []actor
	order  []*actor // the most worth first
}

// An actor is one of them.
type actor struct {
	*part
	state State
	v     view
	worth float64 // fluency a second of asking, on the evening of its gig
	goal  Day     // of its gig
	asked int     // on this day, -1 for not wanted
	rated bool    // worth is that of the state and goal
}

// troupe draws the player of a play. A play of even number is the mirror of the one
// before: their mean is that of many more.
func (r *rehearsal) troupe(n int) *troupe {
	rng := rand.New(rand.NewPCG(uint64(n+1)/2, 2))
	sign := float64(1 - n%2*2)
	luck := func() float64 { return sign * rng.NormFloat64() }
	t := &troupe{rehearsal: r, player: r.p.player}
	if n > 0 {
		t.player.Mean = t.player.draw(luck)
	}
	t.actors = make([]actor, len(r.parts))
	t.order = make([]*actor, len(r.parts))
	for k := range r.parts {
		a := &t.actors[k]
		a.part, a.state = &r.parts[k], r.p.items[r.parts[k].at].state
		t.order[k] = a
	}
	return t
}

// draw draws weights from what is believed of them: a root of the covariance
// (Cholesky) makes them of independent normals.
func (p *Player) draw(normal func() float64) [features]float64 {
	var root [features][features]float64
	var z [features]float64
	mean := p.Mean
	for i := range features {
		z[i] = normal()
		for j := range i + 1 {
			sum := p.Cov[i][j]
			for k := range j {
				sum -= root[i][k] * root[j][k]
			}
			if i == j {
				root[i][i] = math.Sqrt(max(sum, 0))
			} else if root[j][j] > 0 {
				root[i][j] = sum / root[j][j]
			}
			mean[i] += root[i][j] * z[j]
		}
	}
	return mean
}

func (t *troupe) look(a *actor, day Day) {
	a.v = newView(&t.player, &a.state, day, t.p.items[a.at].logAim)
}

// rate sets what asking an actor is worth: what the evening would gain, the
// planner's own order nearly, at a small part of its price.
func (t *troupe) rate(a *actor) {
	c := newCourse(&t.player, &a.state, t.today)
	t.look(a, t.today)
	a.worth, a.rated = c.lift(float64(a.goal-t.today)+evening)/a.v.seconds(&t.player, &a.state), true
}

// sit is one sitting, in the planner's order: what was not asked that day by
// its worth, and then, while there is time, what is not fluent again and again.
// Answers come as is likeliest: what they show is known of this player already.
func (t *troupe) sit(day Day, left float64) {
	soonest, wanted, near := t.gig.day, 0, false
	for k := range t.actors {
		a := &t.actors[k]
		goal, ok := a.next(day)
		if a.asked = -1; !ok {
			continue
		}
		if goal != a.goal {
			a.goal, a.rated = goal, false
		}
		wanted++
		soonest, near = min(soonest, goal), near || goal-day <= gigNotice
		a.asked = 0
		if a.state.Asked > 0 && a.state.Day >= day {
			a.asked = 1
		}
		if !a.rated {
			t.rate(a)
		}
	}
	for k := range t.actors {
		if a := &t.actors[k]; near && a.asked >= 0 && a.goal-day > gigNotice {
			a.asked = -1
		}
	}
	if !near { // its items get no more than their part
		left *= float64(wanted) / float64(len(t.p.items))
	}
	slices.SortFunc(t.order, func(a, b *actor) int {
		return cmp.Or(cmp.Compare(b.worth, a.worth), cmp.Compare(a.at, b.at))
	})
	for round := 0; ; round++ {
		// Turns that are not the gig's are lost to it when they have something
		// else to ask.
		if round == 1 && soonest-day >= gigLast {
			left /= gigTurn
		}
		began, turns := left, 0
		for _, a := range t.order {
			if a.asked != round {
				continue
			}
			if t.look(a, day); round > 0 && a.v.fluent >= extraBelow {
				continue
			}
			if left -= a.v.seconds(&t.player, &a.state); left < 0 {
				return
			}
			a.rated = false
			a.state.practise(a.v.days, day)
			a.asked++
			turns++
		}
		switch {
		case turns > 0 && turns < extraAfter: // others are asked until these come again
			left -= (began - left) * float64(extraAfter-turns) / float64(turns)
		case turns == 0 && round > 0:
			return
		}
	}
}
