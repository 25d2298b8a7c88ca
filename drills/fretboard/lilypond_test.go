package fretboard

import (
	"bytes"
	"encoding/json"
	"slices"
	"testing"

	"surefret/testdata/oracle"
)

// lilypondNote is one line of fretboard-lilypond.jsonl, which
// fretboard-lilypond.ly makes with LilyPond 2.24.
type lilypondNote struct {
	Set    string
	MIDI   int
	String int
	Fret   int
	Beats  float64
}

func readLilypond(t testing.TB) map[string][]lilypondNote {
	t.Helper()
	sets := map[string][]lilypondNote{}
	for line := range bytes.Lines(oracle.Table(t, "fretboard-lilypond.jsonl")) {
		var n lilypondNote
		must(t, json.Unmarshal(line, &n))
		sets[n.Set] = append(sets[n.Set], n)
	}
	return sets
}

// The tunings that LilyPond knows by its own names are ours, fret by fret.
func TestFretsAgreeWithLilypond(t *testing.T) {
	sets := readLilypond(t)
	compared := 0
	for _, name := range []string{"standard", "drop D", "DADGAD", "open G", "open D", "seven strings", "drop C", "half step down", "bass", "five-string bass"} {
		tuning, err := ParseTuning(name)
		must(t, err)
		fb := Fretboard{Tuning: tuning, Frets: 22}
		frets := 13 // open to the twelfth
		if name == "standard" {
			frets = 23
		}
		if want := frets * tuning.Strings(); len(sets[name]) != want {
			t.Errorf("%s: LilyPond gives %d places, want %d", name, len(sets[name]), want)
		}
		for _, n := range sets[name] {
			p := Position{String: n.String, Fret: n.Fret}
			if fb.MIDI(p) != n.MIDI || !slices.Contains(fb.Places(n.MIDI), p) {
				t.Errorf("%s: LilyPond puts %d at %s", name, n.MIDI, p.Say())
			}
			compared++
		}
	}
	if compared < 650 {
		t.Errorf("only %d places were compared", compared)
	}
}

func TestLilypondTableCanBeMadeAgain(t *testing.T) {
	oracle.MakeAgain(t, "fretboard-lilypond.jsonl", "fretboard-lilypond.ly")
}
