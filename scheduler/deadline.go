package scheduler

import (
	"cmp"
	"math"
	"slices"
	"time"
)

// A Deadline is a day by which some items should be fluent: a gig and what its
// songs need. After the day its items fall back to normal.
type Deadline struct {
	Name  string
	Items []string
	Day   time.Time // any instant of the practice day
}

// gig is a deadline as the planner sees it.
type gig struct {
	Deadline
	day   Day
	items []int32
}

// Settings of deadlines: a trade between the gig and the rest of the board,
// chosen on simulated players. All turns to the gig gained it six points more
// and cost the board ten; crammed into the last days they gained less.
const (
	gigShare    = 4   // a gig's item counts so many times until it is over
	gigEvenings = 20  // what the gig's own evening is worth, in ordinary ones
	gigTurn     = 2   // one answer in so many goes to the gig's items first, and again on the same day,
	gigLast     = 4   // and all of them on the last so many days
	gigFluent   = 0.9 // share that counts as ready
)

// SetDeadlines replaces all deadlines. Items that the planner does not know
// are passed over.
func (p *Planner) SetDeadlines(ds []Deadline) {
	p.gigs = p.gigs[:0]
	for _, d := range ds {
		p.gigs = append(p.gigs, p.gig(d))
	}
	p.planned = false
}

func (p *Planner) gig(d Deadline) gig {
	g := gig{Deadline: d, day: DayOf(d.Day, p.opt.Location)}
	for _, id := range d.Items {
		if i, ok := p.index[id]; ok {
			g.items = append(g.items, i)
		}
	}
	slices.Sort(g.items)
	g.items = slices.Compact(g.items)
	return g
}

// loss is an item's cost of delay with its gig in mind: what it costs on
// ordinary evenings counts several times, and so does what asking it today
// adds on the gig's evening. Asking again on the same day helps a gig where it
// would waste time otherwise: see pressed.
func (g *gig) loss(f *formulas, p *Player, a appraisal, today Day) float64 {
	loss := a.loss
	if loss > 0 {
		loss *= gigShare
	}
	return loss + gigEvenings*a.lift(f, p, float64(g.day-today)+evening)
}

// gigTurn reports whether this answer is one that goes to a gig's items first,
// and to them again on the same day.
func (p *Planner) gigTurn(g int16) bool {
	return p.gigs[g].day-p.today < gigLast || p.seq%gigTurn == 0
}

// lift is how much likelier the item is fluent so many days from now if it is
// asked today.
func (a *appraisal) lift(f *formulas, p *Player, days float64) float64 {
	v, s := &a.view, &a.state
	good, bad := f.after(s, *v)
	ease := v.own - p.Recall[v.stage].Mean
	if s.Asked == 0 {
		ease = s.Ease.Mean
	}
	yes, _ := recall(good.Stability, ease+p.Recall[next(v.stage)].Mean, days)
	no, _ := recall(bad.Stability, ease+p.Recall[missedStage(s)].Mean, days)
	idle := v.recall
	if s.Asked > 0 {
		idle, _ = recall(s.Stability, v.own, v.days+days)
	}
	return (v.recall*yes + (1-v.recall)*no - idle) * (v.inTime - v.lucky)
}

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
// [Planner.SetDeadlines]. It takes up to some tenths of a second: call it off
// the path of a key press.
func (p *Planner) Readiness(d Deadline, now time.Time) Readiness {
	g, today := p.gig(d), DayOf(now, p.opt.Location)
	r := Readiness{Items: len(g.items), Days: max(int(g.day-today)+1, 0)}
	if r.Items == 0 {
		return r
	}
	for _, i := range g.items {
		if p.items[i].state.Asked > 0 {
			r.Met++
		}
		v := p.look(i, today)
		r.Now += v.fluent / float64(r.Items)
	}
	r.Idle, _ = p.rehearse(&g, today, 0, 0)
	if r.Days == 0 {
		r.Share, r.Low, r.High = r.Idle, r.Idle, r.Idle
		return r
	}
	r.Share, r.Low, r.High = p.foresee(&g, today)
	r.Enough = r.Share >= gigFluent
	p.need(&g, today, &r)
	return r
}

// foresee rehearses with the daily practice: the share to expect and its range.
func (p *Planner) foresee(g *gig, today Day) (share, low, high float64) {
	const rehearsals = 8
	var sum, squares, chance float64
	for n := range uint64(rehearsals) {
		s, v := p.rehearse(g, today, p.opt.Daily.Seconds(), n+1)
		sum, squares, chance = sum+s, squares+s*s, chance+v
	}
	share = sum / rehearsals
	// Three doubts: the luck of practice, the luck of the evening, and the
	// model itself, which was within 0.05 after a thousand simulated answers.
	doubt := 0.03 + 0.15/(1+float64(p.player.Answers)/200)
	variance := squares/rehearsals - share*share + chance/rehearsals + doubt*doubt
	spread := 1.645 * math.Sqrt(max(variance, 0))
	return share, max(share-spread, 0), min(share+spread, 1)
}

