package main

import (
	"context"
	"fmt"
	"strings"

	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/hearing/input"
	"surefret/cmd/surefret/hearing/tuner"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/sound"
	"surefret/store"
)

// openHeard opens what a sitting listens to: what the player named, or what he set. Where
// what is set cannot be listened to, it is told, and the sitting is typed.
func (p *program) openHeard(ctx context.Context, pl *kept.Practice, o *practiceOptions) (input.Source, error) {
	set := pl.Settings.Listen && o.hears.From == "" && !(o.given != nil && o.given("listen"))
	o.hears.Live, o.hears.Set = o.hears.Live || set, set
	heard, err := input.Open(ctx, p.inputs(), o.hears, pl.Settings)
	if err != nil && set && ctx.Err() == nil {
		o.hears = input.Options{}
		return input.Source{Told: practice.Unheard(err)}, nil
	}
	return heard, err
}

// sittingEar returns who listens in a sitting, nil for nobody, and what there is to say of
// it, "" for nothing. An input is offered the open strings first, which is none of the
// sitting's time. What is too far off to be taken into account is said.
func (p *program) sittingEar(ctx context.Context, pl *kept.Practice, s *practice.Sitting, heard input.Source, snd *sound.Sound) (ear *hearing.Ear, told string, err error) {
	ear, err = heard.Ear(pl.Setup().Neck, pl.Settings, snd.Sounding)
	if ear == nil || err != nil {
		return nil, heard.Told, err
	}
	if ear.Calibration, err = p.tunedToday(ctx, pl); err != nil {
		return nil, "", err
	}
	if heard.Live != nil {
		begun := pl.Now()
		fmt.Fprintln(p.Err, "The microphone is open until the end. Play the open strings, to check the tuning; five seconds without one end that.")
		err = tuner.Check(ctx, ear, pl.Setup(), func(said string) { fmt.Fprintln(p.Err, said) })
		s.Pause(pl.Now().Sub(begun))
		if err != nil && ctx.Err() == nil {
			return nil, practice.Unheard(err), nil
		}
		if err != nil {
			return nil, "", err
		}
		if err := pl.DB.KeepTuned(ctx, ear.Calibration); err != nil { // it holds for this sitting all the same
			fmt.Fprintf(p.Err, "surefret: %s\n", err)
		}
	}
	var off []string
	for _, s := range ear.Calibration.Off() {
		off = append(off, fmt.Sprintf("String %d is %s: tune it first, with 'surefret tune'.", s.String, tuner.Off(s.Cents)))
	}
	return ear, strings.Join(off, " "), nil
}

// tunedToday is how the strings sounded today, as far as they were heard.
func (p *program) tunedToday(ctx context.Context, pl *kept.Practice) (hearing.Calibration, error) {
	c, err := p.calibration(pl.Setup(), pl.Settings.ReferenceA)
	if err != nil {
		return c, err
	}
	kept, err := pl.DB.Kept(ctx)
	return withEarlier(c, kept), err
}

// withEarlier is c with what was heard earlier that day and is kept.
func withEarlier(c hearing.Calibration, kept store.Kept) hearing.Calibration {
	var earlier hearing.Calibration
	kept.Tuned(&earlier)
	return c.After(earlier)
}
