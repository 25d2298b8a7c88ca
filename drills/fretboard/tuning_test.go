package fretboard

import (
	"strings"
	"testing"

	"surefret/drills/theory"
)

var guitar = Fretboard{Tuning: Standard, Frets: 22}

func TestPlacesListsEveryPlaceOfAPitch(t *testing.T) {
	want := "1/0 2/5 3/9 4/14 5/19" // E4 on 22 frets: common practice, no source
	if got := WritePlaces(guitar.Places(64)); got != want {
		t.Errorf("E4 lies at %s, want %s", got, want)
	}
	if got := guitar.Places(39); got != nil {
		t.Errorf("Eb2 lies below the lowest string, but was found at %v", got)
	}
	for _, tuning := range Tunings {
		for capo := range 13 {
			fb := Fretboard{Tuning: tuning, Frets: 24, Capo: capo}
			found := 0
			for midi := range 128 {
				for _, p := range fb.Places(midi) {
					found++
					if !fb.Has(p) || fb.MIDI(p) != midi {
						t.Fatalf("%s, capo %d: %v does not sound %d", tuning.Name, capo, p, midi)
					}
				}
			}
			if want := tuning.Strings() * (24 - capo + 1); found != want {
				t.Errorf("%s, capo %d: %d places found of %d", tuning.Name, capo, found, want)
			}
		}
	}
}

func TestFindMeetsANoteInEveryOctaveOfAString(t *testing.T) {
	if got := WritePlaces(guitar.Find(theory.Note{Letter: theory.G}, 6)); got != "6/3 6/15" {
		t.Errorf("G on string 6 is at %s", got)
	}
	capo := guitar
	capo.Capo = 3
	if got := WritePlaces(capo.Find(theory.Note{Letter: theory.G}, 6)); got != "6/0 6/12" {
		t.Errorf("G on string 6 over a capo at 3 is at %s", got)
	}
}

// Common practice, no source: the names say how each string is tuned.
func TestTuningsAreReadByNameAndByPitches(t *testing.T) {
	for in, want := range map[string]string{
		"standard": "E2 A2 D3 G3 B3 E4", "Drop D": "D2 A2 D3 G3 B3 E4", "drop-d": "D2 A2 D3 G3 B3 E4",
		"dadgad": "D2 A2 D3 G3 A3 D4", "open g": "D2 G2 D3 G3 B3 D4", "bass": "E1 A1 D2 G2",
		"halfstepdown": "Eb2 Ab2 Db3 Gb3 Bb3 Eb4", "C2,G2, D3 A3": "C2 G2 D3 A3",
		"five-string bass": "B0 E1 A1 D2 G2", "E2 A2 D3 G3 B3 E4": "E2 A2 D3 G3 B3 E4",
	} {
		got, err := ParseTuning(in)
		if err != nil || got.String() != want {
			t.Errorf("%q read as %v (%v), want %s", in, got, err, want)
		}
	}
	if got, _ := ParseTuning("D2 A2 D3 G3 B3 E4"); got.Name != "drop D" {
		t.Errorf("the pitches of drop D are called %q", got.Name)
	}
	if got := Standard.Down(1); got.Name != "half step down" {
		t.Errorf("standard a semitone lower is called %q", got.Name)
	}
}

func TestBadNecksAreRefusedInOneSentence(t *testing.T) {
	for _, in := range []string{"", "nashville", "E2 A2", "E2 A2 H3", "E2 A2 D3 G3 B3 E99", "C-1 E2 A2"} {
		_, err := ParseTuning(in)
		oneSentence(t, err)
	}
	for _, fb := range []Fretboard{
		{Tuning: Standard, Frets: 11}, {Tuning: Standard, Frets: 37}, {Frets: 22},
		{Tuning: Standard, Frets: 22, Capo: -1}, {Tuning: Standard, Frets: 22, Capo: 13},
		{Tuning: Standard, Frets: 12, Capo: 12},
	} {
		oneSentence(t, fb.Check())
	}
	if err := guitar.Check(); err != nil {
		t.Errorf("an ordinary guitar was refused: %v", err)
	}
}

