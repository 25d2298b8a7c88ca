package main

import (
	"context"
	"fmt"
	"os"
	"strings"
	"time"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/score"
	"surefret/drills"
	"surefret/store"
	"surefret/synth"
	"surefret/synth/speaker"
)

// sound plays what drills ask to be heard. It never keeps the player waiting.
// The zero sound is silence that was asked for.
type sound struct {
	speaker   *speaker.Speaker
	reference float64 // Hz of A4
	untold    string  // why there is no sound, as long as the player was not told
	cautions  func() string
}

// probing bounds the wait for the device's word on whether it is there. A
// device that has said nothing by then is taken for one that plays.
const probing = 100 * time.Millisecond

// openSound returns the sound that the player's settings ask for. The device is
// tried at once, since questions that must be heard are not asked without it.
func (p *program) openSound(ctx context.Context, pl *player, mute bool) *sound {
	if mute || !pl.Settings.Sound {
		return &sound{}
	}
	snd := &sound{
		speaker:   &speaker.Speaker{Device: p.device},
		reference: pl.Settings.ReferenceA,
		cautions:  func() string { return caution(ctx, pl.db) },
	}
	snd.speaker.SetVolume(pl.Settings.Volume)
	hush, err := synth.Render(synth.Rest(10*time.Millisecond), synth.Options{})
	if err != nil {
		return snd
	}
	snd.speaker.Play(hush)
	select {
	case snd.untold = <-snd.speaker.Notices():
	case <-time.After(probing):
	}
	return snd
}

// heard reports whether a cue would be heard now.
func (s *sound) heard() bool {
	return s.speaker != nil && s.speaker.Status().State != speaker.Silent
}

// play sounds a cue in place of what sounds already, and returns at once.
func (s *sound) play(cue []drills.Sounding) {
	if !s.heard() {
		return
	}
	// A cue that cannot be rendered is left out: the question stands without it.
	if c, err := synth.Render(score.Cue(cue, s.reference), synth.Options{}); err == nil {
		s.speaker.Play(c)
	}
}

// notice returns one sentence, once, when there is no sound; what to mind with
// sound, to a player who was never told; and "" otherwise.
func (s *sound) notice() string {
	if s.speaker == nil {
		return ""
	}
	if s.untold == "" {
		select {
		case s.untold = <-s.speaker.Notices():
		default:
		}
	}
	text := s.untold
	s.untold = ""
	if text == "" && s.cautions != nil && s.heard() {
		text = s.cautions()
		s.cautions = nil
	}
	return text
}

// caution returns what to mind with sound, and keeps in the practice that it was
// said; the next time it returns "". Where that cannot be kept it is said again.
func caution(ctx context.Context, db *store.DB) string {
	if kept, err := db.Kept(ctx); err == nil && kept.Cautioned {
		return ""
	}
	_ = db.KeepCautioned(ctx)
	return synth.Caution
}

// sayCaution does so before a sound that is no practice; where there is none that can
// be written, it is said each time.
func (p *program) sayCaution(ctx context.Context) error {
	path, err := p.databasePath()
	if err != nil {
		return err
	}
	text := synth.Caution
	if _, err := os.Stat(path); err == nil {
		if db, err := store.Open(ctx, path); err == nil {
			p.tell(db)
			text = caution(ctx, db)
			db.Close()
		}
	}
	if text != "" {
		fmt.Fprintln(p.err, strings.Join(report.Fold("", "", text, cli.Width), "\n"))
	}
	return nil
}

// close lets the last note ring out, three seconds at the most.
func (s *sound) close(ctx context.Context) {
	if s.speaker == nil {
		return
	}
	ctx, cancel := context.WithTimeout(ctx, 3*time.Second)
	defer cancel()
	s.speaker.Close(ctx) // a note cut off at the end is no failure
}
