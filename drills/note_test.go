package drills

import (
	"math"
	"testing"
)

func TestTheLowerPlaceIsAskedFourTimesInFive(t *testing.T) {
	c, low, rng := NewCatalogue(standard()), 0, seeded(1)
	const n = 2000
	for range n {
		if q := must(c.Ask("note/E2+5/name", rng)); q.Marks[0].At.Fret == 5 {
			low++
		}
	}
	// Five standard deviations of the binomial distribution to each side.
	if d := math.Abs(float64(low) - 0.8*n); d > 5*math.Sqrt(n*0.8*0.2) {
		t.Errorf("fret 5 was asked %d times of %d, want four in five", low, n)
	}
}
