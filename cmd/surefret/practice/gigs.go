package practice

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"surefret/drills"
	"surefret/drills/gig"
	"surefret/scheduler"
)

// How long a gig stays on the mind, in days.
const (
	askedFor  = 30 // after its day: to be asked about it, and its shaky songs to come sooner
	shakyWait = 7  // until a shaky song should hold: it is planned as if it were played then
)

// today is the practice day.
func (p *Player) today() scheduler.Day { return scheduler.DayOf(p.Now(), time.Local) }

// LeftHanded reports whether the neck is drawn with its nut at the right.
func (p *Player) LeftHanded() bool { return p.Settings.LeftHanded }

// Coming lists the gigs whose day is not past, by day.
func (p *Player) Coming() []gig.Gig {
	today := p.today().String()
	return slices.DeleteFunc(slices.Clone(p.Gigs), func(g gig.Gig) bool { return g.Day < today })
}

// Past lists the gigs of the last month, the oldest first.
func (p *Player) Past() []gig.Gig {
	today := p.today()
	return slices.DeleteFunc(slices.Clone(p.Gigs), func(g gig.Gig) bool {
		return g.Day >= today.String() || g.Day < (today-askedFor).String()
	})
}

// shaky lists the gigs of the last month with those of their songs alone that the
// player called shaky.
func (p *Player) shaky() []gig.Gig {
	var all []gig.Gig
	for _, g := range p.Past() {
		g.Songs = slices.DeleteFunc(slices.Clone(g.Songs), func(s gig.Song) bool { return !s.Shaky })
		if len(g.Songs) > 0 {
			all = append(all, g)
		}
	}
	return all
}

// A dueGig is a gig that is practised for, or what was shaky of one that is over.
type dueGig struct {
	scheduler.Deadline
	gig gig.Gig
}

// deadlines lists what has to be fluent on which day. What shaky songs need is
// planned as if they were played in a week, every day of a month anew: so their
// items come sooner than memory alone would ask for, and what holds by then takes
// no more of the time.
func (p *Player) deadlines() []scheduler.Deadline {
	p.due = nil
	for _, g := range p.Coming() {
		if d, err := p.deadline(g); err == nil {
			p.due = append(p.due, dueGig{d, g})
		}
	}
	for _, g := range p.shaky() {
		if d, err := p.deadline(g); err == nil {
			d.Name, d.Day = g.Name+", shaky songs", p.Now().AddDate(0, 0, shakyWait)
			p.due = append(p.due, dueGig{d, g})
		}
	}
	var ds []scheduler.Deadline
	for _, d := range p.due {
		ds = append(ds, d.Deadline)
	}
	return ds
}

// deadline lists what a gig needs by its day. It is ready in the evening: the
// practice of that day still counts.
func (p *Player) deadline(g gig.Gig) (scheduler.Deadline, error) {
	day, err := gig.ParseDay(g.Day)
	if err != nil {
		return scheduler.Deadline{}, err
	}
	items, err := g.Items(p.catalogue)
	if err != nil {
		return scheduler.Deadline{}, err
	}
	d := scheduler.Deadline{Name: g.Name, Day: time.Date(day.Year(), day.Month(), day.Day(), 20, 0, 0, 0, time.Local)}
	for _, it := range items {
		d.Items = append(d.Items, it.ID)
	}
	return d, nil
}

// Readiness predicts a gig, and its day; zero where it needs nothing or is past.
func (p *Player) Readiness(g gig.Gig) (scheduler.Readiness, time.Time) {
	d, err := p.deadline(g)
	if err != nil || len(d.Items) == 0 {
		return scheduler.Readiness{}, d.Day
	}
	return p.planner.Readiness(d, p.Now()), d.Day
}

// Foretell predicts a gig and each of its songs out of the same simulation of the
// days until then; zero for a gig that is past, and for a song that needs nothing.
func (p *Player) Foretell(g gig.Gig) (whole scheduler.Readiness, songs []scheduler.Readiness, day time.Time) {
	songs = make([]scheduler.Readiness, len(g.Songs))
	d, err := p.deadline(g)
	if err != nil || len(d.Items) == 0 {
		return whole, songs, d.Day
	}
	parts := make([][]string, len(g.Songs))
	for i, s := range g.Songs {
		items, err := s.Items(p.catalogue)
		if err != nil {
			continue
		}
		for _, it := range items {
			parts[i] = append(parts[i], it.ID)
		}
	}
	whole, songs = p.planner.Simulate(d, parts, p.Now())
	return whole, songs, d.Day
}

