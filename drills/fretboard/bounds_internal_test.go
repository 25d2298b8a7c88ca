package fretboard

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"surefret/drills/theory"
)

// A trial counts every mark that is lost: a slide to a note and one from it, where the
// note is an open string now.
func TestATrialCountsEachMark(t *testing.T) {
	got := part(t, onTop(`-5\3/7-`)).trial(guitar, -3, nil).tally
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
		p := Part{Neck: Fretboard{Tuning: Standard, Frets: 22, Capo: []int{0, 0, 3, 10}[rng.IntN(4)]}}
		for bar := 1; bar <= 1+rng.IntN(3); bar++ {
			p.Events = append(p.Events, Event{Bar: bar, Beats: 4, Notes: []Fretted{{Position: Position{1 + rng.IntN(6), rng.IntN(4) * rng.IntN(4)}}}})
		}
		from, _ := theory.ParseKey(keys[rng.IntN(len(keys))])
		to, _ := theory.ParseKey(keys[rng.IntN(len(keys))])
		all, err := p.Move(from, to, Asked{How: []How{"", SameStrings, Refingered}[rng.IntN(3)]})
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

func TestTheEdgesOfANeck(t *testing.T) {
	neck := Fretboard{Tuning: Standard, Frets: 12}
	e := theory.Note{Letter: theory.E}
	if got := neck.Find(e, 6); len(got) != 2 || got[1].Fret != 12 {
		t.Errorf("E on string 6 of 12 frets lies at %v, want open and fret 12", got)
	}
	odd, err := ParseTuning("E2 A2 D3 G3 B3 D4")
	must(t, err)
	if _, like := odd.Below(); like {
		t.Error("a tuning with one odd string passes for standard")
	}
	for pitches, good := range map[string]bool{
		"C1 E1 A1 D2 G2 C3 F3 A3 D4 G4": true, "C1 E1 A1 D2 G2 C3 F3 A3 D4 G4 B4": false, "A2 D3 G3": true, "A2 D3": false,
	} {
		if _, err := ParseTuning(pitches); (err == nil) != good {
			t.Errorf("%s: %v", pitches, err)
		}
	}
}
