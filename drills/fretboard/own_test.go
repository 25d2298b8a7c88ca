package fretboard

import "testing"

// A shape of one's own is what its frets sound. Common practice, no source.
func TestOwnShapesAreWorkedOut(t *testing.T) {
	for _, c := range []struct {
		frets   string
		root    int
		degrees string
		kind    Kind
		sounds  string // the chord with its root mark on G, or the interval
	}{
		{"x x 11 9 10 x", 3, "6 1 4", KindChord, "C/E"},
		{"x x 5 5 5 x", 4, "1 4 6", KindChord, "C/G"},
		{"3 x x 4 x x", 6, "1 3", KindInterval, "M10"},
		{"3 x x 4 x x", 3, "b6 1", KindInterval, "M10"},
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
		sounds := r.Symbol
		if named, ok := r.Chord(note(t, "G")); ok {
			sounds = named.String()
		}
		if r.Degrees() != c.degrees || r.Kind != c.kind || sounds != c.sounds {
			t.Errorf("%s: %s, kind %d, %q; want %s, %d, %q", c.frets, r.Degrees(), r.Kind, sounds, c.degrees, c.kind, c.sounds)
		}
		found := false
		for fret := range 23 {
			p := r.At(guitar, guitar.Pitch(Position{r.Root, fret}, true).Note, fret)
			if p.String() != c.frets {
				continue
			}
			found = true
			for _, n := range p.Notes {
				if n.Pitch.MIDI() != guitar.MIDI(n.Position) {
					t.Errorf("%s: %s is said to sound %s", c.frets, n.Say(), n.Pitch)
				}
			}
		}
		if !found {
			t.Errorf("%s is never laid as it was written", c.frets)
		}
	}
}

// Players write open chords without spaces.
func TestOwnFretsAreReadWithoutSpaces(t *testing.T) {
	var degrees []string
	for _, frets := range []string{"x32010", "x 3 2 0 1 0"} {
		r, err := OwnShape{Name: "mine", Frets: frets, RootString: 5, Tuning: "standard"}.Recipe()
		must(t, err)
		degrees = append(degrees, r.Degrees())
	}
	if degrees[0] != "1 3 5 1 3" || degrees[0] != degrees[1] {
		t.Error(degrees)
	}
}
