package synth

import (
	"math"
	"testing"
	"time"
)

func TestCueIsLevelledAndBounded(t *testing.T) {
	cue, err := Render(Note(82.41, time.Second), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(cue.Samples) != 48000 || cue.Samples[0] != 0 || cue.Samples[len(cue.Samples)-1] != 0 {
		t.Errorf("got %d samples from %g to %g, want 48000 from 0 to 0", len(cue.Samples), cue.Samples[0], cue.Samples[len(cue.Samples)-1])
	}
	if l := Loudness(cue.Samples, cue.Rate); math.Abs(l-CueLoudness) > 0.01 {
		t.Errorf("loudness %.3f LUFS, want %g", l, CueLoudness)
	}
}
