package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/hearing/input"
	"surefret/cmd/surefret/hearing/tuner"
	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/screen"
	"surefret/drills"
	"surefret/scheduler"
	"surefret/store"
)

func (p *program) tuneCommand() *cobra.Command {
	var o input.Options
	var f neckFlags
	var delay bool
	cmd := &cobra.Command{
		Use:   "tune",
		Short: "Tune: what each open string gives, and how far off it is",
		Long: "Listens for two seconds to the quiet room, then to the open strings, one after another, " +
			"in the tuning and with the capo of your settings. It ends when every string was in tune " +
			"the last time you played it, or with ctrl-c. What is up to 40 cents off is kept for the day, and taken into " +
			"account where you answer by playing or rehearse. With --delay it plays notes on the loudspeaker " +
			"and measures how late the input hears them: that is taken off the time of what you play. " + untried,
		Example: "  surefret tune\n  surefret tune --tuning \"drop D\"\n  surefret tune --listen-from strings.wav --json",
		Args:    cli.Needs(),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if delay {
				if o.From != "" || p.JSON {
					return usagef("--delay measures the loudspeaker and an input: leave --listen-from and --json out")
				}
				return p.withPlayer(func(ctx context.Context, pl *kept.Practice, _ []string) error { return p.tuneDelay(ctx, pl, o) })(cmd, nil)
			}
			return p.tuneStrings(cmd, o, f)
		},
	}
	o.Add(cmd.Flags())
	f.add(cmd)
	addJSON(cmd, "print what was heard as JSON, at the end")
	cmd.Flags().BoolVar(&delay, "delay", false, "measure how late the input hears the loudspeaker, in place of tuning")
	return cmd
}

// tuneStrings hears the open strings, and keeps how they sounded.
func (p *program) tuneStrings(cmd *cobra.Command, o input.Options, f neckFlags) error {
	setup, s, err := p.instrument(cmd, f)
	if err != nil {
		return err
	}
	o.Live = o.From == ""
	heard, err := input.Open(cmd.Context(), p.inputs(), o, s)
	if err != nil {
		return err
	}
	defer heard.Close()
	ear, err := heard.Ear(setup.Neck, s, nil)
	if err != nil {
		return err
	}
	if ear.Calibration, err = p.calibration(setup, s.ReferenceA); err != nil {
		return err
	}
	t := &tuner.Tuner{Ear: ear, Setup: setup}
	if p.FullScreen() && !p.JSON && !p.Speaking() {
		if heard.File != nil {
			heard.File.Paced = true
		}
		err = p.showTuner(cmd.Context(), t, heard.Said(), p.Look(s.Drawing))
	} else {
		err = p.tune(cmd.Context(), t)
	}
	if err != nil {
		return err
	}
	if o.Live && s.Delay == 0 && !p.JSON {
		fmt.Fprintln(p.Err, "How late this machine hears what it plays was not measured yet: 'surefret tune --delay' does.")
	}
	var reach time.Duration
	if reaches := t.Reaches(); len(reaches) > 0 {
		reach = practice.Usual(reaches)
	}
	return p.keepTuned(context.WithoutCancel(cmd.Context()), ear.Calibration, reach)
}

// tune listens until every string was in tune, to the end of the recording, or until the
// player stops it.
func (p *program) tune(ctx context.Context, t *tuner.Tuner) error {
	tell := func(said string) {
		if !p.JSON && said != "" {
			fmt.Fprintln(p.Err, said)
		}
	}
	tell("Keep quiet for two seconds.")
	if err := t.Quiet(ctx); err != nil {
		return err
	}
	tell(t.Room() + "; ctrl-c ends it.")
	for !t.Done() {
		s, err := t.Next(ctx)
		if errors.Is(err, io.EOF) || errors.Is(err, context.Canceled) {
			break
		}
		if err != nil {
			return err
		}
		switch {
		case p.JSON:
		case p.Speaking():
			fmt.Fprintln(p.Out, tuner.Sentence(s, t.Setup))
		default:
			fmt.Fprintln(p.Out, tuner.Line(s, t.Setup))
		}
		tell(t.Ask(s.String))
	}
	return p.tuneSummary(t)
}

// showTuner is tune on the full screen.
func (p *program) showTuner(ctx context.Context, t *tuner.Tuner, hears string, look ink.Look) error {
	quiet := false
	next := func(ctx context.Context) (screen.Tuning, error) {
		if !quiet {
			if err := t.Quiet(ctx); err != nil {
				return screen.Tuning{}, err
			}
			quiet = true
			return screen.Tuning{Room: t.Ear.Calibration.Floor, Ask: t.Room() + "."}, nil
		}
		s, err := t.Next(ctx)
		if err != nil {
			return screen.Tuning{}, err
		}
		shown := screen.Tuning{Large: tuner.Large(s, t.Setup), Ask: cmp.Or(t.Ask(s.String), "All strings are in tune."), Room: t.Ear.Calibration.Floor, Softest: t.Softest()}
		for _, s := range t.Heard() {
			shown.Lines = append(shown.Lines, tuner.Short(s, t.Setup, look.Scale()))
		}
		return shown, nil
	}
	err := screen.Tune(ctx, screen.TuneOptions{
		Title: "Tuning: " + t.Setup.Neck.Tuning.In(t.Setup.Names), Hears: hears, Level: t.Ear.Level, Next: next, Look: look, In: p.In, Out: p.Terminal(),
	})
	if err != nil {
		return err
	}
	return p.tuneSummary(t)
}

// keepTuned keeps how the strings sounded, those that were heard earlier today among them,
// and how long they took to reach, 0 for not measured, where there is a practice.
func (p *program) keepTuned(ctx context.Context, c hearing.Calibration, reach time.Duration) error {
	at, err := p.dated()
	if err != nil {
		return err
	}
	if !at.Exists() || len(c.Strings) == 0 {
		return nil
	}
	db, _, err := at.OpenLog(ctx)
	if err != nil {
		return err
	}
	if err = keepReached(ctx, db, c, reach); err == nil && reach > 0 {
		fmt.Fprintf(p.Err, "You take %s to reach a string: what you play may take that much longer than the aim.\n", practice.Seconds(reach))
	}
	return errors.Join(err, db.Close())
}

func keepReached(ctx context.Context, db *store.DB, c hearing.Calibration, reach time.Duration) error {
	kept, err := db.Kept(ctx)
	if err != nil {
		return err
	}
	if err := db.KeepTuned(ctx, withEarlier(c, kept)); err != nil || reach == 0 {
		return err
	}
	var typing practice.Typing
	kept.Typing(&typing)
	typing.Reach = reach
	return db.KeepTyping(ctx, typing)
}

// tuneSummary prints what was heard and what is left to do.
func (p *program) tuneSummary(t *tuner.Tuner) error {
	if p.JSON {
		return p.PrintJSON(struct {
			Floor   float64         `json:"floor"`
			Strings []hearing.Tuned `json:"strings"`
		}{math.Round(t.Ear.Calibration.Floor), t.Heard()})
	}
	for _, l := range t.Summary() {
		p.PrintFolded(l)
	}
	return nil
}

// calibration begins one for an instrument, today.
func (p *program) calibration(setup drills.Setup, reference float64) (hearing.Calibration, error) {
	now, err := p.clock()
	if err != nil {
		return hearing.Calibration{}, err
	}
	return tuner.Calibration(setup.Neck, reference, scheduler.DayOf(now(), time.Local).String()), nil
}
