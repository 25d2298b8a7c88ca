package drills

import (
	"regexp"
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
	for _, v := range []struct{ chords, frets6, frets5, motions, changes, numbers string }{ // of the changes, those that the catalogue's songs have
		{"G D Em C", "0 3 8 10", "3 5 7 10", "4-1/down 1-5/down 4-1/up-skip1 6-4/down 5-6/up", "5-6", "4 5 6-"},
		{"G D/F#", "2 3", "9 10", "", "", "5"},                  // the left hand finds the bass; the number is the chord's own
		{"G Em/D", "3 10", "5 10", "5-1/up 1-5/down", "", "6-"}, // the bass goes 1-5 and back, the root of the chord does not
		{"G Em7", "0 3", "7 10", "1-6/down", "6-1", "6-"},       // a seventh chord is found by the number of its triad
		{"G", "3", "10", "", "", ""},
	} {
		g, c := must(theory.ParseKey("G")), whole()
		want := []string{"key/G major/signature", "shape/tenth-6-minor@E2-G3/place"}
		for open, frets := range map[string]string{"E2": v.frets6, "A2": v.frets5} {
			for _, fret := range strings.Fields(frets) {
				want = append(want, "note/"+open+"+"+fret+"/name", "note/"+open+"+"+fret+"/find")
			}
		}
		for _, m := range strings.Fields(v.motions) {
			want = append(want, "walkup/"+m+"@E2-A2-D3")
		}
		for _, ch := range strings.Fields(v.changes) {
			want = append(want, "change/"+ch+"@E2-A2")
		}
		for _, n := range strings.Fields(v.numbers) {
			want = append(want, "key/G major/"+n)
		}
		slices.SortFunc(want, func(a, b string) int { return c.index[a] - c.index[b] }) // as they are met
		var got []string
		for _, it := range c.ItemsFor(Need{Key: g, Chords: progression(v.chords, g), Shapes: []string{"tenth-6-minor", "no such shape"}}) {
			got = append(got, it.ID)
		}
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

// Nothing changes for what a need does not draw on, and a need in a key that is
// not asked has no say.
func TestOutsideOfANeedNothingChanges(t *testing.T) {
	s := standard()
	s.OnlyKeys, s.Keys = true, []theory.Key{must(theory.ParseKey("D"))}
	bb := must(theory.ParseKey("Bb"))
	n := Need{Key: bb, Learned: bb, Chords: progression("1 4", bb)}
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
	n := Need{Key: eb, Learned: eb, Chords: progression("1 5 6- 4", eb), Shapes: []string{"tenth-6-minor"}}
	for b.Loop() {
		c.Within(n, n, n, n, n, n, n, n)
	}
}

// What two songs ask of one catalogue: each item in the keys that need it, over the
// chords that have it, and named as they name it. Common practice, no source.
func TestTwoNeedsShareACatalogue(t *testing.T) {
	need := func(called, learned, chords string, shapes ...string) Need {
		k := must(theory.ParseKey(called))
		return Need{Key: k, Learned: must(theory.ParseKey(learned)), Chords: progression(chords, k), Shapes: shapes}
	}
	flat := need("Eb", "Eb", "1 4 5", "tenth-6-major", "e-form-m7")
	sharp := need("E", "D", "1 3 1 6-", "tenth-6-minor")
	minor := need("Bm", "C#m", "1- b6 b7 1-", "tenth-6-minor")
	gb := need("Gb", "A", "1 b7")
	bb := need("Bb", "D", "1 5 6- 4", "tenth-6-minor", "octave-6-4")
	walk := func(ref string) string { return "walkup/" + ref + "@E2-A2-D3" }
	for _, v := range []struct {
		needs      []Need
		id         string
		all, never string // patterns of what every question has, and none
	}{
		// The 1 to 4 is the first song's alone; the 1 to 6 the second's.
		{[]Need{flat, sharp}, walk("1-4/up"), "^In Eb,", "In E,"},
		{[]Need{flat, sharp}, walk("1-6/down"), "^In E,", "In Eb,"},
		// A minor key has its own motions, counted from the major scale.
		{[]Need{flat, minor}, walk("1-b6/down-minor"), "^In B minor,", "Eb"},
		{[]Need{flat, minor}, walk("b7-1/up-minor"), "^In B minor,", "Eb"},
		// The bass walks, not the root: 5/7 to 1 is a half step.
		{[]Need{need("F", "F", "1 5/7 6-")}, walk("1-5/down"), "^In ", "never"},
		{[]Need{need("F", "F", "1 6-/5")}, walk("1-5/down"), "^In F,", "never"},
		// Tenths are laid under the minor chord alone, and no walk leaves the key.
		{[]Need{bb}, "shape/tenth-6-minor@E2-G3/place", `( on G,|in D\b.* The singer calls Bb:)`, "#"},
		{[]Need{bb}, "shape/octave-6-4@E2-D3/place", `( on (Bb|F|G|Eb),|in D\b.* The)`, "#"},
		{[]Need{bb}, walk("5-6/up"), "^In Bb,", "In D"},
		{[]Need{bb}, "note/E2+6/find", "Bb on string 6", "#"},
		// A flat for the one and G sharp for the other, as each has it.
		{[]Need{flat, sharp}, "note/E2+4/find", " on string 6: which fret?", "A on"},
		{[]Need{flat}, "note/E2+4/find", "Ab on string 6", "G#"},
		{[]Need{sharp}, "note/E2+4/find", "G# on string 6", "Ab"},
		// No open string is F flat.
		{[]Need{gb}, "note/E2+0/find", "E on string 6", "Fb"},
		// Minor tenths over minor chords, moved from the key that was learned.
		{[]Need{flat, minor}, "shape/tenth-6-minor@E2-G3/place", "inor", "Eb"},
		{[]Need{minor}, "shape/tenth-6-minor@E2-G3/place", "B", "Db"},
		// No chord has the shape's seventh: the song's own roots all the same.
		{[]Need{flat}, "shape/e-form-m7@E2-A2-D3-G3-B3-E4/place", "b", "E#"},
	} {
		for text := range asked(t, whole().Within(v.needs...), v.id) {
			if !regexp.MustCompile(v.all).MatchString(text) || regexp.MustCompile(v.never).MatchString(text) {
				t.Errorf("%s: %s", v.id, text)
			}
		}
	}
	if both := asked(t, whole().Within(flat, sharp), "note/E2+4/find"); len(both) != 2 {
		t.Errorf("A flat and G sharp are asked as %v", both)
	}
	if moves := asked(t, whole().Within(minor), "shape/tenth-6-minor@E2-G3/place"); moves["Your minor tenth sits at string 6, fret 9, in C# minor. The singer calls B minor: where now?"].Text == "" {
		t.Errorf("never moved from C sharp minor: %v", moves)
	}
	for n, want := range map[*Need]string{&flat: "finding Ab on string 6", &sharp: "finding G# on string 6"} {
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
		if !strings.Contains(text, "In Eb,") {
			t.Errorf("only in E flat: %s", text)
		}
	}
	// And where the neck has no room in the song's key, any key will do.
	s = standard()
	s.Frets = [2]int{0, 3}
	for text := range asked(t, NewCatalogue(s).Within(need("B", "B", "1 4")), walk("1-4/up")) {
		if strings.Contains(text, "In B,") {
			t.Errorf("no room there: %s", text)
		}
	}
}

// progression reads numbers and names of chords.
func progression(text string, k theory.Key) (p theory.Progression) {
	for _, word := range strings.Fields(text) {
		if n, err := theory.ParseNumeral(word); err == nil {
			p = append(p, k.Chord(n))
		} else {
			p = append(p, must(theory.ParseChord(word)))
		}
	}
	return p
}
