package theory_test

import (
	"fmt"
	"strings"
	"testing"

	. "surefret/drills/theory"
)

func TestNotesAreReadAsPlayersWriteThem(t *testing.T) {
	for s, want := range map[string]string{
		"F#": "F#", "f♯": "F#", "Gb": "Gb", "G♭": "Gb", "Fx": "F##", "F##": "F##", "F𝄪": "F##", "F♯#": "F##",
		"Bbb": "Bbb", "bbb": "Bbb", "B𝄫": "Bbb", "b": "B", "bb": "Bb", "E♭♭": "Ebb",
		"F sharp": "F#", "f-sharp": "F#", "B flat": "Bb", "Aflat": "Ab", "F #": "F#", "E ♭": "Eb", "C double sharp": "C##", "G natural": "G",
	} {
		if n := mustNote(t, s); n.String() != want {
			t.Errorf("%s is read as %v, want %s", s, n, want)
		}
	}
	for _, s := range []string{"", "H", "F#b", "F###", "Bbbb", "Fxx", "F#x", "C 4", "#", "♯", "Do", "CC", "c4", " C", "F b", "F sharp sharp", "F ish"} {
		if n, err := ParseNote(s); err == nil {
			t.Errorf("%q is read as %v", s, n)
		} else if !strings.Contains(err.Error(), "expected a letter A to G") {
			t.Errorf("%q: the error does not say what to write: %v", s, err)
		}
	}
}

func TestNotesWithoutAKeyAreSpelledPlainly(t *testing.T) {
	for flats, want := range map[bool]string{
		false: "C C# D D# E F F# G G# A A# B",
		true:  "C Db D Eb E F Gb G Ab A Bb B",
	} {
		for i, name := range strings.Fields(want) {
			if got := FromMIDI(60+i, flats); got.String() != name+"4" {
				t.Errorf("key %d, flats %t: got %v, want %s4", 60+i, flats, got, name)
			}
		}
	}
	if got := FromMIDI(-1, false); got != mustPitch(t, "B-1").Add(Interval{Steps: -7, Semitones: -12}) {
		t.Errorf("key -1: got %v", got)
	}
}

func TestNotesStandOnTheLineOfFifths(t *testing.T) {
	for place, name := range strings.Fields("Fb Cb Gb Db Ab Eb Bb F C G D A E B F# C# G# D# A# E# B#") {
		n := mustNote(t, name)
		if got := n.Fifths(); got != place-8 || NoteAt(got) != n {
			t.Errorf("%s stands at %d, where %v is", name, got, NoteAt(got))
		}
	}
}

func TestNotesStayWritable(t *testing.T) {
	for s, want := range map[string]string{"B#": "C", "Fb": "E", "C##": "D", "Abb": "G", "F#": "F#", "Gb": "Gb", "D": "D"} {
		if got := mustNote(t, s).Simplest().String(); got != want {
			t.Errorf("simplest spelling of %s: got %s, want %s", s, got, want)
		}
	}
	if got := (Note{Letter: F, Alter: 3}).Simplest(); got.String() != "G#" {
		t.Errorf("simplest spelling of F###: got %v", got)
	}
	for s, want := range map[string]string{"B##": "G#", "B##m/D##": "G#m/A##", "E#m7/B#": "B#m7/F##"} {
		moved := mustChord(t, s).Transpose(Interval{Steps: 4, Semitones: 7})
		if moved.String() != want {
			t.Errorf("%s a fifth up: got %v, want %s", s, moved, want)
		}
	}
}

func TestPitchesThatDontExistAreRefused(t *testing.T) {
	for _, s := range []string{"", "C", "4", "C10", "C-2", "C+4", "C04", "C4 ", "H4", "C#b4", "C4.0"} {
		if p, err := ParsePitch(s); err == nil {
			t.Errorf("%q is read as %v", s, p)
		}
	}
}

// must reads s, which the test takes to be readable.
func must[T any](t testing.TB, read func(string) (T, error), s string) T {
	t.Helper()
	v, err := read(s)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func mustNote(t testing.TB, s string) Note   { t.Helper(); return must(t, ParseNote, s) }
func mustPitch(t testing.TB, s string) Pitch { t.Helper(); return must(t, ParsePitch, s) }
func mustKey(t testing.TB, s string) Key     { t.Helper(); return must(t, ParseKey, s) }
func mustChord(t testing.TB, s string) Chord { t.Helper(); return must(t, ParseChord, s) }

func words[T fmt.Stringer](list []T) string {
	s := make([]string, len(list))
	for i, v := range list {
		s[i] = v.String()
	}
	return strings.Join(s, " ")
}
