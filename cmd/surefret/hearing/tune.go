package hearing

import (
	"context"
	"math"
	"slices"
	"time"

	"surefret/drills/fretboard"
	"surefret/synth/listen"
)

// A Tuned is one open string as it sounded.
type Tuned struct {
	String int     `json:"string"`
	MIDI   int     `json:"midi"`  // as it should be
	Cents  float64 `json:"cents"` // how sharp it is
	Level  float64 `json:"level"` // dB, 0 is full scale

	At time.Duration `json:"-"` // of its pluck
}

// The bounds of a tuning: what counts as in tune, and how far off a string may be to be
// taken for one.
const (
	InTune   = 3.0 // cents
	farthest = 350.0
)

// Quiet listens for a time in which nothing is played, and takes its level for the floor
// of the room.
func (e *Ear) Quiet(ctx context.Context, d time.Duration) error {
	from := e.Now()
	var levels []float64
	for e.Now()-from < d {
		if _, _, err := e.event(ctx); err != nil {
			return err
		}
		levels = append(levels, e.Level())
	}
	slices.Sort(levels)
	e.Calibration.Floor = levels[len(levels)*9/10]
	return nil
}

// Tune waits for the next open string that is plucked, at most for a time, 0 for as long
// as it takes, and reports whether there was one. What is near none is left out.
func (e *Ear) Tune(ctx context.Context, neck fretboard.Fretboard, most time.Duration) (Tuned, bool, error) {
	for from := e.Now(); most == 0 || e.Now()-from < most; {
		event, some, err := e.event(ctx)
		if err != nil {
			return Tuned{}, false, err
		}
		if !some || event.Kind != listen.Settled {
			continue
		}
		key, err := e.steady(ctx, event.Key)
		if err != nil {
			return Tuned{}, false, err
		}
		best := Tuned{Cents: math.Inf(1)}
		for str := 1; str <= neck.Tuning.Strings(); str++ {
			midi := neck.MIDI(fretboard.Position{String: str})
			if cents := 100 * (key - float64(midi)); math.Abs(cents) < math.Abs(best.Cents) {
				best = Tuned{str, midi, cents, math.Round(event.Level), event.At}
			}
		}
		if math.Abs(best.Cents) <= farthest {
			best.Cents = round(best.Cents, 10)
			return best, true, nil
		}
	}
	return Tuned{}, false, nil
}

// steady is the pitch of a note once its attack is over: the middle of what is heard in
// half a second, or of as much of that as there is.
func (e *Ear) steady(ctx context.Context, key float64) (float64, error) {
	from := e.Now()
	keys := []float64{key}
	for e.Now()-from < 500*time.Millisecond {
		event, some, err := e.event(ctx)
		if err != nil {
			return 0, err
		}
		if some && event.Kind == listen.Onset {
			break
		}
		if k, ok := e.l.Fine(); ok && math.Abs(k-key) < 0.5 {
			keys = append(keys, k)
		}
	}
	slices.Sort(keys)
	return keys[len(keys)/2], nil
}
