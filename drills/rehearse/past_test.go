package rehearse_test

import (
	"testing"

	"surefret/drills/rehearse"
)

// A song holds at the middle of what its last three whole runs in that key came to.
func TestASongHoldsAtWhatItsLatestRunsCameTo(t *testing.T) {
	run := func(song, key string, holds float64) rehearse.Past {
		return rehearse.Past{Song: song, Key: key, Asked: 8, Holds: holds}
	}
	few, part := run("cockles", "Eb major", 200), run("cockles", "Eb major", 200)
	few.Asked, part.Part = 7, true
	past := []rehearse.Past{
		run("cockles", "Eb major", 240), run("cockles", "Eb major", 90), run("cockles", "C major", 150),
		run("kelp", "Eb major", 40), run("cockles", "Eb major", 80), few, part, run("cockles", "Eb major", 100),
	}
	for _, v := range []struct {
		n    int
		want float64
	}{{0, 0}, {1, 0}, {2, 90}, {5, 90}, {7, 90}, {8, 90}} {
		if got := rehearse.HoldsAt(past[:v.n], "cockles", "Eb major"); got != v.want {
			t.Errorf("after %d runs it holds at %g, want %g", v.n, got, v.want)
		}
	}
}
