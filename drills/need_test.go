package drills

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// Common practice, no source: in G the chords 1 5 6- 4 are G D Em C; their roots
// lie at frets 3 and 10, 10 and 5, 12 (the open string's note) and 7, 8 and 3 of
// strings 6 and 5. The bass goes 1-5, 5-6, 6-4 and, as songs go round, 4-1.
func TestASongNeedsItsRootsNumbersShapesAndWalks(t *testing.T) {
	for _, v := range []struct{ chords, want string }{
		{"G D Em C", `
			note/E2+0/name note/E2+3/name note/E2+8/name note/E2+10/name note/E2+0/find note/E2+3/find note/E2+8/find note/E2+10/find
			note/A2+3/name note/A2+5/name note/A2+7/name note/A2+10/name note/A2+3/find note/A2+5/find note/A2+7/find note/A2+10/find
			shape/tenth-6-minor@E2-G3/place
			walkup/4-1/down@E2-A2-D3 walkup/1-5/down@E2-A2-D3 walkup/4-1/up-skip1@E2-A2-D3 walkup/6-4/down@E2-A2-D3 walkup/5-6/up@E2-A2-D3
			key/G_major/signature key/G_major/4 key/G_major/5 key/G_major/6-`},
		// The bass is what the left hand finds first; the number is the chord's own.
		{"G D/F#", `
			note/E2+2/name note/E2+3/name note/E2+2/find note/E2+3/find note/A2+9/name note/A2+10/name note/A2+9/find note/A2+10/find
			shape/tenth-6-minor@E2-G3/place key/G_major/signature key/G_major/5`},
		// The bass goes 1-5 and back by itself where the root of the chord does not.
		{"G Em/D", `
			note/E2+3/name note/E2+10/name note/E2+3/find note/E2+10/find note/A2+5/name note/A2+10/name note/A2+5/find note/A2+10/find
			shape/tenth-6-minor@E2-G3/place walkup/5-1/up@E2-A2-D3 walkup/1-5/down@E2-A2-D3 key/G_major/signature key/G_major/6-`},
		// A seventh chord is found by the number of its triad.
		{"G Em7", `
			note/E2+0/name note/E2+3/name note/E2+0/find note/E2+3/find note/A2+7/name note/A2+10/name note/A2+7/find note/A2+10/find
			shape/tenth-6-minor@E2-G3/place walkup/1-6/down@E2-A2-D3 key/G_major/signature key/G_major/6-`},
		{"G", `
			note/E2+3/name note/E2+3/find note/A2+10/name note/A2+10/find shape/tenth-6-minor@E2-G3/place key/G_major/signature`},
	} {
		g, err := theory.ParseKey("G")
		if err != nil {
			t.Fatal(err)
		}
		chords, err := theory.ParseProgression(v.chords, g)
		if err != nil {
			t.Fatal(err)
		}
		c := whole()
		var got []string
		last := -1
		for _, it := range c.ItemsFor(Need{Key: g, Chords: chords, Shapes: []string{"tenth-6-minor", "no such shape"}}) {
			got = append(got, strings.ReplaceAll(it.ID, " ", "_"))
			at := slices.IndexFunc(c.Items(), func(other Item) bool { return other.ID == it.ID })
			if at <= last {
				t.Errorf("%s: %s is out of order", v.chords, it.ID)
			}
			last = at
		}
		want := strings.Fields(v.want)
		slices.Sort(want)
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Errorf("%s needs\n%s, want\n%s", v.chords, strings.Join(got, " "), strings.Join(want, " "))
		}
	}
}

func TestWhatTheInstrumentDoesNotHaveIsNotNeeded(t *testing.T) {
	bass := NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Bass, Frets: 20}})
	for _, it := range bass.ItemsFor(Need{Shapes: []string{"e-form-major"}}) {
		if it.Family != "key" {
			t.Errorf("a bass needs %s", it.ID)
		}
	}
}

// The note of a place is one item whatever its octave.
func TestAPlaceHasItsTwoItems(t *testing.T) {
	c := whole()
	for _, fret := range []int{3, 15} {
		if got := c.NotesAt(fretboard.Position{String: 6, Fret: fret}); !slices.Equal(got, []string{"note/E2+3/name", "note/E2+3/find"}) {
			t.Errorf("fret %d: got %v", fret, got)
		}
	}
}

