package theory_test

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	. "surefret/drills/theory"
	"surefret/testdata/oracle"
)

// lilypondLine is one line of theory-lilypond.jsonl, which
// theory-lilypond.ly makes with LilyPond 2.24.
type lilypondLine struct {
	Kind, Tonic, Mode, Symbol, Language, Name, Notes string
}

func readLilypond(t *testing.T, kind string) (lines []lilypondLine) {
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
	if len(lines) == 0 {
		t.Fatalf("the table holds no %s", kind)
	}
	return lines
}

func TestKeysAgreeWithLilypond(t *testing.T) {
	lines := readLilypond(t, "key")
	if len(lines) != 30 {
		t.Errorf("%d keys in the table, want 30", len(lines))
	}
	for _, line := range lines {
		k := mustKey(t, line.Tonic+" "+line.Mode)
		notes := notesOf(t, line.Notes)
		// LilyPond lists a signature from C, we list the scale from its tonic.
		scale := k.Scale()
		if got := sortedByLetter(scale); got != sortedByLetter(notes) {
			t.Errorf("scale of %v: got %s, LilyPond says %s", k, got, line.Notes)
		}
		signature := 0
		for _, n := range notes {
			signature += n.Alter
			if altered := slices.Contains(k.Accidentals(), n); altered != (n.Alter != 0) {
				t.Errorf("%v in the signature of %v: got %t", n, k, altered)
			}
		}
		if k.Signature() != signature {
			t.Errorf("signature of %v: got %d, LilyPond says %d", k, k.Signature(), signature)
		}
	}
}

func notesOf(t *testing.T, s string) (notes []Note) {
	t.Helper()
	for _, f := range strings.Fields(s) {
		notes = append(notes, mustNote(t, f))
	}
	return notes
}

func sortedByLetter(notes []Note) string {
	notes = slices.Clone(notes)
	slices.SortFunc(notes, func(a, b Note) int { return int(a.Letter - b.Letter) })
	return words(notes)
}

func TestPhraseInEveryKeyAgreesWithLilypond(t *testing.T) {
	lines := readLilypond(t, "phrase")
	pitches := 0
	for _, mode := range []string{"major", "minor"} {
		home := mustKey(t, "C "+mode)
		phrase := phraseIn(t, lines, home)
		for _, line := range lines {
			if line.Mode != mode {
				continue
			}
			k := mustKey(t, line.Tonic+" "+mode)
			for i, want := range strings.Fields(line.Notes) {
				// Every tonic lies in the octave of middle C.
				moved := phrase[i].Add(home.To(k))
				if moved.String() != want {
					t.Errorf("%v, pitch %d: moved by %v to %v, LilyPond says %s", k, i+1, home.To(k), moved, want)
				}
				// Spelling it anew from its sound must come out the same.
				if spelled := Spell(moved.MIDI(), k); spelled.String() != want {
					t.Errorf("%v, pitch %d: spelled %v, LilyPond says %s", k, i+1, spelled, want)
				}
				pitches++
			}
		}
	}
	if want := 15*15 + 15*18; pitches != want {
		t.Errorf("compared %d pitches, want %d", pitches, want)
	}
}

func phraseIn(t *testing.T, lines []lilypondLine, k Key) (phrase []Pitch) {
	t.Helper()
	for _, line := range lines {
		if line.Tonic == k.Tonic.String() && line.Mode == k.Mode.String() {
			for _, f := range strings.Fields(line.Notes) {
				phrase = append(phrase, mustPitch(t, f))
			}
		}
	}
	return phrase
}

func TestChordTonesAgreeWithLilypond(t *testing.T) {
	for _, line := range readLilypond(t, "chord") {
		c := mustChord(t, line.Symbol)
		if c.String() != line.Symbol {
			t.Errorf("%s prints as %v", line.Symbol, c)
		}
		got := make([]string, 0, 7)
		for _, iv := range c.Intervals() {
			got = append(got, Pitch{Note: c.Root, Octave: 4}.Add(iv).String())
		}
		if strings.Join(got, " ") != line.Notes {
			t.Errorf("%s: got %s, LilyPond says %s", line.Symbol, got, line.Notes)
		}
	}
}

func TestNoteNamesAgreeWithLilypond(t *testing.T) {
	systems := map[string]Names{"deutsch": {System: German}, "italiano": {System: Solfege}}
	for _, line := range readLilypond(t, "name") {
		names, n := systems[line.Language], mustNote(t, line.Notes)
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
