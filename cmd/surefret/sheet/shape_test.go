package sheet

import (
	"testing"

	"surefret/drills/fretboard"
)

// A bass of four strings hears nothing of the shapes that a fifth string has.
func TestABassListsTheShapesOfItsStrings(t *testing.T) {
	for _, tuning := range []fretboard.Tuning{fretboard.Bass, fretboard.FiveBass} {
		all := ShapesOn(fretboard.Fretboard{Tuning: tuning, Frets: 20})
		for _, s := range all {
			if !s.Playable {
				t.Errorf("%s: %s", tuning.Name, s.Why)
			}
		}
		if want := map[int]int{4: 24, 5: 32}[tuning.Strings()]; len(all) != want {
			t.Errorf("%s has %d shapes, want %d", tuning.Name, len(all), want)
		}
	}
}
