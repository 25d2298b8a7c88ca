package fretboard

import "testing"

// A shape of one's own is what its frets sound. Common practice, no source.
func TestOwnShapesAreWorkedOut(t *testing.T) {
	for _, c := range []struct {
		frets   string
		root    int
		degrees string
		kind    Kind
		chord   string // over G
	}{
		{"x x 11 9 10 x", 3, "6 1 4", KindChord, "C/E"},
		{"3 x x 4 x x", 6, "1 3", KindInterval, ""},
		{"3 5 5 3 3 3", 6, "1 5 1 b3 5 1", KindChord, "Gm"},
		{"x 3 2 3 x x", 5, "1 3 b7", KindTones, ""},
		{"x x 5 6 7 x", 4, "1 b5 7", KindTones, ""},
		{"3 x 3 4 3 x", 6, "1 b7 3 5", KindChord, "G7"},
	} {
		r, err := OwnShape{Name: "mine", Frets: c.frets, RootString: c.root, Tuning: "standard"}.Recipe()
		if err != nil {
			t.Errorf("%s: %v", c.frets, err)
			continue
		}
		chord := ""
		if named, ok := r.Chord(note(t, "G")); ok {
			chord = named.String()
		}
		if r.Degrees() != c.degrees || r.Kind != c.kind || chord != c.chord {
			t.Errorf("%s: %s, kind %d, %q; want %s, %d, %q", c.frets, r.Degrees(), r.Kind, chord, c.degrees, c.kind, c.chord)
		}
		found := false
		for fret := range 23 {
			found = found || r.At(guitar, guitar.Pitch(Position{r.Root, fret}, true).Note, fret).String() == c.frets
		}
		if !found {
			t.Errorf("%s is never laid as it was written", c.frets)
		}
	}
}
