package theory_test

import (
	"slices"
	"strings"
	"testing"

	. "surefret/drills/theory"
)

// Common practice, no source.
func TestBandPractice(t *testing.T) {
	d, c := mustKey(t, "D"), mustKey(t, "C")
	numbers, err := ParseProgression("4 1 6- 5", d)
	if err != nil {
		t.Fatal(err)
	}
	if got := numbers.String(); got != "G D Bm A" {
		t.Errorf("4 1 6- 5 in D: got %s", got)
	}
	if got := numbers.Numbers(d); got != "4 1 6- 5" {
		t.Errorf("and back: got %s", got)
	}

	overCSharp := mustChord(t, "A/C#")
	if overCSharp.Inversion() != 1 || d.Numeral(overCSharp).Number() != "5/7" || d.Numeral(overCSharp).Degree != (Degree{Number: 5}) {
		t.Errorf("A/C# in D: inversion %d, number %s", overCSharp.Inversion(), d.Numeral(overCSharp).Number())
	}
	if sixThree, err := ParseNumeral("V6"); err != nil || d.Chord(sixThree) != overCSharp {
		t.Errorf("V6 in D: got %v, %v", d.Chord(sixThree), err)
	}

	for _, v := range []struct{ notes, chord string }{
		{"A E A D", "Asus4"},
		{"B A D", "Bm7no5"},
		{"C E G A", "C6"}, {"A C E G", "Am7"}, {"C# E A", "A/C#"},
		{"C Eb Gb A", "Cdim7"}, {"A C Eb Gb", "Adim7"}, {"C E G#", "Caug"},
		{"D A", "D5"}, {"A D", "D5/A"}, {"A G B D", "G/A"}, {"E G# D G", "E7#9no5"},
		{"F# A C E", "F#m7b5"}, {"C D G", "Csus2"}, {"G C D", "Gsus4"}, {"C E G B D", "Cmaj9"},
		{"G B D F A E", "G13"}, {"C E G D", "Cadd9"},
	} {
		names := ChordsOf(notesOf(t, v.notes)...)
		if len(names) == 0 || names[0].String() != v.chord {
			t.Errorf("%s: got %v, want %s", v.notes, names, v.chord)
		}
	}

	// The spelling decides only what the bass leaves open.
	if names := ChordsOf(notesOf(t, "C E Ab")...); words(names) != "Caug Abaug/C Eaug/B#" {
		t.Errorf("C E Ab: got %v", names)
	}

	song, err := ParseProgression("D A/C# Bm G | Em7 A7 Dsus4 D", d)
	if err != nil {
		t.Fatal(err)
	}
	if got := song.Move(d, c).String(); got != "C G/B Am F Dm7 G7 Csus4 C" {
		t.Errorf("from D to C: got %s", got)
	}
	if got := song.Move(d, mustKey(t, "Gb")).String(); got != "Gb Db/F Ebm Cb Abm7 Db7 Gbsus4 Gb" {
		t.Errorf("from D to G flat: got %s", got)
	}
	for _, c := range song.Move(d, mustKey(t, "F#")) {
		if c.Root.Alter < 0 {
			t.Errorf("a flat root in F sharp: %v", c)
		}
	}

	// In A, a b7 is G and a plain 2 is B major; seven minor numbers below.
	a := mustKey(t, "A")
	if p, err := ParseProgression("1 2m 3m 4 5 6m 7dim b7 2", a); err != nil || p.String() != "A Bm C#m D E F#m G#dim G B" {
		t.Errorf("numbers in A: got %v, %v", p, err)
	}
}

// Common practice, no source: what a band would say these are in.
func TestKeysAreProposed(t *testing.T) {
	for _, v := range []struct{ chords, keys string }{
		{"G D Em C", "G major"},
		{"C G Am F", "C major"},
		{"Dm7 G7 Cmaj7", "C major"},
		{"Am Dm E7 Am", "A minor"},
		{"Am G F E", "A minor"},
		{"E A B7", "E major"},
		{"Bb F Gm Eb", "Bb major"},
		{"Gb Db Ebm Cb", "Gb major"},
		{"F# C# D#m B", "F# major"},
		{"G D/F# Em C D7", "G major"},
		{"Em C G D", "E minor, G major"}, // both are defensible, no other key is
		{"Am F C G", "A minor, C major"},
		{"Bb", "Bb major, F major"},     // between equals the fewer accidentals
		{"Am Em C", "C major, A minor"}, // begins on the one, ends on the other
		{"G5 C5 D5 G5", "G major"},
		{"A7 D7 E7", "A major"},
		{"F#m7b5 B7 Em", "E minor"},
	} {
		p, err := ParseProgression(v.chords, Key{})
		if err != nil {
			t.Fatal(err)
		}
		fits := p.Keys()
		for i, want := range strings.Split(v.keys, ", ") {
			if fits[i].Key.String() != want {
				t.Errorf("%s: proposal %d is %v, want %s", v.chords, i+1, fits[i], want)
			}
		}
		if len(fits) != 30 || !slices.IsSortedFunc(fits, func(a, b KeyFit) int {
			if a.Fit < b.Fit {
				return 1
			}
			return 0
		}) || fits[0].Fit > 1 || fits[29].Fit < 0 {
			t.Errorf("%s: proposals are not thirty fits from 1 to 0, best first: %v", v.chords, fits)
		}
	}
}

// Common practice, no source: what leads home, the strongest first. All of the
// chords belong to the key, begin and do not end on its tonic.
func TestCadencesPointHomeByTheirStrength(t *testing.T) {
	for key, cadences := range map[string]string{
		"C major": "G7 G G5 F Dm", // dominant seventh, dominant, its power chord, plagal, none
		"A minor": "E7 E Em C",    // dominant seventh, dominant, minor dominant, none
		"C minor": "G7 Bb Eb",     // the chord on b7, none
	} {
		k, last := mustKey(t, key), 2.0
		for _, c := range strings.Fields(cadences) {
			p, err := ParseProgression(k.Short()+" "+c, k)
			if err != nil {
				t.Fatal(err)
			}
			fit := p.Keys()[slices.IndexFunc(p.Keys(), func(f KeyFit) bool { return f.Key == k })].Fit
			if fit >= last {
				t.Errorf("%v fits %s by %g, no less than the cadence before it", p, key, fit)
			}
			last = fit
		}
	}
	if first := (Progression{}).Keys()[0]; first != (KeyFit{}) {
		t.Errorf("no chords point to %v", first)
	}
}

func TestAKeyThatAllSignsPointToFitsWholly(t *testing.T) {
	for _, v := range []struct{ key, chords string }{
		{"C major", "C F G7 C"}, {"A minor", "Am Dm E7 Am"}, {"A minor", "Am F G#dim7 E7 Am"},
	} {
		p, err := ParseProgression(v.chords, Key{})
		if err != nil {
			t.Fatal(err)
		}
		if best := p.Keys()[0]; best.Key.String() != v.key || best.Fit != 1 {
			t.Errorf("%s: got %v, want %s with a fit of 1", v.chords, best, v.key)
		}
	}
}
