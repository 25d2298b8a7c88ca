package scheduler

import (
	"math"
	"time"
)

// keptAbove is the probability above which an answer is counted on to be fluent.
const keptAbove = 0.8

// breakDays is how many days without practice are no break yet.
const breakDays = 5

// Spread returns over how many days from tomorrow on what rested in a break is spread,
// where the latest practice was the first after one; else 0.
func (p *Planner) Spread(now time.Time) int {
	if p.before == 0 || p.day-p.before <= breakDays {
		return 0
	}
	waiting := p.load(DayOf(now, p.opt.Location)+1, 1, math.MaxInt64)[0]
	return int(math.Ceil(waiting.Seconds() / p.opt.Daily.Seconds()))
}

// Forecast returns the practice that keeping known items fluent would take on
// each of the next days, today first: those that are not to be counted on, since
// they are forgotten or still slow. What is overdue is spread over days of
// [Options].Daily; new items are not in it, they come as time allows.
func (p *Planner) Forecast(now time.Time, days int) []time.Duration {
	today := DayOf(now, p.opt.Location)
	p.setRight(today)
	return p.load(today, days, p.opt.Daily)
}

// load is the practice of each day from one on, most on any of them.
func (p *Planner) load(from Day, days int, most time.Duration) []time.Duration {
	load := make([]time.Duration, max(days, 0))
	for i := range p.items {
		s := p.items[i].state
		if s.Asked == 0 || p.parked(int32(i), from) {
			continue
		}
		for d := range load {
			v := newView(&p.player, &s, from+Day(d), p.items[i].logAim)
			if v.fluent > keptAbove || v.days < 1 {
				continue
			}
			takes := time.Duration(v.seconds(&p.player, &s) * float64(time.Second))
			if takes > most-load[d] {
				continue
			}
			load[d] += takes
			s.practise(v.days, from+Day(d))
		}
	}
	return load
}
