package neck

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"surefret/drills/fretboard"
)

// Guitars have three plain strings, however they are tuned, and basses none: common
// practice, no source. In a picture they are as thick, and what stands before the nut
// stands at the other end for a left-hander.
func TestStringsAreDrawnByGaugeAndMirroredWithTheHand(t *testing.T) {
	first := regexp.MustCompile(`class="number" x="([0-9.]+)"`)
	for name, plain := range map[string]int{
		"standard": 3, "half step down": 3, "whole step down": 3, "open D": 3, "drop C": 3, "DADGAD": 3, "seven strings": 3, "all fourths": 3,
		"bass": 0, "five-string bass": 0, "C2 G2 D3 A3": 1,
	} {
		tuning, err := fretboard.ParseTuning(name)
		if err != nil {
			t.Fatal(err)
		}
		n := Neck{Board: fretboard.Fretboard{Tuning: tuning, Frets: 22}, Frets: [2]int{1, 5}, Columns: 80}
		right, wide, _ := n.SVG(0, 0, nil)
		if thin := strings.Count(right, `class="string" stroke-width="1"`); thin != plain || strings.Count(right, `class="string"`) != tuning.Strings() {
			t.Errorf("%s: %d strings are thin, want %d of %d", name, thin, plain, tuning.Strings())
		}
		n.LeftHanded = true
		left, _, _ := n.SVG(0, 0, nil)
		at := func(picture string) (x float64) {
			fmt.Sscan(first.FindStringSubmatch(picture)[1], &x)
			return x
		}
		if at(right) > float64(wide)/4 || at(left) < float64(wide)*3/4 {
			t.Errorf("%s: the strings are numbered at %.0f and for the left hand at %.0f of %d", name, at(right), at(left), wide)
		}
	}
}
