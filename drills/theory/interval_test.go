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
	} {
		if iv, err := ParseInterval(s); err != nil || iv.String() != want {
			t.Errorf("%q: got %v, %v, want %s", s, iv, err, want)
		}
	}
	for _, s := range []string{"", "3", "P3", "m5", "M4", "p", "m0", "M30", "d1", "dd1", "m+3", "AAA4", "third", "minor", "x3", "m3x", "--m3"} {
		if iv, err := ParseInterval(s); err == nil {
			t.Errorf("%q is read as %v", s, iv)
		}
	}
	if got := (Interval{Steps: 29, Semitones: 51}).Name(); got != "augmented 30th" {
		t.Errorf("thirty letters: got %s", got)
	}
	if got := (Interval{Steps: 22, Semitones: 38}).Name(); got != "major 23rd" {
		t.Errorf("twenty-three letters: got %s", got)
	}
	if got := (Interval{Steps: 110, Semitones: 189}).Name(); got != "major 111th" {
		t.Errorf("a hundred and eleven letters: got %s", got)
	}
	if got := (Interval{Steps: 3, Semitones: 8}).Name(); got != "3 times augmented fourth" {
		t.Errorf("F flat to B sharp: got %s", got)
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
