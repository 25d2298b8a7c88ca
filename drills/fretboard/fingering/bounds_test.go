package fingering

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A trial counts every mark that is lost: a slide to a note and one from it, where the
// note is an open string now.
func TestATrialCountsEachMark(t *testing.T) {
	got := trial(part(t, onTop(`-5\3/7-`)), guitar, -3, nil).tally
	if want := "2 harmonics, bends, slides or vibratos lost"; got.String() != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// Ways out are ways that there are: a capo at one of the first twelve frets, two
// of them at most.
func TestWaysOutOfManyMoves(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 1))
	keys := []string{"C", "Db", "D", "Eb", "E", "F", "G", "A", "Bb"}
	most := 0
	for range 400 {
		p := fretboard.Part{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22, Capo: []int{0, 0, 3, 10}[rng.IntN(4)]}}
		for bar := 1; bar <= 1+rng.IntN(3); bar++ {
			p.Events = append(p.Events, fretboard.Event{Bar: bar, Beats: 4, Notes: []fretboard.Fretted{{Position: fretboard.Position{String: 1 + rng.IntN(6), Fret: rng.IntN(4) * rng.IntN(4)}}}})
		}
		from, _ := theory.ParseKey(keys[rng.IntN(len(keys))])
		to, _ := theory.ParseKey(keys[rng.IntN(len(keys))])
		all, err := Move(p, from, to, Asked{How: []How{"", SameStrings, Refingered}[rng.IntN(3)]})
		must(t, err)
		capos := 0
		for _, w := range all[0].Ways {
			var fret int
			if _, err := fmt.Sscanf(w.Message, "put a capo at fret %d", &fret); err == nil {
				capos++
				if fret <= p.Neck.Capo || fret > 12 {
					t.Errorf("from a capo at %d: %s", p.Neck.Capo, w.Message)
				}
			}
		}
		most = max(most, capos)
	}
	if most < 1 || most > 2 {
		t.Errorf("at most %d capos were offered, want 1 or 2", most)
	}
}
