package fingering

import (
	"slices"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/frettest"
	"surefret/drills/theory"
)

var (
	guitar      = frettest.Guitar
	asWritten   = frettest.AsWritten
	key         = frettest.Key
	oneSentence = frettest.OneSentence
	must        = frettest.Must
)

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
