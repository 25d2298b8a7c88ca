package fingering

import (
	"slices"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// guitar has six strings and 22 frets.
var guitar = fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}

// must ends a test that cannot go on after an error.
func must(t interface {
	Helper()
	Fatal(args ...any)
}, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func key(t testing.TB, s string) theory.Key {
	t.Helper()
	k, err := theory.ParseKey(s)
	must(t, err)
	return k
}

func oneSentence(t *testing.T, err error) {
	t.Helper()
	if err == nil {
		t.Error("bad input was taken")
	} else if s := err.Error(); strings.Contains(s, "\n") || strings.HasSuffix(s, ".") || len(s) < 20 {
		t.Errorf("not one clear sentence: %q", s)
	}
}

func note(t *testing.T, s string) theory.Note {
	t.Helper()
	n, err := theory.ParseNote(s)
	must(t, err)
	return n
}

// fixed is the path over given places.
func fixed(sounds []sound, places [][]fretboard.Position, w wish) (path, bool) {
	sounds = slices.Clone(sounds)
	for i := range sounds {
		sounds[i].at = places[i]
	}
	return leastEffort(guitar, sounds, w)
}
