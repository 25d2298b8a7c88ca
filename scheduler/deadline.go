package scheduler

import (
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
