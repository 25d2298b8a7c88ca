package rehearse_test

import (
	"strings"
	"testing"

	"surefret/drills/rehearse"
	"surefret/drills/theory"
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
		run("cockles", "Eb major", 0), run("cockles", "Eb major", 0), // too many were wrong
	}
	for _, v := range []struct {
		n      int
		want   float64
		enough bool
	}{{0, 0, false}, {1, 0, false}, {2, 90, true}, {5, 90, true}, {7, 90, true}, {8, 90, true}, {9, 80, true}, {10, 0, true}} {
		if got, enough := rehearse.HoldsAt(past[:v.n], "cockles", "Eb major"); got != v.want || enough != v.enough {
			t.Errorf("after %d runs it holds at %g, enough to say: %v, want %g", v.n, got, enough, v.want)
		}
	}
}

// A few changes say nothing of the tempo at which a song holds.
func TestAFewChangesHoldAtNoTempoThatIsTold(t *testing.T) {
	for asked, tells := range map[int]bool{2: false, 7: false, 8: true} {
		said := strings.Join(rehearse.Page{Asked: asked, InTime: asked, Holds: 240}.Lines(theory.Chord.String), " ")
		if strings.Contains(said, "240 beats a minute") != tells {
			t.Errorf("after %d changes: %s", asked, said)
		}
	}
}