// need finds the least practice a day that makes nine in ten fluent.
func (p *Planner) need(g *gig, today Day, r *Readiness) {
	enough := func(minutes int) bool {
		a, _ := p.rehearse(g, today, float64(minutes)*60, 101)
		b, _ := p.rehearse(g, today, float64(minutes)*60, 102)
		return (a+b)/2 >= gigFluent
	}
	low, high := 0, int(MostDaily/time.Minute)
	if !enough(high) {
		r.Need, r.Limit = MostDaily, true
		return
	}
	for high-low > 1 {
		if mid := (low + high) / 2; enough(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	r.Need = time.Duration(high) * time.Minute
}

// rehearse plays the days until the gig with so many seconds of practice a day
// on its items, drawing luck from a seed, and returns the fluent share to
// expect on its evening and the variance of the evening's luck.
func (p *Planner) rehearse(g *gig, today Day, seconds float64, seed uint64) (share, variance float64) {
	type part struct {
		state     State
		prior     float64
		worth     float64
		appraisal appraisal
		at        int32
	}
	parts := make([]part, len(g.items))
	order := make([]*part, len(parts))
	for k, i := range g.items {
		parts[k].at = i
		parts[k].state, parts[k].prior = p.before(&p.items[i], today)
		order[k] = &parts[k]
	}
	plan := new(plan)
	plan.lay(&p.f, &p.player, 0, math.Log(p.opt.Aim.Seconds()))
	luck := seed
	for day := today; day <= g.day && seconds > 0; day++ {
		for k := range parts {
			q := &parts[k]
			e, fam := &p.items[q.at], &p.families[p.standing[q.at].family].Family
			q.appraisal = plan.appraise(&p.f, &p.player, fam, &q.state, day, e.logAim, q.prior*p.player.Kin.Mean)
			q.worth = g.loss(&p.f, &p.player, q.appraisal, day) / q.appraisal.seconds
			if q.state.Asked > 0 && q.state.Day >= day {
				q.worth = math.Inf(-1)
			}
		}
		slices.SortStableFunc(order, func(a, b *part) int { return cmp.Compare(b.worth, a.worth) })
		left := seconds
		for _, q := range order {
			if left -= q.appraisal.seconds; left < 0 || q.worth <= 0 {
				break
			}
			luck = luck*6364136223846793005 + 1442695040888963407 // Knuth's MMIX
			remembered := 0.0
			if float64(luck>>11)/(1<<53) < q.appraisal.view.recall {
				remembered = 1
			}
			q.state = p.f.rehearsed(q.state, q.appraisal.view, remembered, day)
		}
	}
	for k := range parts {
		q := &parts[k]
		e, fam := &p.items[q.at], &p.families[p.standing[q.at].family].Family
		v := p.f.view(&p.player, fam, &q.state, g.day, e.logAim, q.prior*p.player.Kin.Mean)
		if q.state.Asked > 0 {
			v.recall, _ = recall(q.state.Stability, v.own, v.days+evening)
		}
		f := v.at(v.recall)
		share += f
		variance += f * (1 - f)
	}
	n := float64(len(parts))
	return share / n, variance / (n * n)
}

// rehearsed is the state after an imagined answer, from memory or not.
func (f *formulas) rehearsed(s State, v view, remembered float64, day Day) State {
	good, bad := f.after(&s, v)
	s.Memory = bad
	if remembered > 0 {
		s.Memory = good
		s.Run++
	} else {
		s.Run = 0
	}
	s.Asked++
	s.Day = day
	return s
}

// Forecast returns the practice that keeping known items fluent would take on
// each of the next days, today first: those that are not to be counted on, since
// they are forgotten or still slow. What is overdue falls on today. It may be
// more than a sitting holds; new items are not in it, they come as time allows.
func (p *Planner) Forecast(now time.Time, days int) []time.Duration {
	const due = 0.8 // below which an answer is not to be counted on to be fluent
	load := make([]time.Duration, max(days, 0))
	today := DayOf(now, p.opt.Location)
	for i := range p.items {
		s := p.items[i].state
		if s.Asked == 0 {
			continue
		}
		for day := today; int(day-today) < len(load); day++ {
			v := p.f.view(&p.player, &p.families[p.standing[i].family].Family, &s, day, p.items[i].logAim, 0)
			if v.fluent > due || v.days < 1 {
				continue
			}
			c := p.player.costs(&v)
			load[day-today] += time.Duration((v.recall*c.good + (1-v.recall)*c.bad) * float64(time.Second))
			s = p.f.rehearsed(s, v, math.Round(v.recall), day)
		}
	}
	return load
}
