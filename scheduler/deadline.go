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

// deadline is a [Deadline] as the planner sees it.
type deadline struct {
	Deadline
	day   Day
	items []int32
}

// Settings of deadlines: a trade between their items and all others, chosen on
// simulated players. All turns to a deadline gain it a point and cost the rest a
// little more.
const (
	deadlineShare    = 8   // its items count so many times until it is over
	deadlineEvenings = 5   // what its own evening is worth, in ordinary ones
	deadlineTurn     = 2   // one answer in so many goes to its items first, and again on the same day,
	deadlineLast     = 6   // and all of them on the last so many days
	deadlineNotice   = 21  // days before, until which its items are like any others: what is practised sooner fades again
	readyShare       = 0.9 // share that counts as ready
)

// SetDeadlines replaces all deadlines. Items that the planner does not know
// are passed over.
func (p *Planner) SetDeadlines(ds []Deadline) {
	p.deadlines = p.deadlines[:0]
	for _, d := range ds {
		p.deadlines = append(p.deadlines, p.deadline(d))
	}
	p.planned = false
}

func (p *Planner) deadline(d Deadline) deadline {
	g := deadline{Deadline: d, day: DayOf(d.Day, p.opt.Location)}
	for _, id := range d.Items {
		if i, ok := p.index[id]; ok {
			g.items = append(g.items, i)
		}
	}
	slices.Sort(g.items)
	g.items = slices.Compact(g.items)
	return g
}

// loss is an item's cost of delay with its deadline in mind: what it costs on
// ordinary evenings counts several times, and so does what asking it today adds
// on the evening of the deadline. Asking again on the same day helps then, where
// it would waste time otherwise: see pressed.
func (g *deadline) loss(c course, loss float64, today Day) float64 {
	if loss > 0 {
		loss *= deadlineShare
	}
	return loss + deadlineEvenings*c.lift(float64(g.day-today)+evening)
}

// deadlineTurn reports whether this answer is one that goes to a deadline's items first,
// and to them again on the same day.
func (p *Planner) deadlineTurn(g int16) bool {
	return p.deadlines[g].day-p.today < deadlineLast || p.seq%deadlineTurn == 0
}

// lift is how much likelier the item is fluent so many days from today if it is
// asked today.
func (c course) lift(days float64) float64 {
	idle := c.fluency(days)
	c.ask(0)
	return c.fluency(days) - idle
}
