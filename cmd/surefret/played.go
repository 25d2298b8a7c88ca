package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/sound"
	"surefret/drills"
)

// openHeard opens what a sitting listens to: what the player named, or what he set. Where
// what is set cannot be listened to, it is told, and the sitting is typed.
func (p *program) openHeard(ctx context.Context, pl *player, o *practiceOptions) (source, error) {
	set := pl.Settings.Listen && o.hears.from == "" && !(o.given != nil && o.given("listen"))
	o.hears.live, o.hears.set = o.hears.live || set, set
	heard, err := p.openSource(ctx, o.hears, pl.Settings)
	if err != nil && set && ctx.Err() == nil {
		o.hears = hearingOptions{}
		return source{told: typeThen(err)}, nil
	}
	return heard, err
}

// typeThen says why nothing is listened to, and what to do.
func typeThen(err error) string {
	said := strings.ToUpper(err.Error()[:1]) + err.Error()[1:]
	if !strings.HasSuffix(said, "?") {
		said += "."
	}
	return said + " Type the answers."
}

// sittingEar returns who listens in a sitting, nil for nobody, once the tuning is checked,
// and what there is to say of it, "" for nothing. The check is none of the sitting's time.
func (p *program) sittingEar(ctx context.Context, pl *player, s *practice.Sitting, heard source, snd *sound.Sound) (ear *hearing.Ear, told string, err error) {
	ear, err = heard.ear(pl.Setup().Neck, pl.Settings, snd.Sounding)
	if ear == nil || err != nil {
		return nil, heard.told, err
	}
	begun := pl.Now()
	told, err = p.checkTuning(ctx, pl, ear, heard.live != nil)
	s.Pause(pl.Now().Sub(begun))
	if err != nil && ctx.Err() == nil {
		return nil, typeThen(err), nil
	}
	return ear, told, err
}

// checkTime is how long the open strings are waited for before a sitting.
const checkTime = 5 * time.Second

// checkTuning takes over how the strings sounded today. Before a live sitting it offers to
// hear them again. It says what is too far off to be taken into account.
func (p *program) checkTuning(ctx context.Context, pl *player, ear *hearing.Ear, live bool) (told string, err error) {
	c, err := p.calibration(pl.Setup(), pl.Settings.ReferenceA)
	if err != nil {
		return "", err
	}
	kept, err := pl.db.Kept(ctx)
	if err != nil {
		return "", err
	}
	var before hearing.Calibration
	if kept.Tuned(&before); before.Fits(c) {
		c = before
	}
	ear.Calibration = c
	if live {
		if err := p.hearStrings(ctx, ear, pl.Setup()); err != nil {
			return "", err
		}
		if err := pl.db.KeepTuned(ctx, ear.Calibration); err != nil { // it holds for this sitting all the same
			fmt.Fprintf(p.err, "surefret: %s\n", err)
		}
	}
	var off []string
	for _, s := range ear.Calibration.Off() {
		off = append(off, fmt.Sprintf("String %d is %s: tune it first, with 'surefret tune'.", s.String, sayOff(s.Cents)))
	}
	return strings.Join(off, " "), nil
}

// hearStrings hears the open strings, as long as they come within a few seconds.
func (p *program) hearStrings(ctx context.Context, ear *hearing.Ear, setup drills.Setup) error {
	fmt.Fprintln(p.err, "The microphone is open until the end. Play the open strings to check the tuning, or wait five seconds.")
	heard := map[int]bool{}
	for len(heard) < setup.Neck.Tuning.Strings() {
		s, ok, err := ear.Tune(ctx, setup.Neck, checkTime)
		if err != nil || !ok {
			return err
		}
		heard[s.String] = true
		ear.Calibration.Heard(s)
		fmt.Fprintln(p.err, tuneLine(s, setup, true))
	}
	return nil
}
