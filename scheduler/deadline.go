package scheduler

import (
	"math"
	"time"
)

// A Deadline is a day by which some items should be fluent: a gig and what its
// songs need. After the day its items fall back to normal.
type Deadline struct {
	Name  string
	Items []string
	Day   time.Time // any instant of the practice day
}

type gig struct {
	Deadline
	day   Day
	items []int32
}

// SetDeadlines replaces all deadlines. Items that the planner does not know
// are passed over.
func (p *Planner) SetDeadlines(ds []Deadline) {
	p.gigs = p.gigs[:0]
	for _, d := range ds {
		p.gigs = append(p.gigs, gig{d, DayOf(d.Day, p.opt.Location), p.lookup(d.Items)})
	}
}

func (p *Planner) lookup(ids []string) []int32 {
	var at []int32
	for _, id := range ids {
		if i, ok := p.index[id]; ok {
			at = append(at, i)
		}
	}
	return at
}

// Readiness is how much of a deadline's items will probably be fluent on its
// day, and what it takes.
type Readiness struct {
	Items     int           // how many the planner knows
	Met       int           // how many were asked at least once
	Share     float64       // predicted fluent share on the day, with the practice planned
	Low, High float64       // nine times in ten the share will lie between
	Now       float64       // predicted fluent share today
	Idle      float64       // predicted share on the day with no practice at all
	Days      int           // practice days left, today counted; 0 when it is past
	Need      time.Duration // practice a day for nine in ten fluent; 0 when it is past
}

// Readiness predicts d as seen from now. Its items need not be among those of
// [Planner.SetDeadlines].
func (p *Planner) Readiness(d Deadline, now time.Time) Readiness {
	today, day := DayOf(now, p.opt.Location), DayOf(d.Day, p.opt.Location)
	items := p.lookup(d.Items)
	r := Readiness{Items: len(items), Days: max(int(day-today)+1, 0)}
	if len(items) == 0 {
		return r
	}
	var variance float64
	for _, i := range items {
		if p.items[i].state.Asked > 0 {
			r.Met++
		}
		f := p.fluency(i, day)
		r.Now += p.fluency(i, today)
		r.Idle += f
		variance += f * (1 - f)
	}
	n := float64(len(items))
	r.Now, r.Idle = r.Now/n, r.Idle/n
	r.Share = r.Idle
	spread := 1.645 * math.Sqrt(variance) / n
	r.Low, r.High = max(r.Share-spread, 0), min(r.Share+spread, 1)
	if r.Days > 0 {
		r.Need = time.Duration(float64(len(items)-r.Met)*4/float64(r.Days)) * 5 * time.Second
	}
	return r
}

// Forecast returns the expected practice load of each of the next days, today
// first.
func (p *Planner) Forecast(now time.Time, days int) []time.Duration {
	load := make([]time.Duration, max(days, 0))
	today := DayOf(now, p.opt.Location)
	for i := range p.items {
		s := &p.items[i].state
		if s.Asked == 0 {
			continue
		}
		at := int(s.Day-today) + max(int(math.Round(s.Stability)), 1)
		if at = max(at, 0); at < len(load) {
			load[at] += time.Duration((overhead + math.Exp(p.items[i].logAim)) * 1e9)
		}
	}
	return load
}
