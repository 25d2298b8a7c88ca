package theory

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"surefret/testdata/oracle"
)

// lilypondLine is one line of theory-lilypond.jsonl, which
// theory-lilypond.ly makes with LilyPond 2.24.
type lilypondLine struct {
	Kind, Tonic, Mode, Symbol, Language, Name, Notes string
}

func readLilypond(t *testing.T, kind string, count int) (lines []lilypondLine) {
	t.Helper()
	for text := range bytes.Lines(oracle.Table(t, "theory-lilypond.jsonl")) {
		var line lilypondLine
		if err := json.Unmarshal(text, &line); err != nil {
			t.Fatal(err)
		}
		if line.Kind == kind {
			lines = append(lines, line)
		}
	}
	if len(lines) != count {
		t.Fatalf("the table holds %d of %s, want %d", len(lines), kind, count)
	}
	return lines
}

// A phrase moved to another key, and spelled anew from its sound, is what LilyPond
// makes of it. Every tonic lies in the octave of middle C.
func TestPhraseInEveryKeyAgreesWithLilypond(t *testing.T) {
	phrase := map[string][]string{} // in C, by mode
	for _, line := range readLilypond(t, "phrase", 30) {
		if phrase[line.Mode] == nil {
			if line.Tonic != "C" {
				t.Fatalf("the phrase in %s comes before that in C", line.Tonic)
			}
			phrase[line.Mode] = strings.Fields(line.Notes)
		}
		k := must(t, ParseKey, line.Tonic+" "+line.Mode)
		by := Key{Mode: k.Mode}.To(k)
		for i, want := range strings.Fields(line.Notes) {
			moved := must(t, ParsePitch, phrase[line.Mode][i]).Add(by)
			if spelled := Spell(moved.MIDI(), k); moved.String() != want || spelled != moved {
				t.Errorf("%v, pitch %d: moved to %v, spelled %v, LilyPond says %s", k, i+1, moved, spelled, want)
			}
		}
	}
}

func TestChordTonesAgreeWithLilypond(t *testing.T) {
	for _, line := range readLilypond(t, "chord", 32) {
		c := must(t, ParseChord, line.Symbol)
		if c.String() != line.Symbol {
			t.Errorf("%s prints as %v", line.Symbol, c)
		}
		var got []Pitch
		for _, iv := range c.Intervals() {
			got = append(got, Pitch{c.Root, 4}.Add(iv))
		}
		if words(got) != line.Notes {
			t.Errorf("%s: got %s, LilyPond says %s", line.Symbol, words(got), line.Notes)
		}
	}
}

func TestNoteNamesAgreeWithLilypond(t *testing.T) {
	systems := map[string]Names{"deutsch": {German}, "italiano": {Solfege}}
	for _, line := range readLilypond(t, "name", 71) {
		names, n := systems[line.Language], must(t, ParseNote, line.Notes)
		name := line.Name
		if names.System == Solfege {
			// LilyPond writes a sharp as d (diesis), we as #.
			syllable := strings.TrimRight(name[2:], "d")
			name = name[:2] + syllable + strings.Repeat("#", len(name)-2-len(syllable))
		}
		if got, err := names.Parse(name); err != nil || got != n {
			t.Errorf("reading %s: got %v, %v; LilyPond says %v", name, got, err, n)
		}
		// Of asas and ases, both read, the second is printed.
		if got := names.Note(n); !strings.EqualFold(got, name) && name != "asas" {
			t.Errorf("%v in %s: got %s, LilyPond says %s", n, line.Language, got, name)
		}
	}
}

func TestLilypondTableCanBeMadeAgain(t *testing.T) {
	oracle.MakeAgain(t, "theory-lilypond.jsonl", "theory-lilypond.ly")
}
