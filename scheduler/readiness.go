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
// [Planner.SetDeadlines]. It takes some hundredths of a second: call it off
// the path of a key press.
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
	all := make([]int32, len(r.roles))
	for i := range all {
		all[i] = int32(i)
	}
	for k, part := range parts {
		of[k] = r.cast(part)
	}
	idle := []play{r.play(0, 0)}
	plays := idle
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
	rehearsals = 16    // with the daily practice, each with another player who fits the log
	mostDays   = 40    // sittings rehearsed; where there are more days, one stands for several
	repeats    = 2     // of an item on one day, at most
	ninth      = 1.645 // standard deviations either side that hold nine in ten
)

// A rehearsal plays the days until a gig in the planner's own model. What the
// log leaves open about the player and each item is drawn anew for every play,
// so that the plays differ as much as the players do who would have left such
// a log.
type rehearsal struct {
	p     *Planner
	gig   gig
	today Day
	days  int // of practice left, today and the day itself counted
	roles []role
}

// A role is one item of the gig, as it is now.
type role struct {
	at    int32
	state State
}

func (p *Planner) rehearsal(d Deadline, now time.Time) *rehearsal {
	r := &rehearsal{p: p, gig: p.gig(d), today: DayOf(now, p.opt.Location)}
	r.days = max(int(r.gig.day-r.today)+1, 0)
	r.roles = make([]role, len(r.gig.items))
	for k, i := range r.gig.items {
		q := &r.roles[k]
		q.at = i
		q.state = p.items[i].state
	}
	return r
}

// cast returns the places of the items among the roles.
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

// predict sums up plays for some of the roles.
func (r *rehearsal) predict(of []int32, idle, plays []play) Readiness {
	s := Readiness{Items: len(of), Days: r.days}
	if s.Items == 0 {
		return s
	}
	n := float64(len(of))
	for _, k := range of {
		s.Now += idle[0].now[k] / n / 2
		s.Idle += idle[0].fluent[k] / n
		if r.roles[k].state.Asked > 0 {
			s.Met++
		}
	}
	var squares, luck float64
	m := float64(len(plays))
	for _, p := range plays {
		share := 0.0
		for _, k := range of {
			f := p.fluent[k]
			share += f / n
			luck += f * (1 - f) / (n * n)
			s.Now += p.now[k] / n / m / 2
		}
		s.Share += share
		squares += share * share
	}
	doubt := sureDoubt + (unsureDoubt-sureDoubt)*r.p.unsure()
	s.Share /= m
	spread := ninth * math.Sqrt(max(squares/m-s.Share*s.Share, 0)+luck/m+doubt*doubt)
	s.Low, s.High = max(s.Share-spread, 0), min(s.Share+spread, 1)
	s.Enough = s.Share >= gigFluent
	if r.days == 0 {
		s.Low, s.High, s.Enough = s.Share, s.Share, false
	}
	return s
}

