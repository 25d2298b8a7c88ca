package main

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"surefret/cmd/surefret/form"
	"surefret/drills/gig"
	"surefret/scheduler"
)

// How long a gig stays on the mind, in days.
const (
	askedFor  = 30 // after its day: to be asked about it, and its shaky songs to come sooner
	shakyWait = 7  // until a shaky song should hold: it is planned as if it were played then
)

// past lists the gigs of the last month, the oldest first.
func (pl *player) past() []gig.Gig {
	today := scheduler.DayOf(pl.now(), time.Local)
	return slices.DeleteFunc(slices.Clone(pl.gigs), func(g gig.Gig) bool {
		return g.Day >= today.String() || g.Day < (today-askedFor).String()
	})
}

// shaky lists the gigs of the last month with those of their songs alone that
// the player called shaky.
func (pl *player) shaky() []gig.Gig {
	var all []gig.Gig
	for _, g := range pl.past() {
		g.Songs = slices.DeleteFunc(slices.Clone(g.Songs), func(s gig.Song) bool { return !s.Shaky })
		if len(g.Songs) > 0 {
			all = append(all, g)
		}
	}
	return all
}

// shakyDeadlines has what shaky songs need planned as if they were played in a
// week, every day of a month anew: so their items come sooner than memory alone
// would ask for, and what holds by then takes no more of the time.
func (pl *player) shakyDeadlines() []scheduler.Deadline {
	var ds []scheduler.Deadline
	for _, g := range pl.shaky() {
		if d, err := pl.deadline(g); err == nil {
			d.Name, d.Day = g.Name+", shaky songs", pl.now().AddDate(0, 0, shakyWait)
			ds = append(ds, d)
		}
	}
	return ds
}

// askAfter asks, once for each gig that is over, how it went and which songs
// were shaky. A player who leaves the question is not asked again.
func (p *program) askAfter(ctx context.Context, pl *player, lines bool) error {
	var ask asker
	for _, g := range pl.past() {
		if g.Asked || len(g.Songs) == 0 {
			continue
		}
		if ask == nil {
			ask = p.asker(pl, lines, "'surefret --line' asks in plain lines.")
		}
		var note, shaky string
		f := form.Form{
			Title: "After " + g.Name + ", " + sayDay(g.Day), Note: "Asked once; what was shaky comes sooner.", Leave: "skip this",
			Questions: []form.Question{
				{Ask: "How did it go?", Hint: "a note to yourself; empty for none", Value: &note, Check: func(text string) error {
					if text == "" {
						return nil
					}
					return gig.CheckNote(text)
				}},
				{Ask: "Which songs were shaky?", Hint: "numbers, commas between; empty for none", Several: true, Value: &shaky},
			},
		}
		for i, s := range g.Songs {
			f.Questions[1].Options = append(f.Questions[1].Options, form.Option{Value: strconv.Itoa(i + 1), Label: s.Title})
		}
		answered, err := ask(ctx, f)
		if err != nil {
			return err
		}
		if g.Asked = true; answered {
			g.Songs = slices.Clone(g.Songs)
			for _, n := range f.Questions[1].Chosen() {
				if i, err := strconv.Atoi(n); err == nil {
					g.Songs[i-1].Shaky = true
				}
			}
			g.Note = strings.TrimSpace(g.Note + "\n" + note)
		}
		if err := pl.putGig(ctx, g); err != nil {
			return fmt.Errorf("keep how %s went: %w", g.Name, err)
		}
	}
	if ask == nil {
		return nil
	}
	return pl.prepare(ctx)
}
