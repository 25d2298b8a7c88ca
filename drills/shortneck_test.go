package drills

import (
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// Behind a high capo a string does not have every note: what is asked there can be told
// and answered all the same.
func TestBehindAHighCapoEveryQuestionIsToldAndAnswered(t *testing.T) {
	for _, neck := range []fretboard.Fretboard{
		{Tuning: fretboard.Standard, Frets: 19, Capo: 10}, {Tuning: fretboard.Standard, Frets: 12, Capo: 5},
		{Tuning: fretboard.DADGAD, Frets: 13, Capo: 11}, {Tuning: fretboard.Bass, Frets: 12, Capo: 8},
	} {
		if err := neck.Check(); err != nil {
			t.Fatal(err)
		}
		c := NewCatalogue(Setup{Neck: neck, Sound: true})
		for i, it := range c.Items() {
			q, err := c.Ask(it.ID, seeded(i))
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range q.Lesson().Marks {
				if !neck.Has(m.At) {
					t.Errorf("%d frets, capo %d: %s shows %v, which is not on the neck", neck.Frets, neck.Capo, q.Text, m.At)
				}
			}
			for _, k := range theory.KeysOf(theory.Major) { // some of them wrong
				if v, err := q.Judge(k.Tonic.String()); err == nil && !v.Right && v.Explanation() == "" {
					t.Errorf("%d frets, capo %d: %s, %s: nothing is told", neck.Frets, neck.Capo, q.Text, k.Tonic)
				}
			}
		}
	}
}