// Common practice, no source: a song learned in D and called in B flat goes 1 5 6-
// 4 as Bb F Gm Eb. Tenths on string 6 are laid under its chords, the minor ones
// under Gm alone, and no walk leaves the key.
func TestWithinANeedQuestionsAreOfTheSong(t *testing.T) {
	bb := must(theory.ParseKey("Bb"))
	n := Need{
		Key: bb, Learned: must(theory.ParseKey("D")),
		Chords: must(theory.ParseProgression("1 5 6- 4", bb)),
		Shapes: []string{"tenth-6-minor", "octave-6-4"},
	}
	plain := whole()
	c := plain.Within(n)
	if len(c.Items()) != len(plain.Items()) {
		t.Fatalf("%d items within the need, %d without", len(c.Items()), len(plain.Items()))
	}
	rng := rand.New(rand.NewPCG(3, 9))
	texts := map[string]int{}
	for range 40 {
		for _, it := range c.ItemsFor(n) {
			q, err := c.Ask(it.ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			texts[q.Text]++
			var v Verdict
			for _, try := range []string{"1", "C", "2#", "4", strings.Repeat("C ", q.Count), strings.Repeat("1/1 ", q.Count)} {
				if v, err = q.Judge(try); err == nil {
					break
				}
			}
			said := q.Text + " " + v.Want
			switch {
			case strings.Contains(said, "#") && !strings.HasPrefix(it.ID, "walkup/5-6"): // F F# G by half steps
				t.Errorf("%s: %s: a sharp in B flat", it.ID, said)
			case it.Family == "walkup" && !strings.Contains(q.Text, "in Bb major"):
				t.Errorf("%s: %s", it.ID, q.Text)
			case strings.HasPrefix(it.ID, "shape/tenth") && !strings.HasPrefix(q.Text, "Gm:") && !strings.HasPrefix(q.Text, "D to Bb:") && !strings.HasPrefix(q.Text, "G:"):
				t.Errorf("%s: %s", it.ID, q.Text)
			}
		}
	}
	for _, want := range []string{
		"D to Bb: string 6, fret 7 to which fret, for the minor tenth on strings 6 and 3?",
		"Bb on string 6: which fret?",
	} {
		if texts[want] == 0 {
			t.Errorf("never asked: %s\nasked: %v", want, texts)
		}
	}
}

// Nothing changes for what a need does not draw on, and a need in a key that is
// not asked has no say.
func TestOutsideOfANeedNothingChanges(t *testing.T) {
	s := standard()
	s.OnlyKeys, s.Keys = true, []theory.Key{must(theory.ParseKey("D"))}
	bb := must(theory.ParseKey("Bb"))
	n := Need{Key: bb, Learned: bb, Chords: must(theory.ParseProgression("1 4", bb))}
	for _, c := range []*Catalogue{NewCatalogue(s), whole()} {
		within := c.Within(n)
		asked := within.ItemsFor(n)
		for _, it := range c.Items() {
			needed := slices.ContainsFunc(asked, func(a Item) bool { return a.ID == it.ID })
			if needed && !c.setup.OnlyKeys || it.Family == "interval" || strings.HasPrefix(it.ID, "note/") {
				continue // spelled as the chords are
			}
			a, err := c.Ask(it.ID, rand.New(rand.NewPCG(1, 1)))
			if err != nil {
				t.Fatal(err)
			}
			b, err := within.Ask(it.ID, rand.New(rand.NewPCG(1, 1)))
			if err != nil || a.Text != b.Text {
				t.Errorf("%s: %q became %q, %v", it.ID, a.Text, b.Text, err)
			}
		}
	}
}

func BenchmarkWithin(b *testing.B) {
	c := whole()
	eb := must(theory.ParseKey("Eb"))
	n := Need{Key: eb, Learned: eb, Chords: must(theory.ParseProgression("1 5 6- 4", eb)), Shapes: []string{"tenth-6-minor"}}
	for b.Loop() {
		c.Within(n, n, n, n, n, n, n, n)
	}
}
