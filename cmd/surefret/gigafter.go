package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"surefret/cmd/surefret/form"
	"surefret/cmd/surefret/sheet"
	"surefret/drills/gig"
)

// askAfter asks, once for each gig that is over, how it went and which songs
// were shaky. A player who leaves the question is not asked again; where nobody
// is there to answer, it comes back. What was answered is kept in any case.
func (p *program) askAfter(ctx context.Context, pl *player, lines bool) error {
	var ask asker
	for _, g := range pl.Past() {
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
	return pl.Prepare(ctx)
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
