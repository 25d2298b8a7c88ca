package synth

import (
	"math/rand/v2"
	"testing"
)

// The packed filter must give the bits of the plain one, down to the shortest
// delay of the highest string.
func TestEveryMachineRendersTheSameBits(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for delay := shortest(); delay < 600; delay += 1 + delay/9 {
		var h [taps]float32
		for i := range h {
			h[i] = (r.Float32() - 0.5) / taps
		}
		got := make([]float32, delay+taps+block)
		for i := range delay + taps {
			got[i] = r.Float32() - 0.5
		}
		want := append([]float32(nil), got...)
		filter(got, delay+taps, &h, delay)
		filterPlain(want, delay+taps, &h, delay)
		for i := range want {
			if got[i] != want[i] {
				t.Fatalf("delay %d: sample %d is %g, want %g", delay, i, got[i], want[i])
			}
		}
	}
}

func shortest() int { return design(HighestHz, 44100, 1, 1).delay }
