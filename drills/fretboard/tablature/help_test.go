package tablature

import (
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
	"surefret/drills/fretboard/frettest"
)

var (
	guitar      = frettest.Guitar
	asWritten   = frettest.AsWritten
	key         = frettest.Key
	oneSentence = frettest.OneSentence
	must        = frettest.Must
)

func moved(t testing.TB, p fretboard.Part, from, to string, how fingering.How) fingering.Moved {
	t.Helper()
	all, err := fingering.Move(p, key(t, from), key(t, to), fingering.Asked{How: how})
	must(t, err)
	return all[0]
}
