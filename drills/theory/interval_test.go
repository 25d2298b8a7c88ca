package theory_test

import (
	"strings"
	"testing"

	. "surefret/drills/theory"
)

func TestIntervalsAreReadInManyWays(t *testing.T) {
	for s, want := range map[string]string{
		"m3": "m3", "min3": "m3", "minor third": "m3", "minor 3": "m3", "compound minor third": "m10",
		"P5": "P5", "perfect fifth": "P5", "perf5": "P5", "tritone": "A4", "octave": "P8", "unison": "P1",
		"-M10": "-M10", "descending major tenth": "-M10", "AA4": "AA4", "doubly augmented fourth": "AA4",
		"dd5": "dd5", "doubly diminished fifth": "dd5", "dim7": "d7", "aug6": "A6", "d8": "d8", "P29": "P29", "compound octave": "P15",
		"fourth": "P4", "fifth": "P5", "twelfth": "P12", "third": "M3", "Sixth": "M6", "compound third": "M10",
		"minor 3rd": "m3", "Perfect 5th": "P5", "maj 10th": "M10", "2nd": "M2", "Minor Tenth": "m10", "compound M3": "M10",
		"3": "M3", "10": "M10", "8": "P8", "b3": "m3", "♭10": "m10", "#4": "A4", "b5": "d5", "bb7": "d7", "flat 3": "m3", "sharp fourth": "A4",
	} {
		if iv, err := ParseInterval(s); err != nil || iv.String() != want {
			t.Errorf("%q: got %v, %v, want %s", s, iv, err, want)
		}
	}
	for _, s := range []string{"", "-3", "P3", "m5", "M4", "p", "m0", "M30", "d1", "dd1", "m+3", "AAA4", "3th", "0", "b1", "30", "minor", "x3", "m3x", "--m3"} {
		if iv, err := ParseInterval(s); err == nil {
			t.Errorf("%q is read as %v", s, iv)
		}
	}
}

// Ordinary English, from memory.
func TestIntervalsAreNamedInWords(t *testing.T) {
	for i, want := range []string{
		"perfect unison", "major second", "major third", "perfect fourth", "perfect fifth", "major sixth", "major seventh",
		"perfect octave", "major ninth", "major tenth", "perfect eleventh", "perfect twelfth", "major thirteenth",
		"major fourteenth", "perfect fifteenth", "major sixteenth", "major seventeenth", "perfect eighteenth",
		"perfect nineteenth", "major twentieth", "major twenty-first", "perfect twenty-second", "major 23rd", "major 24th",
	} {
		iv := Interval{Steps: i, Semitones: []int{0, 2, 4, 5, 7, 9, 11}[i%7] + i/7*12}
		if got := iv.Name(); got != want {
			t.Errorf("%d letters: got %s, want %s", i+1, got, want)
		}
	}
	for iv, want := range map[Interval]string{
		{29, 51}:   "augmented 30th",
		{30, 52}:   "major 31st",
		{31, 53}:   "perfect 32nd",
		{110, 189}: "major 111th",
		{3, 8}:     "3 times augmented fourth", // F flat to B sharp
		{4, 4}:     "3 times diminished fifth", // B sharp to F flat
		{-1, -4}:   "descending doubly augmented second",
	} {
		if got := iv.Name(); got != want {
			t.Errorf("%d letters and %d semitones: got %s, want %s", iv.Steps, iv.Semitones, got, want)
		}
	}
}

func TestChromaticIntervalsHaveEverydayNames(t *testing.T) {
	want := strings.Fields("P1 m2 M2 m3 M3 P4 A4 P5 m6 M6 m7 M7 P8 m9 M9 m10 M10 P11 A11 P12")
	for semitones, name := range want {
		if got := Chromatic(semitones).String(); got != name {
			t.Errorf("%d semitones: got %s, want %s", semitones, got, name)
		}
	}
	if got := Chromatic(-3).String(); got != "-m3" {
		t.Errorf("3 semitones down: got %s", got)
	}
}
