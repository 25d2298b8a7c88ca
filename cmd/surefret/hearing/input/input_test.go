package input

import (
	"testing"
	"time"

	"surefret/cmd/surefret/settings"
	"surefret/drills/fretboard"
	"surefret/synth/microphone"
)

// Of what is played to a machine so much is taken off as was measured of its devices, else
// a guess.
func TestWhatTheDevicesAddIsTakenOffAsMeasured(t *testing.T) {
	neck := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	for delay, want := range map[float64]time.Duration{0: 20 * time.Millisecond, 180: 180 * time.Millisecond} {
		s := settings.Default()
		s.Delay = delay
		from, err := Open(t.Context(), quietInput{}, Options{Live: true}, s)
		if err != nil {
			t.Fatal(err)
		}
		ear, err := from.Ear(neck, s, nil)
		if err != nil || ear.Latency != want {
			t.Errorf("measured %g ms: %v is taken off, %v", delay, ear.Latency, err)
		}
		from.Close()
	}
}

// quietInput is a sound system with one input, which hears nothing.
type quietInput struct{}

func (quietInput) Inputs() ([]microphone.Input, error) {
	return []microphone.Input{{Name: "quiet", Default: true}}, nil
}
func (quietInput) Open(_ string, heard func([]float32)) (microphone.Device, error) {
	go heard(make([]float32, 480))
	return device{}, nil
}

type device struct{}

func (device) Close() {}
