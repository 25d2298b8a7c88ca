package main

import (
	"context"
	"fmt"

	"surefret/cmd/surefret/hearing/input"
	"surefret/cmd/surefret/hearing/tuner"
	"surefret/cmd/surefret/kept"
	"surefret/synth/speaker"
)

// tuneDelay measures how late the machine hears what it plays, and keeps it for all that listens to the player.
func (p *program) tuneDelay(ctx context.Context, pl *kept.Practice, o input.Options) error {
	snd := p.openSound(ctx, pl, p.steady(), false)
	defer snd.Close(ctx)
	if said := snd.Notice(); said != "" {
		fmt.Fprintln(p.Err, said)
	}
	if !snd.Heard() {
		return fmt.Errorf("nothing can be measured without sound: 'surefret setup' turns it on")
	}
	o.Live = true
	from, err := input.Open(ctx, p.inputs(), o, pl.Settings)
	if err != nil {
		return err
	}
	defer from.Close()
	s := pl.Settings
	s.Delay = 0 // what was measured before may be of another device
	ear, err := from.Ear(pl.Setup().Neck, s, nil)
	if err != nil {
		return err
	}
	fmt.Fprintln(p.Err, "Ten notes are played on the loudspeaker: keep quiet, and wear no headphones.")
	off, err := tuner.Delay(ctx, snd, ear, pl.Now, p.wait)
	if err != nil {
		return err
	}
	s.Delay = max(float64((ear.Latency + off).Milliseconds()), 1) // 0 is not measured
	if err := pl.Save(ctx, s); err != nil {
		return err
	}
	p.PrintFolded(fmt.Sprintf("What you play on the beat is heard %g ms late. That is kept, and taken off when you practise or rehearse by playing.%s", s.Delay, deviceHolds()))
	return nil
}

// steady is the sound device for what is played along to, which is heard without a gap
// rather than at once.
func (p *program) steady() speaker.Device {
	if p.device != nil {
		return p.device
	}
	return speaker.Steady()
}

// deviceHolds says how much sound the device holds at a time, "" where it alone knows.
func deviceHolds() string {
	if held := speaker.Buffer(); held > 0 {
		return fmt.Sprintf(" The sound device holds %d ms at a time.", held.Milliseconds())
	}
	return ""
}