// need finds the least practice a day that makes nine in ten fluent.
func (r *rehearsal) need(s *Readiness) {
	all := func(seconds float64) float64 {
		plays := 1 + 50/len(r.roles) // few items need more luck averaged out
		sum := 0.0
		for n := range plays {
			for _, f := range r.play(seconds, -1-n).fluent {
				sum += f
			}
		}
		return sum / float64(plays*len(r.roles))
	}
	daily := r.p.opt.Daily
	// What the doubts take off is kept as odds: it shrinks as all gets fluent.
	logit := func(p float64) float64 { p = clamp(p, 0.001, 0.999); return math.Log(p / (1 - p)) }
	aim := logit(gigFluent) + logit(all(daily.Seconds())) - logit(s.Share)
	enough := func(minutes int) bool { return logit(all(float64(minutes)*60)) >= aim }
	low, high := 0, int(MostDaily/time.Minute)
	switch known := int(daily / time.Minute); {
	case s.Enough:
		high = min(high, max(known, 1))
	case !enough(high):
		s.Need, s.Limit = MostDaily, true
		return
	default:
		low = min(known, high-1)
	}
	for high-low > 1 {
		if mid := (low + high) / 2; enough(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	s.Need = time.Duration(high) * time.Minute
}

// A play is what a rehearsal came to: each role's chance to be fluent now and on
// the evening.
type play struct{ now, fluent []float64 }

// play rehearses the days until the gig with so many seconds of practice a day.
// The player of play 0 and of negative plays is the likeliest; the others
// differ.
func (r *rehearsal) play(seconds float64, n int) play {
	t := r.troupe(n)
	result := play{make([]float64, len(t.actors)), make([]float64, len(t.actors))}
	for k := range t.actors {
		t.look(&t.actors[k], r.today)
		result.now[k] = t.actors[k].v.fluent
		t.rate(&t.actors[k])
	}
	step := Day(r.days/mostDays + 1)
	for day := r.gig.day - (r.gig.day-r.today)/step*step; day <= r.gig.day && seconds > 0; day += step {
		t.sit(day, seconds*float64(step))
	}
	for k := range t.actors {
		a := &t.actors[k]
		t.look(a, r.gig.day)
		result.fluent[k] = t.evening(a)
	}
	return result
}

// A troupe is the roles as one play has them.
type troupe struct {
	*rehearsal
	player Player
	rng    *rand.Rand
	actors []actor
	order  []*actor // the most worth first
}

// An actor is a role in one play.
type actor struct {
	state State
	v     view
	worth float64 // fluency a second of asking, on the evening
	at    int32
	asked int // on this day
}

func (r *rehearsal) troupe(n int) *troupe {
	t := &troupe{rehearsal: r, rng: rand.New(rand.NewPCG(uint64(n), 2))}
	t.player = r.player(n, t.rng)
	t.actors = make([]actor, len(r.roles))
	t.order = make([]*actor, len(r.roles))
	for k := range t.actors {
		a := &t.actors[k]
		a.at, a.state = r.roles[k].at, r.roles[k].state
		if n > 0 {
			a.state.Offset += t.rng.NormFloat64() * math.Sqrt(a.state.variance())
			a.state.Known = sure
		}
		t.order[k] = a
	}
	return t
}

func (t *troupe) look(a *actor, day Day) {
	a.v = t.p.f.view(&t.player, &a.state, day, t.p.items[a.at].logAim)
}

// evening is the chance that an actor is fluent then, if he is not asked again.
func (t *troupe) evening(a *actor) float64 {
	c := t.p.f.course(&t.player, &a.state, t.gig.day)
	return c.fluent(evening)
}

// rate sets what asking an actor is worth: what the evening would gain, the
// planner's own order nearly, at a small part of its price. It changes only
// when the actor is asked.
func (t *troupe) rate(a *actor) {
	c := t.p.f.course(&t.player, &a.state, t.today)
	a.worth = c.lift(float64(t.gig.day-t.today)+evening) / a.v.seconds(&t.player, &a.state)
}

// sit is one sitting.
func (t *troupe) sit(day Day, left float64) {
	for k := range t.actors {
		a := &t.actors[k]
		a.asked = 0
		if a.state.Asked > 0 && a.state.Day >= day {
			a.asked = 1
		}
	}
	slices.SortFunc(t.order, func(a, b *actor) int {
		return cmp.Or(cmp.Compare(b.worth, a.worth), cmp.Compare(a.at, b.at))
	})
	for round := range 1 + repeats {
		// Turns that are not the gig's are lost to it when they have something
		// else to ask.
		if round == 1 && t.gig.day-day >= gigLast {
			left /= gigTurn
		}
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
			a.state = t.p.f.practise(a.state, a.v.days, likely(t.rng.Float64() < a.v.fluent), day)
			a.asked++
			t.rate(a)
		}
	}
}

// player draws a player who fits the log.
func (r *rehearsal) player(n int, rng *rand.Rand) Player {
	player := r.p.player
	if n <= 0 {
		return player
	}
	// A root of the covariance (Cholesky) turns independent normals into weights.
	var root [features][features]float64
	for i := range features {
		for j := range i + 1 {
			sum := player.Cov[i][j]
			for k := range j {
				sum -= root[i][k] * root[j][k]
			}
			if i == j {
				root[i][i] = math.Sqrt(max(sum, 0))
			} else if root[j][j] > 0 {
				root[i][j] = sum / root[j][j]
			}
		}
	}
	var z [features]float64
	for i := range z {
		z[i] = rng.NormFloat64()
	}
	for i := range features {
		for j := range i + 1 {
			player.Mean[i] += root[i][j] * z[j]
		}
	}
	return player
}

const (
	sure        = 1e9  // precision of what a play has drawn
	sureDoubt   = 0.03 // of the model itself, after thousands of answers
	unsureDoubt = 0.12 // and before the first
	logBelief   = 1000 // answers
)

// unsure is how little the log is believed, from 1 at its beginning to 0: what
// it shows of a player at first is the beginner.
func (p *Planner) unsure() float64 {
	x := float64(p.player.Answers) / logBelief
	return 1 / (1 + x*x)
}

// likely is the grade of an imagined answer.
func likely(fluent bool) Grade {
	if fluent {
		return GradeSteady
	}
	return GradeSlow
}
