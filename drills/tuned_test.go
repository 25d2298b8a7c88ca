package drills

import (
	"math/rand/v2"
	"strings"
	"testing"

	"surefret/drills/fretboard"
)

// In every tuning a shape comes with the notes of its root's string or after them, and
// each that a tuning has of its own is asked, judged and shown.
func TestShapesOfTuningsAreAskedInTheirTurn(t *testing.T) {
	for _, name := range []string{"standard", "drop D", "drop A", "DADGAD", "open G", "open D", "seven strings", "half step down", "all fourths", "five-string bass"} {
		tuning := must(fretboard.ParseTuning(name))
		s := standard()
		s.Neck.Tuning = tuning
		first := map[int]int{} // by string, the stage of its natural notes
		c := NewCatalogue(s)
		all := c.Items()
		for _, it := range all {
			if it.Family == "note" && len(it.Strings) == 1 {
				if at, ok := first[it.Strings[0]]; !ok || it.Stage < at {
					first[it.Strings[0]] = it.Stage
				}
			}
		}
		own := 0
		for _, it := range all {
			if it.Family != "shape" || strings.HasPrefix(it.ID, "shape/kept-") {
				continue
			}
			ref, _, _ := strings.Cut(strings.TrimPrefix(it.ID, "shape/"), "@")
			r := must(s.Neck.Shape(ref))
			if it.Stage < first[r.Root] {
				t.Errorf("%s: %s comes at stage %d, and string %d at %d", name, ref, it.Stage, r.Root, first[r.Root])
			}
			if it.Topic() == "" {
				t.Errorf("%s: %s has no topic", name, ref)
			}
			if !r.Tuned {
				continue
			}
			own++
			for seed := range uint64(3) {
				q, err := c.Ask(it.ID, rand.New(rand.NewPCG(seed, 1)))
				if err != nil {
					t.Errorf("%s: %s: %v", name, it.ID, err)
					continue
				}
				if _, err := q.Judge("1"); err != nil && q.Expect == ExpectFret {
					t.Errorf("%s: %s: %v", name, q.Text, err)
				}
				if l := q.Lesson(); !strings.Contains(l.Pattern, "root on string") || strings.Contains(l.Pattern, "open") != (r.Ringing != nil) {
					t.Errorf("%s: %s teaches %q", name, q.Text, l.Pattern)
				}
			}
		}
		if plain := strings.Contains("standard, half step down, five-string bass", name); plain != (own == 0) {
			t.Errorf("%s: %d shapes of its own are asked", name, own)
		}
	}
}
