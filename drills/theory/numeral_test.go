package theory_test

import (
	"strings"
	"testing"

	. "surefret/drills/theory"
)

func TestProgressionsAreReadAsPlayersWriteThem(t *testing.T) {
	g := mustKey(t, "G")
	for s, want := range map[string]string{
		"G D Em C":                     "G D Em C",
		"1 5 6- 4":                     "G D Em C",
		"I V vi IV":                    "G D Em C",
		"I-V-vi-IV":                    "G D Em C",
		"G-D-Em-C":                     "G D Em C",
		"1, 5, 6m, 4":                  "G D Em C",
		"| G / D/F# | Em7 % |":         "G D/F# Em7 Em7",
		"1 b7 V7/V D":                  "G F A7 D",
		"ii7 V7 Imaj7":                 "Am7 D7 Gmaj7",
		"C-7 F7 Bb":                    "Cm7 F7 Bb",
		"#iv° IV/5 bVI":                "C#dim C/D Eb",
		"vi–IV–I–V":                    "Em C G D",
		"1 5/7 6- 4 2-7 57 1/3 ":       "G D/F# Em C Am7 D7 G/B",
		"1 5/7 6- 4 2-⁷ 5⁷ V⁷ D⁷ 5(7)": "G D/F# Em C Am7 D7 D7 D7 D7",
		"G D F sharp minor, B flat":    "G D F#m Bb",
		"1 #4 G # b":                   "G C# G# B",
		"1^7 1Δ7 1maj7 G^7":            "Gmaj7 Gmaj7 Gmaj7 Gmaj7",
	} {
		if p, err := ParseProgression(s, g); err != nil || p.String() != want {
			t.Errorf("%q: got %v, %v, want %s", s, p, err, want)
		}
	}
	for s, part := range map[string]string{
		"": "holds no chord", " | / ": "holds no chord", "G Dy Em": "chord 2", "1 8": "chord 2", "6-4": "chord 1", "%": "chord 1",
	} {
		if p, err := ParseProgression(s, g); err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%q: got %v, %v, want an error about %q", s, p, err, part)
		}
	}
	solfege := Names{System: Solfege}
	if p, err := solfege.ParseProgression("Sol Re Mim Do 4", g); err != nil || p.String() != "G D Em C C" {
		t.Errorf("in solfege: got %v, %v", p, err)
	}
}

func TestDegreesAreRead(t *testing.T) {
	g := mustKey(t, "G")
	for s, note := range map[string]string{"1": "G", "b7": "F", "#4": "C#", "♭3": "Bb", "bb7": "Fb", "7": "F#", "flat 7": "F", "sharp 4": "C#"} {
		n, err := ParseNumeral(s)
		if d := n.Degree; err != nil || g.Note(d).String() != note || g.Degree(mustNote(t, note)) != d {
			t.Errorf("%s in G: got %v, %v, want %s", s, g.Note(d), err, note)
		}
	}
	for _, s := range []string{"", "0", "8", "7b", "bbb7", "#b7", "Iv", "IIII", "V6/7", "5/8", "V/X", "6-4", "b", "vI", "H"} {
		if n, err := ParseNumeral(s); err == nil {
			t.Errorf("%q is read as %v", s, n)
		}
	}
}

func TestRomanNumeralsSayTheirChord(t *testing.T) {
	c := mustKey(t, "C")
	for s, want := range map[string]string{
		"imaj7": "CmM7", "iM7": "CmM7", "iim7": "Dm7", "iimin7": "Dm7", "VIm": "Am", "vi": "Am", "IVadd6": "F6", "ivadd6": "Fm6",
		"V7sus4": "G7sus4", "vsus4": "Gsus4", "i5": "C5", "iii+": "Em#5", "viio7": "Bdim7", "vii°": "Bdim", "viidim": "Bdim", "iiø": "Dm7b5",
		"I69": "C69", "I6/9": "C69", "I6": "C/E", "ii65": "Dm7/F", "I64": "C/G", "V42": "G7/F", "V4/3": "G7/D", "i63": "Cm/Eb",
		"I/3": "C/E", "V7/V/3": "D7/E", "bVII/4": "Bb/F", "#iv°7": "F#dim7", "iadd9": "Cmadd9", "i-7": "Cm7",
	} {
		n, err := ParseNumeral(s)
		if err != nil {
			t.Error(err)
			continue
		}
		if got := c.Chord(n).String(); got != want {
			t.Errorf("%s in C: got %s, want %s", s, got, want)
		}
		if back, err := ParseNumeral(n.Roman()); err != nil || back != n {
			t.Errorf("%s prints as %s, which reads as %v, %v", s, n.Roman(), back, err)
		}
	}
}

func TestMinorCountedFromItsOwnScale(t *testing.T) {
	am := mustKey(t, "Am")
	for s, want := range map[string]string{
		"III": "C", "VI": "F", "VII": "G", "VII7": "G7", "i": "Am", "iv": "Dm", "V7": "E7", "vii°": "G#dim", "bVII": "G",
		"III6": "C/E", "VI/3": "F/C", "i/3": "Am/C", "V/7": "E/G#", "VII/4": "G/D", "V7/V": "B7", "6": "F", "3": "C",
	} {
		n, err := ParseNumeral(s)
		if err != nil {
			t.Fatal(err)
		}
		if got := am.Chord(n.FromMinor()).String(); got != want {
			t.Errorf("%s in A minor: got %s, want %s", s, got, want)
		}
	}
}
