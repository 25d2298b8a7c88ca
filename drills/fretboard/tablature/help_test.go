package tablature

import (
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
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

func moved(t testing.TB, p fretboard.Part, from, to string, how fingering.How) fingering.Moved {
	t.Helper()
	all, err := fingering.Move(p, key(t, from), key(t, to), fingering.Asked{How: how})
	must(t, err)
	return all[0]
}
