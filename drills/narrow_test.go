package drills

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"surefret/drills/theory"
)

// askAll poses every item some times and hands each question with the places of
// its right answer to look.
func askAll(t *testing.T, s Setup, look func(it Item, q Question, v Verdict)) *Catalogue {
	t.Helper()
	c := NewCatalogue(s)
	rng := rand.New(rand.NewPCG(12, 5))
	for range 5 {
		for _, it := range c.Items() {
			q, err := c.Ask(it.ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			var v Verdict
			for _, try := range []string{"0", "7", "C", "P5", "1/7", "6/5 3/6", strings.Repeat("6/5 ", q.Count), "2#", "4", strings.Repeat("C ", q.Count), "1"} {
				if v, err = q.Judge(try); err == nil {
					break
				}
			}
			look(it, q, v)
		}
	}
	return c
}

// Whatever is asked between two frets is answered between them, too.
func TestFretsNarrowEveryFamilyOnTheNeck(t *testing.T) {
	for _, frets := range [][2]int{{5, 12}, {0, 4}} {
		s := standard()
		s.Frets, s.Sound = frets, true
		seen := map[Family]int{}
		askAll(t, s, func(it Item, q Question, v Verdict) {
			for _, m := range append(slices.Clone(q.Marks), v.Marks...) {
				if strings.HasPrefix(it.ID, "ear/fret/") && m.At.Fret == 0 {
					continue // the open string, to compare with
				}
				seen[it.Family]++
				if m.At.Fret < frets[0] || m.At.Fret > frets[1] {
					t.Errorf("%s: %s shows fret %d", it.ID, q.Text, m.At.Fret)
				}
			}
		})
		for _, f := range []Family{"note", "shape", "interval", "walkup", "ear"} {
			if seen[f] == 0 {
				t.Errorf("%s: nothing between frets %v", f, frets)
			}
		}
	}
}

func TestKeysNarrowWhatHasNotesOfThem(t *testing.T) {
	s := standard()
	s.OnlyKeys, s.Sound = true, true
	eb := must(theory.ParseKey("Eb"))
	s.Keys = []theory.Key{eb, must(theory.ParseKey("Cm"))}
	own := map[string]bool{}
	for _, n := range eb.Scale() { // Eb major and C minor share seven notes
		own[n.String()] = true
	}
	if len(own) != 7 || !own["Ab"] || own["G#"] || own["A"] {
		t.Fatalf("the scale %v", own)
	}
	seen := map[Family]int{}
	c := askAll(t, s, func(it Item, q Question, v Verdict) {
		seen[it.Family]++
		if it.Family == "note" || it.Family == "interval" {
			for _, m := range v.Marks {
				if !own[m.Label] {
					t.Errorf("%s: %s shows %s", it.ID, q.Text, m.Label)
				}
			}
		}
		if it.Family == "note" && !own[strings.Fields(it.Title)[0]] {
			t.Errorf("%s is called %q", it.ID, it.Title)
		}
	})
	for _, f := range Families() {
		if seen[f] == 0 {
			t.Errorf("%s: nothing in E flat", f)
		}
	}
	// Seven notes of twelve: 14 a string to name and to find, and each everywhere.
	notes := 0
	for _, it := range c.Items() {
		if it.Family == "note" {
			notes++
		}
		if it.Family == "ear" && it.ID != "ear/walkup" {
			t.Errorf("%s has no key", it.ID)
		}
	}
	if notes != 6*14+7 {
		t.Errorf("%d notes, want %d", notes, 6*14+7)
	}
}

// Two keys at once: both notes of an interval are in one of them, not one in each.
func TestAnIntervalLiesInOneOfTheKeys(t *testing.T) {
	s := standard()
	s.OnlyKeys = true
	s.Keys = []theory.Key{must(theory.ParseKey("C")), must(theory.ParseKey("F#"))}
	askAll(t, s, func(it Item, q Question, v Verdict) {
		if it.Family != "interval" {
			return
		}
		for _, k := range s.Keys {
			in := 0
			for _, m := range v.Marks {
				for _, n := range k.Scale() {
					if n.PitchClass() == s.Neck.MIDI(m.At)%12 {
						in++
					}
				}
			}
			if in == len(v.Marks) {
				return
			}
		}
		t.Errorf("%s: %v are in no key together", q.Text, v.Marks)
	})
}
