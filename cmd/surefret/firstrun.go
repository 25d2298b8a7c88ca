package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"

	"golang.org/x/term"

	"surefret/cmd/surefret/job"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/settings"
)

// firstRun asks what cannot be guessed before the first question, where somebody can
// answer, and says which defaults are taken where nobody can. Who knows much
// may prove it in this sitting.
func (p *program) firstRun(ctx context.Context, pl *kept.Practice, lines bool, o *practiceOptions) error {
	if lines && p.Keyboard() == nil {
		fmt.Fprintf(p.Err, "No settings yet, so: %s tuning, %d frets, %g minutes. Change them with 'surefret setup'.\n",
			pl.Settings.Tuning, pl.Settings.Frets, pl.Settings.Minutes)
		return nil
	}
	chosen := pl.Settings
	chosen.Names = settings.NamesIn(cmp.Or(p.Getenv("LC_ALL"), p.Getenv("LC_MESSAGES"), p.Getenv("LANG")))
	if !lines {
		fmt.Fprintln(p.Err, "To have it read aloud: surefret --line. All that can be set: surefret setup.")
	}
	var proves bool
	answered, err := p.asker(pl, lines, "'surefret --line' asks in plain lines.")(ctx, settings.FirstForm(&chosen, &proves, lines))
	switch {
	case err != nil && !errors.Is(err, io.EOF):
		return err
	case !answered:
		key := "Space, which takes what is shown"
		if lines {
			key = "Enter at each question, which takes what it says"
		}
		return fmt.Errorf("%w: to begin, run this again and press %s", screen.ErrLeft, key)
	}
	o.Placing = o.Placing || proves
	chosen.Arrive()
	if lines { // who sits at a terminal and wants lines listens to them
		chosen.Speak = true
		fmt.Fprintln(p.Err, "From now on every page is said in words, to be listened to. To have it printed, to be read: surefret setup.")
	}
	return pl.Save(ctx, chosen)
}

// listen has line mode at a terminal wait for the player. It returns nil lines where
// answers come by a pipe.
func (p *program) listen(ctx context.Context, pl *kept.Practice, keyboard *os.File) *line.Input {
	if keyboard == nil {
		return nil
	}
	raw := func() (func(), error) {
		before, err := term.MakeRaw(int(keyboard.Fd()))
		return func() { _ = term.Restore(int(keyboard.Fd()), before) }, err
	}
	watch := job.Begin(ctx)
	return line.NewKeyboard(line.Terminal{ReadWriter: keyboard, Raw: raw, Suspend: watch.Suspend, Stopped: watch.Stopped, Quit: job.Quit}, pl.Now)
}

// measure measures, after the first sitting in lines, what it takes to hear a line out.
func (p *program) measure(ctx context.Context, pl *kept.Practice, in *line.Input) error {
	typing, measured, err := line.Measure(ctx, in, p.Out, pl.Now, rand.New(rand.NewPCG(uint64(pl.Now().UnixNano()), 3)), pl.Typing())
	if err == nil && measured {
		if err = pl.KeepTyping(ctx, typing); err == nil {
			err = p.Say([]string{speller(pl.Setup()).Text(typing.Told())})
		}
	}
	if errors.Is(err, line.ErrInterrupted) {
		err = screen.ErrInterrupted
	}
	return err
}

// calibrate measures, after the first sitting, how fast the player types, by copying
// on the full screen. Of who leaves it the least is taken that any hand needs, and he
// is not asked again.
func (p *program) calibrate(ctx context.Context, pl *kept.Practice) error {
	typing, err := screen.Calibrate(ctx, screen.CalibrateOptions{
		Rand: rand.New(rand.NewPCG(uint64(pl.Now().UnixNano()), 2)), Now: pl.Now, Names: pl.Setup().Names,
		Look: p.Look(pl.Settings.Drawing), In: p.In, Out: p.Terminal(),
	})
	before := pl.Typing()
	if errors.Is(err, screen.ErrLeft) {
		typing, err = practice.LeastTyping, nil
	} else if err == nil {
		p.PrintFolded(typing.Told())
	}
	if err != nil {
		return err
	}
	typing.Line, typing.Character, typing.Reach = before.Line, before.Character, before.Reach
	typing.Sign, typing.Digit = cmp.Or(typing.Sign, before.Sign), cmp.Or(typing.Digit, before.Digit)
	return pl.KeepTyping(ctx, typing)
}
