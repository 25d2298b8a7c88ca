package main

import (
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/settings"
	"surefret/cmd/surefret/sound"
	"surefret/drills"
)

// screenOptions are what the practice screen goes by, the player's settings among
// them.
func (p *program) screenOptions(pl *kept.Practice, setup drills.Setup, s *practice.Sitting, snd *sound.Sound) screen.Options {
	play := snd.Play
	if !snd.Heard() {
		play = nil // no key offers to hear it again
	}
	return screen.Options{
		Sitting: s, Now: pl.Now, Sound: play,
		Neck: setup.Neck, LeftHanded: pl.Settings.LeftHanded, Names: setup.Names,
		MoveOn: settings.Seconds(pl.Settings.MoveOn), Grace: settings.Seconds(pl.Settings.KeyWait),
		Look: p.Look(pl.Settings.Drawing), Ring: pl.Settings.Ring,
		Map:    func() report.Map { return pl.Map(nil, [2]int{}) },
		Notice: notices(pl, snd),
		In:     p.In, Out: p.Terminal(),
	}
}
