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
// The zero sound is silence.
type sound struct {
	speaker   *speaker.Speaker
	reference float64 // Hz of A4
}

// openSound returns the sound that the settings ask for; the device itself is
// opened by the first note.
func openSound(s settings.Settings, mute bool) sound {
	if mute || !s.Sound {
		return sound{}
	}
	sp := &speaker.Speaker{}
	sp.SetVolume(s.Volume)
	return sound{speaker: sp, reference: s.ReferenceA}
}

// play sounds a cue in place of what sounds already, and returns at once.
func (s sound) play(cue []drills.Sounding) {
	if s.speaker == nil {
		return
	}
	// A cue that cannot be rendered is left out: the question stands without it.
	if c, err := synth.Render(score(cue, s.reference), synth.Options{}); err == nil {
		s.speaker.Play(c)
	}
}

// notices tells once on w that there is no sound, should that be so.
func (s sound) notices(w io.Writer) {
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
		sc = append(sc, synth.Event{
			At:    n.At,
			Pluck: synth.Pluck{Hz: a4 * math.Exp2(float64(n.MIDI-69)/12), For: n.For},
		})
	}
	return sc
}
