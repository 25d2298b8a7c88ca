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
			shape/tenth-6-minor@E2-G3/place walkup/5-1/up@E2-A2-D3 walkup/1-5/down@E2-A2-D3 key/G_major/signature key/G_major/5`},
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
