package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"time"

	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/synth"
	"surefret/synth/speaker"
)

// sound plays what drills ask to be heard. It never keeps the player waiting.
// The zero sound is silence that was asked for.
type sound struct {
	speaker   *speaker.Speaker
	reference float64 // Hz of A4
}

// probing bounds the wait for the device's word on whether it is there. A
// device that has said nothing by then is taken for one that plays.
const probing = 100 * time.Millisecond

// openSound returns the sound that the settings ask for and, where the device
// declines, one sentence that says why there is none.
func openSound(s settings.Settings, mute bool) (sound, string) {
	if mute || !s.Sound {
		return sound{}, ""
	}
	sp := &speaker.Speaker{}
	sp.SetVolume(s.Volume)
	snd := sound{sp, s.ReferenceA}
	hush, err := synth.Render(synth.Rest(10*time.Millisecond), synth.Options{})
	if err != nil {
		return snd, ""
	}
	sp.Play(hush)
	select {
	case reason := <-sp.Notices():
		return snd, reason
	case <-time.After(probing):
		return snd, ""
	}
}

// heard reports whether a cue would be heard now.
func (s sound) heard() bool {
	return s.speaker != nil && s.speaker.Status().State != speaker.Silent
}

// play sounds a cue in place of what sounds already, and returns at once.
func (s sound) play(cue []drills.Sounding) {
	if !s.heard() {
		return
	}
	// A cue that cannot be rendered is left out: the question stands without it.
	if c, err := synth.Render(score(cue, s.reference), synth.Options{}); err == nil {
		s.speaker.Play(c)
	}
}

// notice says on w, once, that the sound was lost on the way.
func (s sound) notice(w io.Writer) {
	if s.speaker == nil {
		return
	}
	select {
	case reason := <-s.speaker.Notices():
		fmt.Fprintln(w, reason)
	default:
	}
}

// close lets the last note ring out, three seconds at the most.
func (s sound) close() {
	if s.speaker == nil {
		return
	}
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	s.speaker.Close(ctx) // a note cut off at the end is no failure
}

// score turns a cue of the drills, in MIDI numbers, into one of the synth, in
// hertz.
func score(cue []drills.Sounding, a4 float64) synth.Score {
	var sc synth.Score
	for _, n := range cue {
		sc = append(sc, synth.Event{At: n.At, Pluck: synth.Pluck{Hz: hz(n.MIDI, a4), For: n.For}})
	}
	return sc
}

// hz is the frequency of a MIDI key number where A4 sounds a4.
func hz(midi int, a4 float64) float64 { return a4 * math.Exp2(float64(midi-69)/12) }
