package main

import (
	"context"
	"errors"
	"math/rand/v2"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
)

// practiceScreen runs a session on the full screen.
func (p *program) practiceScreen(ctx context.Context, pl *player, s *practice.Sitting, sound *sound, now func() time.Time) error {
	setup, err := pl.settings.Setup()
	if err != nil {
		return err
	}
	return screen.Practice(ctx, p.screenOptions(pl, setup, s, sound, now))
}

// screenOptions are what the practice screen goes by, the player's settings among
// them.
func (p *program) screenOptions(pl *player, setup drills.Setup, s *practice.Sitting, sound *sound, now func() time.Time) screen.Options {
	play := sound.play
	if !sound.heard() {
		play = nil // no key offers to hear it again
	}
	return screen.Options{
		Session: s, Now: now, Sound: play,
		Neck: setup.Neck, LeftHanded: pl.settings.LeftHanded, Names: setup.Names,
		MoveOn: settings.Seconds(pl.settings.MoveOn), Grace: settings.Seconds(pl.settings.KeyWait),
		Look: screen.LookFor(p.getenv, pl.settings.Drawing),
		Map: func() report.Map {
			m, _ := pl.neckMap(nil, "") // fails for bad flags alone
			return m
		},
		Notice: pl.notices(sound),
		In:     p.in, Out: p.screen(),
	}
}

// calibrate measures how fast the player types, by copying, on the full screen.
// A player who leaves it keeps what was measured before.
func (p *program) calibrate(ctx context.Context, pl *player) error {
	setup, err := pl.settings.Setup()
	if err != nil {
		return err
	}
	typing, err := screen.Calibrate(ctx, screen.CalibrateOptions{
		Rand: rand.New(rand.NewPCG(uint64(pl.now().UnixNano()), 2)), Now: pl.now, Names: setup.Names,
		Look: screen.LookFor(p.getenv, pl.settings.Drawing), In: p.in, Out: p.screen(),
	})
	if errors.Is(err, screen.ErrLeft) {
		return nil
	}
	if err != nil {
		return err
	}
	return pl.keepTyping(ctx, typing)
}
