package main

import (
	"slices"
	"strings"
	"time"

	"surefret/drills/gig"
	"surefret/scheduler"
)

// coming lists the gigs whose day is not past.
func (pl *player) coming() []gig.Gig {
	today := scheduler.DayOf(pl.now(), time.Local).String()
	return slices.DeleteFunc(slices.Clone(pl.gigs), func(g gig.Gig) bool { return g.Day < today })
}

// deadlines tells the planner what has to be fluent on which day.
func (pl *player) deadlines() []scheduler.Deadline {
	var ds []scheduler.Deadline
	for _, g := range pl.coming() {
		if d, err := pl.deadline(g); err == nil {
			ds = append(ds, d)
		}
	}
	return append(ds, pl.shakyDeadlines()...)
}

// deadline lists what a gig needs by its day. It is ready in the evening: the
// practice of that day still counts.
func (pl *player) deadline(g gig.Gig) (scheduler.Deadline, error) {
	day, err := gig.ParseDay(g.Day)
	if err != nil {
		return scheduler.Deadline{}, err
	}
	items, err := g.Items(pl.catalogue)
	if err != nil {
		return scheduler.Deadline{}, err
	}
	d := scheduler.Deadline{Name: g.Name, Day: time.Date(day.Year(), day.Month(), day.Day(), 20, 0, 0, 0, time.Local)}
	for _, it := range items {
		d.Items = append(d.Items, it.ID)
	}
	return d, nil
}

// gig finds a gig by its name, in either case; of several of that name, the
// next one to come.
func (pl *player) gig(name string) (gig.Gig, error) {
	for _, gigs := range [][]gig.Gig{pl.coming(), pl.gigs} {
		for _, g := range gigs {
			if strings.EqualFold(g.Name, strings.TrimSpace(name)) {
				return g, nil
			}
		}
	}
	return gig.Gig{}, usagef("no gig is called %q: 'surefret gig list' shows them all", name)
}
