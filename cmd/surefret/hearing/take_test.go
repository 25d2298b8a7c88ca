package hearing_test

import (
	"context"
	"testing"
	"time"

	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/sound"
	"surefret/drills/fretboard"
	"surefret/drills/rehearse"
	"surefret/synth"
)

// An input whose samples come a little faster than the computer's time goes, in blocks of
// ten milliseconds: a string every ten seconds of the run.
type fastInput struct {
	now   func() time.Duration // the computer's
	block []float32
	taken int
	cue   []float32
}

const fastRate = 48000

// ahead is by how much of itself the input is fast: 100 parts in a million.
const ahead = 100e-6

func (f *fastInput) Rate() int { return fastRate }

// Waiting counts whole blocks that have come and were not taken.
func (f *fastInput) Waiting() int {
	come := int(f.now().Seconds() * fastRate * (1 + ahead))
	return come/len(f.block)*len(f.block) - f.taken
}

func (f *fastInput) Next(context.Context) ([]float32, error) {
	every := int(10 * fastRate * (1 + ahead))
	for i := range f.block {
		f.block[i] = 0
		if at := (f.taken + i) % every; f.taken+i >= every && at < len(f.cue) {
			f.block[i] = f.cue[at]
		}
	}
	f.taken += len(f.block)
	return f.block, nil
}

// The clocks of a run and of the microphone differ by 100 parts in a million: after ten
// minutes that is 60 ms, and a stroke is still told at the time of the run.
func TestTwoClocksAreTiedTogether(t *testing.T) {
	cue, err := synth.Render(synth.Note(110, time.Second), synth.Options{Rate: fastRate})
	if err != nil {
		t.Fatal(err)
	}
	var now time.Duration
	input := &fastInput{now: func() time.Duration { return now }, block: make([]float32, fastRate/100), cue: cue.Samples}
	ear, err := hearing.New(input, fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}, 440)
	if err != nil {
		t.Fatal(err)
	}
	start := time.Date(2026, 11, 30, 20, 0, 0, 0, time.UTC)
	clock := sound.NewClock(func() time.Time { return start.Add(now) }, func() (time.Duration, bool) { return ear.Now(), true })
	take := ear.Take(clock.At)
	take.GoTo(rehearse.Run{}, 0, 0)
	const length = 10 * time.Minute
	for ; now < length+time.Second; now += 10 * time.Millisecond {
		if err := take.Follow(t.Context(), now); err != nil {
			t.Fatal(err)
		}
	}
	strokes := take.Strokes()
	if want := int(length / (10 * time.Second)); len(strokes) != want {
		t.Fatalf("%d strokes, want %d", len(strokes), want)
	}
	for i, s := range strokes {
		at := time.Duration(i+1) * 10 * time.Second
		if off := s.At - at; off.Abs() > 20*time.Millisecond || s.Key != 45 {
			t.Errorf("stroke %d of key %d comes at %v, want %v", i, s.Key, s.At, at)
		}
	}

	// What is plucked while the run rests, or counts in, is not of it.
	take.GoTo(rehearse.Run{}, now, now+time.Hour)
	for end := now + 30*time.Second; now < end; now += 10 * time.Millisecond {
		if err := take.Follow(t.Context(), now); err != nil {
			t.Fatal(err)
		}
	}
	if n := len(take.Strokes()); n != len(strokes) {
		t.Errorf("%d strokes, and %d before the run rested", n, len(strokes))
	}
}
