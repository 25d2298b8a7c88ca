package drills

import (
	"math/rand/v2"
	"slices"
	"testing"

	"surefret/drills/fretboard"
)

// Of every item that can be played: the notes of the right answer, as the question itself
// sounds them afterwards, make a text that is judged right; one that is a semitone off
// makes none that is.
func TestTheRightNotesPlayedAreRight(t *testing.T) {
	bass := standard()
	bass.Neck.Tuning = fretboard.Bass
	c, low := whole(), NewCatalogue(bass)
	rng := rand.New(rand.NewPCG(1, 2))
	played := map[Family]int{}
	for _, it := range append(slices.Clone(c.Items()), low.Items()...) {
		c := c
		if it.Family == "walking" {
			c = low
		} else if _, here := c.Item(it.ID); !here || !it.Playable() {
			continue
		}
		for range 3 {
			q, err := c.Ask(it.ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			p, ok := q.Playing()
			if !ok {
				t.Fatalf("%s: %q cannot be played", it.ID, q.Text)
			}
			answer := ""
			for i := 0; answer == "" && i < 20; i++ {
				midi := p.Want()[len(p.Want())-1]
				if p.Line && i == 0 {
					midi = p.Want()[0]
				}
				if answer, err = p.Take(midi); err != nil {
					t.Fatalf("%s: %q: %v", it.ID, q.Text, err)
				}
			}
			if v, err := q.Judge(answer); err != nil || !v.Right {
				t.Errorf("%s: %q answered %q: %+v, %v", it.ID, q.Text, answer, v, err)
			}
			p, _ = q.Playing()
			off, err := p.Take(p.Want()[0] + 1)
			if v, bad := q.Judge(off); err == nil && off != "" && (bad != nil || v.Right) {
				t.Errorf("%s: %q answered a semitone off, %q: %+v, %v", it.ID, q.Text, off, v, bad)
			}
			played[it.Family]++
		}
	}
	if played["note"] == 0 || played["walkup"] == 0 || played["walking"] == 0 || played["ear"] == 0 {
		t.Errorf("played %v", played)
	}
}

// What is played back counts by how far its notes are apart, wherever they begin. Of a
// tenth the third says as much; anything else, and what does not rise, decides nothing.
func TestWhatIsPlayedBackCountsByItsInterval(t *testing.T) {
	for _, c := range []struct {
		item     string
		up       int
		decided  bool
		semitone int // that make it right
	}{
		{"ear/interval/m3", 3, true, 3}, {"ear/interval/m3", 4, true, 3}, {"ear/interval/P8", 12, true, 12}, {"ear/interval/m3", -3, false, 3},
		{"ear/interval/m3", 48, true, 3}, {"ear/interval/m3", 49, false, 3}, // no name is known for what is wider than four octaves
		{"ear/tenth", 16, true, 16}, {"ear/tenth", 4, true, 16}, {"ear/tenth", 15, true, 15}, {"ear/tenth", 3, true, 15}, {"ear/tenth", 7, false, 16},
	} {
		for seed := range 6 {
			q := must(whole().Ask(c.item, seeded(seed)))
			p, _ := q.Playing()
			if answer, err := p.Take(50); answer != "" || err != nil {
				t.Fatalf("%s: after one note %q, %v", c.item, answer, err)
			}
			answer, err := p.Take(50 + c.up)
			if (err == nil) != c.decided || c.decided && judged(t, q, answer) != (c.semitone == q.Heard[1].MIDI-q.Heard[0].MIDI && (c.item == "ear/tenth" || c.up == c.semitone)) {
				t.Errorf("%s, %d up: %q, %v", c.item, c.up, answer, err)
			}
		}
	}
}

// A note of a line that was not heard is no wrong one.
func TestANoteOfALineThatWasNotHeardDecidesNothing(t *testing.T) {
	p := standard().playLine([]int{43, 45, 47, 48}, false, func([]int) string { return "decided" })
	for _, midi := range []int{43, 47} {
		if answer, err := p.Take(midi); answer != "" || (err != nil) != (midi == 47) {
			t.Errorf("note %d: %q, %v", midi, answer, err)
		}
	}
	if want := p.Want(); len(want) != 1 || want[0] != 43 {
		t.Errorf("then %v is wanted, not the first note", want)
	}
}
