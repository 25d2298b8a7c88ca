package fretboard

import (
	"fmt"
	"slices"
	"strings"
)

// spell writes positions as string/fret, the way drills write them.
func spell(ps []Position) string {
	var words []string
	for _, p := range ps {
		words = append(words, fmt.Sprintf("%d/%d", p.String, p.Fret))
	}
	return strings.Join(words, " ")
}

// fixed is the path over given places.
func fixed(sounds []sound, places [][]Position, w wish) (path, bool) {
	sounds = slices.Clone(sounds)
	for i := range sounds {
		sounds[i].At = places[i]
	}
	return guitar.fingering(sounds, w)
}

func spellInts(ns []int) string { return strings.Trim(fmt.Sprint(ns), "[]") }

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
