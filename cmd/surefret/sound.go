package main

import (
	"context"
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
	untold    string  // why there is no sound, as long as the player was not told
}

// probing bounds the wait for the device's word on whether it is there. A
// device that has said nothing by then is taken for one that plays.
const probing = 100 * time.Millisecond

// openSound returns the sound that the settings ask for. The device is tried at
// once, since questions that must be heard are not asked without it.
func openSound(s settings.Settings, mute bool) *sound {
	if mute || !s.Sound {
		return &sound{}
	}
	snd := &sound{speaker: &speaker.Speaker{}, reference: s.ReferenceA}
	snd.speaker.SetVolume(s.Volume)
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
	if c, err := synth.Render(score(cue, s.reference), synth.Options{}); err == nil {
		s.speaker.Play(c)
	}
}

// notice returns one sentence, once, when there is no sound, and "" otherwise.
func (s *sound) notice() string {
	if s.speaker != nil && s.untold == "" {
		select {
		case s.untold = <-s.speaker.Notices():
		default:
		}
	}
	text := s.untold
	s.untold = ""
	return text
}

// close lets the last note ring out, three seconds at the most.
func (s *sound) close() {
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
