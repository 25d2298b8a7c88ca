package main

import (
	"slices"
	"strings"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/sheet"
	"surefret/drills"
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
	pl.due = nil
	for _, g := range pl.coming() {
		if d, err := pl.deadline(g); err == nil {
			pl.due = append(pl.due, dueGig{d, g})
		}
	}
	pl.due = append(pl.due, pl.shakyDue()...)
	var ds []scheduler.Deadline
	for _, d := range pl.due {
		ds = append(ds, d.Deadline)
	}
	return ds
}

// A dueGig is a gig that is practised for, or what was shaky of one that is over.
type dueGig struct {
	scheduler.Deadline
	gig gig.Gig
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

// readiness predicts a gig that is still to come, and each of its songs out of
// the same rehearsals of the days until then; nil for one that is past, and for
// a song that needs nothing.
func (pl *player) readiness(g gig.Gig) (whole *sheet.Readiness, songs []*sheet.Readiness) {
	songs = make([]*sheet.Readiness, len(g.Songs))
	d, err := pl.deadline(g)
	if err != nil || len(d.Items) == 0 {
		return nil, songs
	}
	parts := make([][]string, len(g.Songs))
	for i, s := range g.Songs {
		items, err := s.Items(pl.catalogue)
		if err != nil {
			continue
		}
		for _, it := range items {
			parts[i] = append(parts[i], it.ID)
		}
	}
	all, each := pl.planner.Rehearse(d, parts, pl.now())
	for i, r := range each {
		songs[i] = sheet.ReadinessOf(r, d.Day)
	}
	return sheet.ReadinessOf(all, d.Day), songs
}

// forGig returns the catalogues of the gigs that are practised for, each made
// from c when it is first asked of.
func (pl *player) forGig(c *drills.Catalogue) func(scheduler.Reason) practice.Source {
	made := map[scheduler.Reason]practice.Source{}
	return func(why scheduler.Reason) practice.Source {
		why.Kind = 0
		source, ok := made[why]
		if !ok {
			for _, d := range pl.due {
				if g := d.gig; d.Name == why.Gig && scheduler.DayOf(d.Day, time.Local) == scheduler.DayOf(why.Day, time.Local) {
					if own, err := g.Catalogue(c); err == nil {
						source = own
					}
				}
			}
			made[why] = source
		}
		return source
	}
}

// gig finds a gig by its name, in either case, by its name and day, "Harbour Fair
// 2026-12-05", or by the beginning of a word that no other name has; of several of a
// name, the next one to come.
func (pl *player) gig(name string) (gig.Gig, error) {
	if g, ok := pl.gigNamed(name); ok {
		return g, nil
	}
	name = strings.TrimSpace(name)
	for _, gigs := range [][]gig.Gig{pl.coming(), pl.nearest()} {
		var names []string
		for _, g := range gigs {
			names = append(names, g.Name)
		}
		if i, ok := begins(names, name); ok {
			return gigs[i], nil
		}
	}
	return gig.Gig{}, usagef("no gig is called %q: 'surefret gig list' shows them all", name)
}

// gigNamed is gig without what only begins.
func (pl *player) gigNamed(name string) (gig.Gig, bool) {
	name = strings.TrimSpace(name)
	for _, g := range pl.nearest() {
		if strings.EqualFold(g.Name, name) || strings.EqualFold(g.Name+" "+g.Day, name) {
			return g, true
		}
	}
	return gig.Gig{}, false
}

// nearest lists the gigs to come by day, and then those that are over, the latest
// first.
func (pl *player) nearest() []gig.Gig {
	coming := pl.coming()
	over := slices.Clone(pl.gigs[:len(pl.gigs)-len(coming)])
	slices.Reverse(over)
	return append(coming, over...)
}

// begins returns the first of names a word of which begins with text, in either
// case, if all of those are one name.
func begins(names []string, text string) (int, bool) {
	first := -1
	for i, name := range names {
		if text == "" || !strings.Contains(" "+strings.ToLower(name), " "+strings.ToLower(text)) {
			continue
		}
		if first >= 0 && !strings.EqualFold(names[first], name) {
			return 0, false
		}
		if first < 0 {
			first = i
		}
	}
	return first, first >= 0
}
