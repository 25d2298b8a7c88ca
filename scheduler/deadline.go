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
// chosen on simulated players. All turns to the gig gain it a point and cost the
// board a little more.
const (
	gigShare    = 8   // a gig's item counts so many times until it is over
	gigEvenings = 5   // what the gig's own evening is worth, in ordinary ones
	gigTurn     = 2   // one answer in so many goes to the gig's items first, and again on the same day,
	gigLast     = 6   // and all of them on the last so many days
	gigNotice   = 21  // days before, until which its items are like any others: what is practised sooner fades again
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
func (g *gig) loss(c course, loss float64, today Day) float64 {
	if loss > 0 {
		loss *= gigShare
	}
	return loss + gigEvenings*c.lift(float64(g.day-today)+evening)
}

// gigTurn reports whether this answer is one that goes to a gig's items first,
// and to them again on the same day.
func (p *Planner) gigTurn(g int16) bool {
	return p.gigs[g].day-p.today < gigLast || p.seq%gigTurn == 0
}

// lift is how much likelier the item is fluent so many days from today if it is
// asked today.
func (c course) lift(days float64) float64 {
	idle := c.fluency(days)
	c.ask(0)
	return c.fluency(days) - idle
}
