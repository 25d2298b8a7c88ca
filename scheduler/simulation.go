package scheduler

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"time"
)

// The simulation: the days until a deadline, practised in the planner's own model.

// maxDays is the most sittings that are simulated; where there are more days, one
// sitting stands for several.
const maxDays = 40

// A simulation is what all samples of it share. What the log leaves open about the
// player is drawn anew for every sample, so that the samples differ as much as the
// players do who would have left such a log. Its items are taken as they are
// believed: to draw them too foretold too little.
type simulation struct {
	p        *Planner
	deadline deadline
	today    Day
	days     int      // of practice left, today and the day itself counted
	targets  []target // one for each of the deadline's items, then those of other deadlines meanwhile
}

// A target is an item that is practised for one deadline or more.
type target struct {
	at   int32
	days []Day // of the deadlines that need it, the next one first
}

func (p *Planner) newSimulation(d Deadline, now time.Time) *simulation {
	m := &simulation{p: p, deadline: p.deadline(d), today: DayOf(now, p.opt.Location)}
	p.setRight(m.today)
	m.days = max(int(m.deadline.day-m.today)+1, 0)
	m.gather()
	return m
}

// gather lists what is practised until the deadline: its items, and those of the
// other deadlines that come before it or are near enough to be practised for.
func (m *simulation) gather() {
	place := map[int32]int{}
	for n, d := range append([]deadline{m.deadline}, m.p.deadlines...) {
		if n > 0 && (d.day < m.today || d.day > m.deadline.day+deadlineNotice) {
			continue
		}
		for _, i := range d.items {
			k, ok := place[i]
			if !ok {
				k = len(m.targets)
				place[i] = k
				m.targets = append(m.targets, target{at: i})
			}
			m.targets[k].days = append(m.targets[k].days, d.day)
		}
	}
	for k := range m.targets {
		slices.Sort(m.targets[k].days)
	}
}

// next is the day of the first deadline that needs the target, from day on; false
// when none does any more.
func (t *target) next(day Day) (Day, bool) {
	for _, d := range t.days {
		if d >= day {
			return d, true
		}
	}
	return 0, false
}

// sample simulates the days until the deadline with so many seconds of practice a
// day, and returns the chance of each of its items to be fluent on the evening. The
// player of sample 0 is the likeliest; the others differ, and are the same whatever
// the seconds, so that more of them never look like less.
func (m *simulation) sample(seconds float64, n int) []float64 {
	r := m.newRun(n)
	seconds *= r.player.Present.Mean // what is missed is spread over all days
	step := Day(m.days/maxDays + 1)
	for day := m.deadline.day - (m.deadline.day-m.today)/step*step; day <= m.deadline.day && seconds > 0; day += step {
		r.sit(day, seconds*float64(step))
	}
	chances := make([]float64, len(m.deadline.items))
	for k := range chances {
		c := newCourse(&r.player, &r.items[k].state, m.deadline.day)
		chances[k] = c.fluency(evening)
	}
	return chances
}

// A run is one sample under way: a player, and the items as he knows them.
type run struct {
	*simulation
	player player
	items  []simulated
	order  []*simulated // the most worth first
}

// A simulated item.
type simulated struct {
	*target
	state State
	v     view
	worth float64 // fluency a second of asking, on the evening of its deadline
	goal  Day     // of its deadline
	asked int     // times on this day, -1 for not wanted
	rated bool    // worth is that of the state and goal
}

// newRun draws the player of a sample. A sample of even number is the mirror of the
// one before: their mean is that of many more.
func (m *simulation) newRun(n int) *run {
	rng := rand.New(rand.NewPCG(uint64(n+1)/2, 2))
	sign := float64(1 - n%2*2)
	normal := func() float64 { return sign * rng.NormFloat64() }
	r := &run{simulation: m, player: m.p.player}
	if n > 0 {
		r.player.Mean = r.player.draw(normal)
	}
	r.items = make([]simulated, len(m.targets))
	r.order = make([]*simulated, len(m.targets))
	for k := range m.targets {
		s := &r.items[k]
		s.target, s.state = &m.targets[k], m.p.items[m.targets[k].at].state
		r.order[k] = s
	}
	return r
}

// draw draws weights from what is believed of them: a root of the covariance
// (Cholesky) makes them of independent normals.
func (p *player) draw(normal func() float64) [features]float64 {
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

func (r *run) look(s *simulated, day Day) {
	s.v = newView(&r.player, &s.state, day, r.p.items[s.at].logAim)
}

// rate sets what asking an item is worth: what the evening would gain, the
// planner's own order nearly, at a small part of its price.
func (r *run) rate(s *simulated) {
	c := newCourse(&r.player, &s.state, r.today)
	r.look(s, r.today)
	s.worth, s.rated = c.lift(float64(s.goal-r.today)+evening)/s.v.seconds(&r.player, &s.state), true
}

// sit is one sitting, in the planner's order: what was not asked that day by its
// worth, and then, while there is time, what is not fluent again and again.
func (r *run) sit(day Day, seconds float64) {
	left := seconds
	wanted, soonest, near := r.open(day)
	if !near { // its items get no more than their part
		left *= float64(wanted) / float64(len(r.p.items))
	}
	slices.SortFunc(r.order, func(a, b *simulated) int {
		return cmp.Or(cmp.Compare(b.worth, a.worth), cmp.Compare(a.at, b.at))
	})
	for round := 0; ; round++ {
		// Turns that are not the deadline's are lost to it when they have something
		// else to ask.
		if round == 1 && soonest-day >= deadlineLast {
			left /= deadlineTurn
		}
		began := left
		turns, over := r.askAll(day, round, &left)
		switch {
		case over || turns == 0 && round > 0:
			return
		case turns > 0 && turns < extraAfter: // others are asked until these come again
			left -= (began - left) * float64(extraAfter-turns) / float64(turns)
		}
	}
}

// open makes ready what is asked on a day. It returns how many items are wanted,
// the day of the soonest deadline, and whether a deadline is near enough for its
// items to come before others.
func (r *run) open(day Day) (wanted int, soonest Day, near bool) {
	soonest = r.deadline.day
	for k := range r.items {
		s := &r.items[k]
		goal, ok := s.next(day)
		if s.asked = -1; !ok {
			continue
		}
		if goal != s.goal {
			s.goal, s.rated = goal, false
		}
		wanted++
		soonest, near = min(soonest, goal), near || goal-day <= deadlineNotice
		s.asked = 0
		if s.state.Asked > 0 && s.state.Day >= day {
			s.asked = 1
		}
		if !s.rated {
			r.rate(s)
		}
	}
	for k := range r.items {
		if s := &r.items[k]; near && s.asked >= 0 && s.goal-day > deadlineNotice {
			s.asked = -1
		}
	}
	return wanted, soonest, near
}

// askAll asks every item once that was asked so many times on this day, unless it is
// fluent for certain, and takes the time from left. It returns how many it asked and
// whether time was over. Answers come as is likeliest: what they show is known of
// this player already.
func (r *run) askAll(day Day, times int, left *float64) (turns int, over bool) {
	for _, s := range r.order {
		if s.asked != times {
			continue
		}
		if r.look(s, day); times > 0 && s.v.fluent >= extraBelow {
			continue
		}
		if *left -= s.v.seconds(&r.player, &s.state); *left < 0 {
			return turns, true
		}
		s.rated = false
		s.state.practise(s.v.days, day)
		s.asked++
		turns++
	}
	return turns, false
}