func TestInlaysFollowTheNutNotTheCapo(t *testing.T) {
	fb := Fretboard{Tuning: Standard, Frets: 36}
	var one, two []int
	for f := 0; f <= 24; f++ {
		switch fb.Inlays(f) {
		case 1:
			one = append(one, f)
		case 2:
			two = append(two, f)
		}
	}
	if got := spellInts(one) + "; " + spellInts(two); got != "3 5 7 9 15 17 19 21; 12 24" { // common practice, no source
		t.Errorf("dots at %s", got)
	}
	fb.Capo = 2
	if fb.Inlays(3) != 1 || fb.Inlays(10) != 2 || fb.Inlays(0) != 0 {
		t.Error("the dots moved with the capo")
	}
}

func oneSentence(t *testing.T, err error) {
	t.Helper()
	if err == nil {
		t.Error("bad input was taken")
	} else if s := err.Error(); strings.Contains(s, "\n") || strings.HasSuffix(s, ".") || len(s) < 20 {
		t.Errorf("not one clear sentence: %q", s)
	}
}

// The pitches are those of the trade, from memory; what they are called is read and shown.
func TestRarerTuningsHaveNames(t *testing.T) {
	for name, want := range map[string]string{"drop C": "C2 G2 C3 F3 A3 D4", "Drop-A": "A1 E2 A2 D3 G3 B3 E4", "open e": "E2 B2 E3 G#3 B3 E4",
		"double drop D": "D2 A2 D3 G3 B3 D4", "all fourths": "E2 A2 D3 G3 C4 F4", "DADGBE": "D2 A2 D3 G3 B3 E4"} {
		got, err := ParseTuning(name)
		again, _ := ParseTuning(want)
		if err != nil || got.String() != want || again.Name != got.Name || got.Name == "custom" {
			t.Errorf("%s is %s, called %s: %v", name, got, again.Name, err)
		}
	}
}

// How tunings are named in German and in fixed do: H is the note a half step below C, and
// B the one below it (Duden, "H" and "B"; tonal has no such names).
func TestTuningsAreReadAndShownInThePlayersNames(t *testing.T) {
	german, solfege := theory.Names{System: theory.German}, theory.Names{System: theory.Solfege}
	for _, c := range []struct {
		names            theory.Names
		in, pitches, out string
	}{
		{german, "E2 A2 D3 G3 H3 E4", "E2 A2 D3 G3 B3 E4", "standard"},
		{german, "D2 A2 D3 Fis3 A3 D4", "D2 A2 D3 F#3 A3 D4", "open D"},
		{german, "E2 A2 D3 G3 B3 E4", "E2 A2 D3 G3 Bb3 E4", "E2 A2 D3 G3 B3 E4"},
		{german, "Fis2 H2 E3 A3", "F#2 B2 E3 A3", "Fis2 H2 E3 A3"},
		{solfege, "Mi2 La2 Re3 Sol3 Si3 Mi4", "E2 A2 D3 G3 B3 E4", "standard"},
		{solfege, "Do2 Sol2 Re3 La3", "C2 G2 D3 A3", "Do2 Sol2 Re3 La3"},
		{german, "my harp: C2 G2 D3 H3", "C2 G2 D3 B3", "my harp: C2 G2 D3 H3"},
		{theory.Names{}, "E2 A2 D3 G3 B3 E4", "E2 A2 D3 G3 B3 E4", "standard"},
	} {
		got, err := ReadTuning(c.in, c.names)
		if err != nil || got.String() != c.pitches || got.Written(c.names) != c.out {
			t.Errorf("%q is %s, written %q: %v", c.in, got, got.Written(c.names), err)
		}
		if again, err := ReadTuning(got.Written(c.names), c.names); err != nil || again.String() != c.pitches || again.Name != got.Name {
			t.Errorf("%q is read again as %q, %s: %v", got.Written(c.names), again.Name, again, err)
		}
	}
	for _, in := range []string{"standard: C2 G2 D3 A3", ": C2 G2 D3 A3", "custom: C2 G2 D3 A3", "a name as long as a whole sentence: C2 G2 D3 A3", "E2 A2 D3 X3"} {
		_, err := ReadTuning(in, german)
		oneSentence(t, err)
	}
	if got, err := ParseTuning("house: E2 A2 D3 G3 B3 E4"); err != nil || got.Name != "house" {
		t.Errorf("a name that the player gives: %q, %v", got.Name, err)
	}
}
