package theory_test

import (
	"testing"
)

func TestChordsThatSoundAlikeAreEnharmonic(t *testing.T) {
	for _, v := range []struct {
		c, d string
		same bool
	}{
		{"F#", "Gb", true}, {"C6", "Am7/C", true}, {"C6", "Am7", false}, {"Cdim7", "Adim7/C", true}, {"Cm", "C", false}, {"C/E", "C", false},
	} {
		if got := mustChord(t, v.c).Enharmonic(mustChord(t, v.d)); got != v.same {
			t.Errorf("%s and %s sound alike: got %t", v.c, v.d, got)
		}
	}
}
