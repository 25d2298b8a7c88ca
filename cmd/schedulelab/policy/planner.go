package policy

import (
	"time"

	"surefret/scheduler"
)

// Ours is the planner of package scheduler.
func Ours(items []scheduler.Item, seed uint64) Policy { return OursAt(0)(items, seed) }

// OursAt is the planner with another limit on items not yet sure.
func OursAt(limit int) Maker {
	return func(items []scheduler.Item, _ uint64) Policy { return newOurs(items, scheduler.Options{Making: limit}) }
}

func newOurs(items []scheduler.Item, opt scheduler.Options) Policy {
	p, err := scheduler.NewPlanner(items, opt)
	if err != nil {
		panic(err) // the board is ours and whole
	}
	o := &ours{items: items, planner: p, index: make(map[string]int, len(items))}
	for i, it := range items {
		o.index[it.ID] = i
	}
	return o
}

type ours struct {
	items   []scheduler.Item
	planner *scheduler.Planner
	index   map[string]int
}

func (o *ours) Next(now time.Time, left time.Duration) (int, bool) {
	c, ok := o.planner.Next(now, left)
	if !ok {
		return 0, false
	}
	return o.index[c.Item], true
}

func (o *ours) Learn(r Answer) {
	o.planner.Learn(scheduler.Answer{
		Item:     o.items[r.Item].ID,
		At:       r.At,
		Right:    r.Right,
		Thinking: time.Duration(r.Seconds * float64(time.Second)),
	})
}

// Predict implements [Predictor].
func (o *ours) Predict(item int, at time.Time) float64 {
	return o.planner.Fluency(o.items[item].ID, at)
}

// Expect implements [Performer].
func (o *ours) Expect(items []int, at time.Time) {
	d := scheduler.Deadline{Name: "gig", Day: at}
	for _, i := range items {
		d.Items = append(d.Items, o.items[i].ID)
	}
	o.planner.SetDeadlines([]scheduler.Deadline{d})
}
