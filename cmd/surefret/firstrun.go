package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"

	"golang.org/x/term"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/settings"
)

// firstRun asks what cannot be guessed before the first question, where somebody can
// answer, and says which defaults are taken where nobody can. Who has played for a
// year may prove what he knows in this sitting.
func (p *program) firstRun(ctx context.Context, pl *player, lines bool, o *practiceOptions) error {
	in, ok := p.in.(*os.File)
	if lines && !(ok && term.IsTerminal(int(in.Fd()))) {
		fmt.Fprintf(p.err, "No settings yet, so: %s tuning, %d frets, %g minutes. Change them with 'surefret setup'.\n",
			pl.Settings.Tuning, pl.Settings.Frets, pl.Settings.Minutes)
		return nil
	}
	chosen, arrival := pl.Settings, settings.Newcomer()
	answered, err := p.asker(pl, lines, "'surefret --line' asks in plain lines.")(ctx, settings.FirstForm(&chosen, &arrival))
	switch {
	case err != nil && !errors.Is(err, io.EOF):
		return err
	case !answered:
		return fmt.Errorf("%w: to begin, run this again and press Space, which takes what is shown", screen.ErrLeft)
	}
	if arrival.Prove == "yes" {
		o.placing = true
	}
	if arrival.Notes == settings.NoNotes {
		chosen.ShownFirst = settings.ShowAll
	}
	return pl.Save(ctx, chosen)
}

// calibrate measures, after the first sitting, how fast the player types, by copying
// on the full screen. Of who leaves it the least is taken that any hand needs, and he
// is not asked again.
func (p *program) calibrate(ctx context.Context, pl *player) error {
	setup, err := pl.Settings.Setup()
	if err != nil {
		return err
	}
	typing, err := screen.Calibrate(ctx, screen.CalibrateOptions{
		Rand: rand.New(rand.NewPCG(uint64(pl.Now().UnixNano()), 2)), Now: pl.Now, Names: setup.Names,
		Look: screen.LookFor(p.getenv, pl.Settings.Drawing), In: p.in, Out: p.screen(),
	})
	if errors.Is(err, screen.ErrLeft) {
		typing, err = practice.LeastTyping, nil
	}
	if err != nil {
		return err
	}
	return pl.KeepTyping(ctx, typing)
}
