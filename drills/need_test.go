package drills

import (
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
		g := must(theory.ParseKey("G"))
		chords := must(theory.ParseProgression(v.chords, g))
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
	rng := seeded(3)
	texts := map[string]int{}
	for range 40 {
		for _, it := range c.ItemsFor(n) {
			q, err := c.Ask(it.ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			texts[q.Text]++
			v, _ := mistake(q, c.setup.Names)
			said := q.Text + " " + v.Want
			switch {
			case strings.Contains(said, "#") && !strings.HasPrefix(it.ID, "walkup/5-6"): // F F# G by half steps
				t.Errorf("%s: %s: a sharp in B flat", it.ID, said)
			case it.Family == "walkup" && !strings.Contains(q.Text, "in Bb major"):
				t.Errorf("%s: %s", it.ID, q.Text)
			case strings.HasPrefix(it.ID, "shape/tenth") && !strings.HasPrefix(q.Text, "Gm:") && !strings.HasPrefix(q.Text, "In D at") && !strings.HasPrefix(q.Text, "G:"):
				t.Errorf("%s: %s", it.ID, q.Text)
			}
		}
	}
	for _, want := range []string{
		"In D at string 6, fret 7, in Bb at which fret, for the minor tenth on strings 6 and 3?",
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
			a, err := c.Ask(it.ID, seeded(1))
			if err != nil {
				t.Fatal(err)
			}
			b, err := within.Ask(it.ID, seeded(1))
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

// What two songs ask of one catalogue: each item in the keys that need it, over the
// chords that have it, and named as they name it. Common practice, no source.
func TestTwoNeedsShareACatalogue(t *testing.T) {
	need := func(called, learned, chords string, shapes ...string) Need {
		k := must(theory.ParseKey(called))
		return Need{Key: k, Learned: must(theory.ParseKey(learned)), Chords: must(theory.ParseProgression(chords, k)), Shapes: shapes}
	}
	flat := need("Eb", "Eb", "1 4 5", "tenth-6-major", "e-form-m7")
	sharp := need("E", "D", "1 3 1 6-", "tenth-6-minor")
	minor := need("Bm", "C#m", "1- b6 b7 1-", "tenth-6-minor")
	gb := need("Gb", "A", "1 b7")
	walk := func(ref string) string { return "walkup/" + ref + "@E2-A2-D3" }
	for _, v := range []struct {
		needs      []Need
		id         string
		all, never string // what every question has, and none
	}{
		// The 1 to 4 is the first song's alone; the 1 to 6 the second's.
		{[]Need{flat, sharp}, walk("1-4/up"), "in Eb major", "in E major"},
		{[]Need{flat, sharp}, walk("1-6/down"), "in E major", "in Eb major"},
		// A minor key has its own motions, counted from the major scale.
		{[]Need{flat, minor}, walk("1-b6/down-minor"), "in B minor", "Eb"},
		{[]Need{flat, minor}, walk("b7-1/up-minor"), "in B minor", "Eb"},
		// The bass walks, not the root: 5/7 to 1 is a half step.
		{[]Need{need("F", "F", "1 5/7 6-")}, walk("1-5/down"), "in ", "never"},
		{[]Need{need("F", "F", "1 6-/5")}, walk("1-5/down"), "in F major", "never"},
		// A flat for the one and G sharp for the other, as each has it.
		{[]Need{flat, sharp}, "note/E2+4/find", " on string 6: which fret?", "A on"},
		{[]Need{flat}, "note/E2+4/find", "Ab on string 6", "G#"},
		{[]Need{sharp}, "note/E2+4/find", "G# on string 6", "Ab"},
		// No open string is F flat.
		{[]Need{gb}, "note/E2+0/find", "E on string 6", "Fb"},
		// Minor tenths over minor chords, moved from the key that was learned.
		{[]Need{flat, minor}, "shape/tenth-6-minor@E2-G3/place", "m", "Eb"},
		{[]Need{minor}, "shape/tenth-6-minor@E2-G3/place", "B", "Db"},
		// No chord has the shape's seventh: the song's own roots all the same.
		{[]Need{flat}, "shape/e-form-m7@E2-A2-D3-G3-B3-E4/place", "b", "E#"},
	} {
		for text := range asked(t, whole().Within(v.needs...), v.id) {
			if !strings.Contains(text, v.all) || strings.Contains(text, v.never) {
				t.Errorf("%s: %s", v.id, text)
			}
		}
	}
	if both := asked(t, whole().Within(flat, sharp), "note/E2+4/find"); len(both) != 2 {
		t.Errorf("A flat and G sharp are asked as %v", both)
	}
	if moves := asked(t, whole().Within(minor), "shape/tenth-6-minor@E2-G3/place"); moves["In C# at string 6, fret 9, in B at which fret, for the minor tenth on strings 6 and 3?"].Text == "" {
		t.Errorf("never moved from C sharp minor: %v", moves)
	}
	for n, want := range map[*Need]string{&flat: "Ab on string 6, finding it", &sharp: "G# on string 6, finding it"} {
		for _, it := range whole().ItemsFor(*n) {
			if it.ID == "note/E2+4/find" && it.Title != want {
				t.Errorf("it is called %q, want %q", it.Title, want)
			}
		}
	}
	// Where nothing but E flat is asked, E has no say.
	s := standard()
	s.OnlyKeys, s.Keys = true, []theory.Key{flat.Key}
	for text := range asked(t, NewCatalogue(s).Within(sharp, flat), walk("1-6/down")) {
		if !strings.Contains(text, "in Eb major") {
			t.Errorf("only in E flat: %s", text)
		}
	}
	// And where the neck has no room in the song's key, any key will do.
	s = standard()
	s.Frets = [2]int{0, 3}
	for text := range asked(t, NewCatalogue(s).Within(need("B", "B", "1 4")), walk("1-4/up")) {
		if strings.Contains(text, "in B major") {
			t.Errorf("no room there: %s", text)
		}
	}
}
