package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"surefret/cmd/surefret/form"
	"surefret/cmd/surefret/sheet"
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

// shakyDue has what shaky songs need planned as if they were played in a
// week, every day of a month anew: so their items come sooner than memory alone
// would ask for, and what holds by then takes no more of the time.
func (pl *player) shakyDue() []dueGig {
	var ds []dueGig
	for _, g := range pl.shaky() {
		if d, err := pl.deadline(g); err == nil {
			d.Name, d.Day = g.Name+", shaky songs", pl.now().AddDate(0, 0, shakyWait)
			ds = append(ds, dueGig{d, g})
		}
	}
	return ds
}

// askAfter asks, once for each gig that is over, how it went and which songs
// were shaky. A player who leaves the question is not asked again; where nobody
// is there to answer, it comes back. What was answered is kept in any case.
func (p *program) askAfter(ctx context.Context, pl *player, lines bool) error {
	var ask asker
	for _, g := range pl.past() {
		if g.Asked || len(g.Songs) == 0 {
			continue
		}
		if ask == nil {
			ask = p.asker(pl, lines, "'surefret --line' asks in plain lines.")
		}
		after := afterGig{gig: g}
		answered, err := ask(ctx, after.form())
		away := errors.Is(err, io.EOF)
		if err != nil && !away {
			return err
		}
		if err := pl.putGig(ctx, after.told(answered, away)); err != nil {
			return fmt.Errorf("keep how %s went: %w", g.Name, err)
		}
		if away {
			break // nor is he there for the next
		}
	}
	if ask == nil {
		return nil
	}
	return pl.prepare(ctx)
}

// An afterGig asks how a gig went.
type afterGig struct {
	gig         gig.Gig
	note, shaky string
}

// form lists the questions.
func (a *afterGig) form() form.Form {
	which := form.Question{Ask: "Which songs were shaky?", Hint: "numbers, as 'surefret gig show --line' counts them, commas between; empty for none",
		Several: true, Value: &a.shaky}
	for i, s := range a.gig.Songs {
		which.Options = append(which.Options, form.Option{Value: strconv.Itoa(i + 1), Label: s.Title})
	}
	return form.Form{
		Title: "After " + a.gig.Name + ", " + sheet.Day(a.gig.Day), Note: "Asked once; what was shaky comes sooner.", Leave: "skip this",
		Questions: []form.Question{
			{Ask: "How did it go?", Hint: "a note to yourself; empty for none", Value: &a.note, Check: a.check},
			which,
		},
	}
}

// check refuses a note that cannot be kept with the one that is there.
func (a *afterGig) check(note string) error {
	return gig.CheckNote(joinNotes(a.gig.Note, note))
}

// joinNotes puts one note below another.
func joinNotes(first, then string) string {
	return strings.TrimSpace(first + "\n" + strings.TrimSpace(then))
}

// told is the gig with what was answered.
func (a *afterGig) told(answered, away bool) gig.Gig {
	g := a.gig
	g.Note = joinNotes(g.Note, a.note)
	g.Asked = !away
	if answered {
		g.Songs = slices.Clone(g.Songs)
		shaky := strings.Split(a.shaky, ",")
		for i := range g.Songs {
			g.Songs[i].Shaky = slices.Contains(shaky, strconv.Itoa(i+1))
		}
	}
	return g
}
