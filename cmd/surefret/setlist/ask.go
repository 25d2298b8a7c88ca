package setlist

import (
	"context"
	"errors"
	"io"

	"surefret/cmd/surefret/form"
	"surefret/drills/gig"
)

// An Asker puts a form to the player, on the screen or in lines. It reports
// whether the form was answered to its end. The error is [io.EOF] when nobody is
// there: the input ended, or the terminal closed.
type Asker func(context.Context, form.Form) (answered bool, err error)

// left reports whether the player left a form, or nobody was there to answer it.
func left(answered bool, err error) bool { return errors.Is(err, io.EOF) || err == nil && !answered }

// A Keeper keeps a gig.
type Keeper func(context.Context, gig.Gig) error

// AskGig asks for a gig and its songs. Each is kept as soon as it is complete,
// so that a player who leaves keeps what he answered. It reports whether there is a
// gig to tell of.
func (b Book) AskGig(ctx context.Context, id string, ask Asker, keep Keeper) (g gig.Gig, kept bool, err error) {
	g.ID = id
	more := form.Yes
	if answered, err := ask(ctx, b.gigForm(&g, &more)); left(answered, err) {
		return g, false, nil
	} else if err != nil {
		return g, false, err
	}
	if g.Day, err = b.Day(g.Day); err != nil {
		return g, false, err
	}
	if err := keep(ctx, g); err != nil {
		return g, false, err
	}
	if more == form.Yes {
		g, err = b.askSongs(ctx, g, ask, keep)
	}
	return g, err == nil, err
}

// askSongs asks for songs until the player has no more or the gig is full, and
// returns the gig as it is kept.
func (b Book) askSongs(ctx context.Context, g gig.Gig, ask Asker, keep Keeper) (gig.Gig, error) {
	for len(g.Songs) < gig.MostSongs {
		f := songForm{Book: b, gig: g}
		if answered, err := ask(ctx, f.form()); left(answered, err) {
			break
		} else if err != nil {
			return g, err
		}
		s, err := f.song()
		if err != nil {
			return g, err
		}
		g.Songs = append(g.Songs, s)
		if err := keep(ctx, g); err != nil {
			return g, err
		}
		if len(g.Songs) == gig.MostSongs {
			break
		}
		more := form.No
		if answered, err := ask(ctx, moreForm(s.Title, &more)); left(answered, err) || err == nil && more != form.Yes {
			break
		} else if err != nil {
			return g, err
		}
	}
	return g, nil
}

// gigForm asks for a gig, and whether its songs come next.
func (b Book) gigForm(g *gig.Gig, more *string) form.Form {
	return form.Form{
		Title: "A new gig", Note: "Its songs come next. All of it can be changed later.", Leave: "leave, nothing is saved",
		Questions: []form.Question{
			{Ask: "What is it called?", Hint: "a name, like Harbour Fair", Value: &g.Name,
				Check: func(text string) error { return gig.Gig{Name: text, Day: "2000-01-01"}.Check() }},
			{Ask: "Which day is it on?", Hint: "a date like 2026-12-05, or a day like Saturday", Value: &g.Day,
				Check: func(text string) error {
					day, err := b.Day(text)
					if err == nil {
						err = b.New(gig.Gig{ID: g.ID, Name: g.Name, Day: day})
					}
					return err
				}},
			{Ask: "Add its songs now?", Hint: "yes or no", Options: form.YesOrNo(), Value: more},
		},
	}
}

// moreForm asks, once a song is kept, whether another comes.
func moreForm(title string, more *string) form.Form {
	return form.Form{
		Title: title + " is kept", Note: "It can be changed later.", Leave: "no more songs",
		Questions: []form.Question{{Ask: "Another song?", Hint: "yes or no", Options: form.YesOrNo(), Value: more}},
	}
}
