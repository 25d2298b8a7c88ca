package tablature

import (
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
	"surefret/drills/theory"
)

// Tablature for fewer strings than the neck has is read on those that its labels name.
func TestTablatureForFewerStrings(t *testing.T) {
	five := fretboard.Fretboard{Tuning: fretboard.FiveBass, Frets: 24}
	seven := fretboard.Fretboard{Tuning: fretboard.SevenStrings, Frets: 24}
	six, _ := fretboard.ParseTuning("six-string bass: B0 E1 A1 D2 G2 C3")
	for _, c := range []struct {
		text string
		fb   fretboard.Fretboard
		want string // places, or a part of the error
	}{
		{"G|-----|\nD|-----|\nA|-3---|\nE|---3-|", five, "1: 3/3 | 4/3"},
		{"G|-----|\nD|-----|\nA|-3---|\nE|---3-|\nG|-----|\nD|-----|\nA|---1-|\nE|-1---|", five, "1: 3/3 | 4/3 || 2: 4/1 | 3/1"},
		{"e|-----|\nB|-1---|\nG|-----|\nD|-----|\nA|---3-|\nE|-----|", seven, "1: 2/1 | 5/3"},
		{"|-----|\n|-----|\n|-3---|\n|---3-|", five, "name these in front of their lines"},
		{"G|-----|\nD|-----|\nA|-3---|\nE|---3-|", guitar, `as "bass" has these strings`},
		{"e|-1-|\nB|-1-|\nG|---|\nD|---|\nA|---|\nE|---|", fretboard.Fretboard{Tuning: fretboard.OpenG, Frets: 22}, `as "standard" has these strings`},
		{"D|-----|\nA|-----|\nE|-3---|\nB|---3-|", five, "1: 4/3 | 5/3"},
		{"B|-1---|\nG|-----|\nD|-----|\nA|---3-|\nE|-----|\nB|---1-|", seven, "1: 2/1 | 5/3 7/1"},
		{"G|-1---|\nD|-----|\nA|-3---|\nE|---3-|", fretboard.Fretboard{Tuning: six, Frets: 24}, "1: 2/1 4/3 | 5/3"},
		{"D|-----|\nA|-----|\nC|-3---|\nB|---3-|", five, "expected 5"},
	} {
		tab, err := Parse(c.text, c.fb)
		got := ""
		if err != nil {
			got = err.Error()
		} else {
			got = spellPart(tab.Part())
			wroteMoved(t, tab, c.fb)
		}
		if !strings.Contains(got, c.want) {
			t.Errorf("%q in %s: %s, want %s", c.text, c.fb.Tuning.Name, got, c.want)
		}
	}
}

// wroteMoved makes sure that a tablature in another key is written where its lines lie.
func wroteMoved(t *testing.T, tab *Tab, fb fretboard.Fretboard) {
	from, to := key(t, "C"), key(t, "D")
	moved, err := fingering.Move(tab.Part(), from, to, fingering.Asked{})
	must(t, err)
	page, err := tab.WriteMoved(moved[0].Events, from, to, theory.Names{})
	must(t, err)
	again, err := Parse(page, fb)
	if err != nil {
		t.Fatalf("%v\n%s", err, page)
	}
	if got, want := notesOnStrings(again.Part()), notesOnStrings(fretboard.Part{Events: moved[0].Events}); got != want {
		t.Errorf("moved\n %s\nread back\n %s", want, got)
	}
}
