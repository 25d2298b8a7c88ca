package fretboard

import (
	"strings"
	"testing"

	"surefret/drills/theory"
)

// In DADGAD the drones ring over the chords that take them, with a minor third where it is
// an open string, and stopped tones are kept by grips that a hand holds. Common practice,
// no source.
func TestDronesAreKeptInDADGAD(t *testing.T) {
	fb := Fretboard{Tuning: DADGAD, Frets: 22}
	for _, c := range []struct{ key, numbers, open, not string }{
		{"D", "1 2- 4 5 6- 3-", "D 0 0 4 2 0 0; Em 2 2 2 0 0 0; G 5 5 5 4 0 0; A x 0 2 2 0 0; Bm x 2 4 4 0 0", "F#m"},
		{"D", "1 4 5 3-", "D 0 0 4 2 0 0; G 5 5 5 4 0 0; A x 0 2 2 0 0", "F#m"},
		{"G", "1 4 5 6-", "G 5 5 5 4 0 0; C x 3 2 0 0 0; D 0 0 4 2 0 0; Em 2 2 2 0 0 0", ""},
		{"D", "1 3-", "", ""},      // one of two is too few
		{"E", "1 4 5 6-", "", ""},  // no two in four
		{"Db", "1 4 5 6-", "", ""}, // none
	} {
		k, err := theory.ParseKey(c.key)
		must(t, err)
		var chords theory.Progression
		for _, word := range strings.Fields(c.numbers) {
			n, err := theory.ParseNumeral(word)
			must(t, err)
			chords = append(chords, k.Chord(n))
		}
		var open, not []string
		for _, kept := range fb.Keep(k, chords) {
			if !kept.Open && len(kept.Not) > 0 {
				t.Errorf("%s in %s: stopped tones are not kept over %v", c.numbers, c.key, kept.Not)
			}
			if !kept.Open && open != nil && not == nil {
				t.Errorf("%s in %s: %s beside drones that ring over all", c.numbers, c.key, kept.Say(theory.Names{}))
			}
			for _, held := range kept.Chords {
				if !kept.Open && len(held.Places) < 5 {
					t.Errorf("%s in %s: %s %s is thin", c.numbers, c.key, held.Chord, held.Frets(fb))
				}
				if kept.Open {
					open = append(open, held.Chord.String()+" "+held.Frets(fb))
				}
				if g := grip(fb, held.Places, false); g.effort(held.Places) > mostKept {
					t.Errorf("%s in %s: %s %s is no hand's", c.numbers, c.key, held.Chord, held.Frets(fb))
				}
			}
			for _, n := range kept.Not {
				not = append(not, n.String())
			}
		}
		if got := strings.Join(open, "; "); got != c.open || strings.Join(not, " ") != c.not {
			t.Errorf("%s in %s: %q, not over %v, want %q and %q", c.numbers, c.key, got, not, c.open, c.not)
		}
	}
	for frets, want := range map[string]bool{"5 2 0 2 2 x": false, "5 1 0 2 5 x": false, "2 2 2 1 2 2": false, "6 6 6 3 4 x": false, "x 2 4 4 2 2": true, "x 1 0 3 3 3": true} {
		var places []Position
		for i, word := range strings.Fields(frets) {
			if word != "x" {
				places = append(places, Position{6 - i, int(word[0] - '0')})
			}
		}
		if got := grip(fb, places, false).bearable(places); got != want {
			t.Errorf("%s is held: %v, want %v", frets, got, want)
		}
	}
}
