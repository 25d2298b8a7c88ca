package scheduler

import "time"

// keptAbove is the probability above which an answer is counted on to be fluent.
const keptAbove = 0.8

// Forecast returns the practice that keeping known items fluent would take on
// each of the next days, today first: those that are not to be counted on, since
// they are forgotten or still slow. What is overdue falls on today. It may be
// more than a sitting holds; new items are not in it, they come as time allows.
func (p *Planner) Forecast(now time.Time, days int) []time.Duration {
	load := make([]time.Duration, max(days, 0))
	today := DayOf(now, p.opt.Location)
	p.setRight(today)
	for i := range p.items {
		s := p.items[i].state
		if s.Asked == 0 {
			continue
		}
		for day := today; int(day-today) < len(load); day++ {
			v := newView(&p.player, &s, day, p.items[i].logAim)
			if v.fluent > keptAbove || v.days < 1 {
				continue
			}
			load[day-today] += time.Duration(v.seconds(&p.player, &s) * float64(time.Second))
			s.practise(v.days, day)
		}
	}
	return load
}