// weakFrom is the predicted fluency from which an item is no weak spot of a song.
const weakFrom = 0.85

// Weakest returns the predicted share of a song's items that are fluent now, 0 to
// 1, and the titles of its weak spots, the weakest first and at most so many. What
// was set aside is none of them.
func (p *Player) Weakest(s gig.Song, most int) (share float64, weak []string) {
	items, err := s.Items(p.catalogue)
	weak = []string{}
	if err != nil || len(items) == 0 {
		return 0, weak
	}
	type spot struct {
		title   string
		fluency float64
	}
	var spots []spot
	for _, it := range items {
		f := p.planner.Fluency(it.ID, p.Now())
		share += f / float64(len(items))
		if f < weakFrom && !p.aside[it.ID] {
			spots = append(spots, spot{it.Title, f})
		}
	}
	slices.SortStableFunc(spots, func(a, b spot) int { return cmp.Compare(a.fluency, b.fluency) })
	for _, s := range spots[:min(most, len(spots))] {
		weak = append(weak, s.title)
	}
	return share, weak
}

// FindGig finds a gig by its name, in either case, by its name and day, "Harbour
// Fair 2026-12-05", or by the beginning of a word that no other name has; of
// several of a name, the next one to come.
func (p *Player) FindGig(name string) (gig.Gig, bool) {
	if g, ok := p.GigNamed(name); ok {
		return g, true
	}
	for _, gigs := range [][]gig.Gig{p.Coming(), p.nearest()} {
		var names []string
		for _, g := range gigs {
			names = append(names, g.Name)
		}
		if i, ok := begins(names, strings.TrimSpace(name)); ok {
			return gigs[i], true
		}
	}
	return gig.Gig{}, false
}

// GigNamed is FindGig by the whole name alone.
func (p *Player) GigNamed(name string) (gig.Gig, bool) {
	name = strings.TrimSpace(name)
	for _, g := range p.nearest() {
		if strings.EqualFold(g.Name, name) || strings.EqualFold(g.Name+" "+g.Day, name) {
			return g, true
		}
	}
	return gig.Gig{}, false
}

// FindSong finds a song by its title, in either case, or by the beginning of a word
// that no other title has, in the next gig to come that has it, or else in any. It
// returns its place in the gig.
func (p *Player) FindSong(title string) (g gig.Gig, i int, ok bool) {
	for _, g := range p.nearest() {
		if i, ok := g.Song(title); ok {
			return g, i, true
		}
	}
	type place struct{ gig, song int }
	for _, gigs := range [][]gig.Gig{p.Coming(), p.nearest()} {
		var titles []string
		var places []place
		for n, g := range gigs {
			for k, s := range g.Songs {
				titles, places = append(titles, s.Title), append(places, place{n, k})
			}
		}
		if k, ok := begins(titles, strings.TrimSpace(title)); ok {
			return gigs[places[k].gig], places[k].song, true
		}
	}
	return gig.Gig{}, 0, false
}

// nearest lists the gigs to come by day, and then those that are over, the latest
// first.
func (p *Player) nearest() []gig.Gig {
	coming := p.Coming()
	over := slices.Clone(p.Gigs[:len(p.Gigs)-len(coming)])
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

// sourceFor returns the catalogue that poses what a gig needs as its songs have it,
// the gig that the reason names; nil where it names none.
func (p *Player) sourceFor(why scheduler.Reason, from *drills.Catalogue) *drills.Catalogue {
	for _, d := range p.due {
		if d.Name == why.Deadline && scheduler.DayOf(d.Day, time.Local) == scheduler.DayOf(why.Day, time.Local) {
			if own, err := d.gig.Catalogue(from); err == nil {
				return own
			}
		}
	}
	return nil
}
