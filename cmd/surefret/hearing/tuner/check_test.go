package tuner

import (
	"context"
	"io"
	"math"
	"slices"
	"testing"
	"time"

	"surefret/cmd/surefret/hearing"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/synth"
)

// A tape is what an input has of a recording, and then the end of it.
type tape []float32

func (tape) Rate() int { return 48000 }

func (r *tape) Next(context.Context) ([]float32, error) {
	n := min(480, len(*r))
	if n == 0 {
		return nil, io.EOF
	}
	next := (*r)[:n]
	*r = (*r)[n:]
	return next, nil
}

// Before a sitting the open strings are waited for, five seconds from the last one.
func TestTheTuningIsOfferedForFiveSeconds(t *testing.T) {
	const e, a = 82.4069, 110.0
	cue, err := synth.Render(synth.Score{
		{At: time.Second, Pluck: synth.Pluck{Hz: e * math.Exp2(12.0/1200), For: time.Second}},
		{At: 5 * time.Second, Pluck: synth.Pluck{Hz: a, For: time.Second}},
		{At: 20 * time.Second, Sound: synth.Silence},
	}, synth.Options{})
	if err != nil {
		t.Fatal(err)
	}
	samples := tape(cue.Samples)
	setup := drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}}
	ear, err := hearing.New(&samples, setup.Neck, 440)
	if err != nil {
		t.Fatal(err)
	}
	var said []string
	if err := Check(t.Context(), ear, setup, func(s string) { said = append(said, s) }); err != nil {
		t.Fatal(err)
	}
	// A stiff string is a cent or two sharp.
	want := []string{"String 6, E2: 14 cents sharp, turn it down.", "String 5, A2: in tune."}
	if !slices.Equal(said, want) || len(ear.Calibration.Strings) != 2 {
		t.Errorf("told %q and kept %+v", said, ear.Calibration.Strings)
	}
	if now := ear.Now(); now < 10*time.Second || now > 12*time.Second {
		t.Errorf("it ended after %v, want five seconds after the string at 5 s was heard", now)
	}
}
