package policy

import (
	"time"

	"surefret/scheduler"
)

// A Teller also foretells a gig and its songs.
type Teller interface {
	Performer
	Foretell(gig []int, songs [][]int, day, now time.Time) (whole scheduler.Readiness, each []scheduler.Readiness)
}

// Foretell implements [Teller].
func (o *ours) Foretell(gig []int, songs [][]int, day, now time.Time) (scheduler.Readiness, []scheduler.Readiness) {
	ids := func(of []int) (named []string) {
		for _, i := range of {
			named = append(named, o.items[i].ID)
		}
		return named
	}
	var parts [][]string
	for _, s := range songs {
		parts = append(parts, ids(s))
	}
	return o.planner.Simulate(scheduler.Deadline{Name: "gig", Items: ids(gig), Day: day}, parts, now)
}

// Tomorrow is the practice that the planner says tomorrow wants.
func (o *ours) Tomorrow(now time.Time) time.Duration { return o.planner.Forecast(now, 2)[1] }
