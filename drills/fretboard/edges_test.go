package fretboard

import (
	"testing"

	"surefret/drills/theory"
)

func TestTheEdgesOfANeck(t *testing.T) {
	neck := Fretboard{Tuning: Standard, Frets: 12}
	e := theory.Note{Letter: theory.E}
	if got := neck.Find(e, 6); len(got) != 2 || got[1].Fret != 12 {
		t.Errorf("E on string 6 of 12 frets lies at %v, want open and fret 12", got)
	}
	odd, err := ParseTuning("E2 A2 D3 G3 B3 D4")
	must(t, err)
	if _, like := odd.Below(); like {
		t.Error("a tuning with one odd string passes for standard")
	}
	for pitches, good := range map[string]bool{
		"C1 E1 A1 D2 G2 C3 F3 A3 D4 G4": true, "C1 E1 A1 D2 G2 C3 F3 A3 D4 G4 B4": false, "A2 D3 G3": true, "A2 D3": false,
	} {
		if _, err := ParseTuning(pitches); (err == nil) != good {
			t.Errorf("%s: %v", pitches, err)
		}
	}
}
