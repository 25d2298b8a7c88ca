package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"surefret/cmd/surefret/form"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/setlist"
)

// inLines reports whether a player is asked in plain lines: he wants it, listens, or has
// no terminal that can redraw.
func (p *program) inLines(pl *kept.Practice, wanted bool) bool {
	return wanted || pl.Settings.Speak || !p.FullScreen()
}

// asker returns the way to ask: forms on the full screen, else plain lines.
func (p *program) asker(pl *kept.Practice, lines bool, elsewhere string) setlist.Asker {
	if p.inLines(pl, lines) {
		listens := p.Keyboard() != nil || pl.Settings.Speak || p.inFull
		p.In = line.NewInput(p.In) // what is read ahead is still there for the session
		r := line.NewReader(p.In, p.Out, p.Err)
		if listens {
			r.Words = speller(pl.Setup()).Text
		}
		return func(ctx context.Context, f form.Form) (bool, error) {
			answered, err := r.Ask(ctx, f)
			if err == nil && !answered && r.Ended() {
				err = io.EOF
			}
			return answered, err
		}
	}
	look := p.Look(pl.Settings.Drawing)
	return func(ctx context.Context, f form.Form) (bool, error) {
		return screen.Ask(ctx, f, elsewhere, look, p.In, p.Terminal())
	}
}

// askAfter asks, once for each gig that is over, how it went and which songs
// were shaky. A player who leaves the question is not asked again; where nobody
// is there to answer, it comes back. What was answered is kept in any case.
func (p *program) askAfter(ctx context.Context, pl *kept.Practice, lines bool) error {
	var ask setlist.Asker
	for _, g := range pl.Past() {
		if g.Asked || len(g.Songs) == 0 {
			continue
		}
		if ask == nil {
			ask = p.asker(pl, lines, "'surefret --line' asks in plain lines.")
		}
		after := setlist.After{Gig: g}
		answered, err := ask(ctx, after.Form())
		away := errors.Is(err, io.EOF)
		if err != nil && !away {
			return err
		}
		if err := pl.PutGig(ctx, after.Told(answered, away)); err != nil {
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
