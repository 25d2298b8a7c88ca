package fretboard_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"surefret/drills/fretboard"
)

func TestAMoveIsWrittenAsPromised(t *testing.T) {
	m := moved(t, part(t, quay), "D", "E", fretboard.SameStrings)
	data, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`{"from":"D","to":"E","semitones":2,"how":"same-strings","events":[{"bar":1,"notes":[{"string":4,"fret":2,"pitch":"E3","was":{"string":4,"fret":0}}],"problems":["open-string"]}`,
		`"problems":[{"event":0,"kind":"open-string","message":"bar 1: open string 4 is stopped at fret 2 and rings no longer"}`,
		`"ways":[{"kind":"capo","message":"put a capo at fret 2 and play it as written, in D shapes: nothing breaks"}`,
	} {
		if !strings.Contains(string(data), want) {
			t.Errorf("missing %s\nin %s", want, data)
		}
	}
	if want := "D major to E major, a whole step up on the same strings: 2 open strings lost"; m.Say() != want {
		t.Errorf("told as %q", m.Say())
	}
	empty, _ := json.Marshal(moved(t, part(t, quay), "D", "D", fretboard.SameStrings))
	if !strings.HasSuffix(string(empty), `"problems":[],"ways":[]}`) {
		t.Errorf("no problems are written as %s", empty)
	}
}

func TestOriginsFollowTheNotes(t *testing.T) {
	for _, how := range []fretboard.How{fretboard.SameStrings, fretboard.Refingered} {
		m := moved(t, part(t, asWritten["two systems without a gap, annotations"]), "C", "G", how)
		for i, e := range m.Events {
			for j, n := range e.Notes {
				was := m.Origin(i, j)
				if d := guitar.MIDI(n.Position) - guitar.MIDI(was) - m.Semitones; d%12 != 0 {
					t.Errorf("%s, event %d: %s is said to come from %s", how, i, n.Say(), was.Say())
				}
			}
		}
	}
}

// Common practice, no source.
func TestCapoChoicesThatPlayersMake(t *testing.T) {
	for key_, want := range map[string]string{
		"B": "capo 4 G", "Bb": "capo 3 G", "Ab": "capo 1 G", "F#m": "capo 2 Em", "G": "capo 0 G", "A": "capo 2 G",
		"Eb": "capo 1 D", "F": "capo 3 D", "Cm": "capo 3 Am",
	} {
		found := false
		choices := fretboard.Choices(key(t, key_))
		best := choices[0].Open
		for i, c := range choices {
			if fmt.Sprintf("capo %d %s", c.Capo, c.Shapes.Short()) == want && c.Detuned == 0 && (i == 0 || c.Open >= best-1) {
				found = true
			}
			if i > 0 && c.Open > choices[i-1].Open {
				t.Errorf("%s: %v comes after %v", key_, c, choices[i-1])
			}
		}
		if !found {
			t.Errorf("%s: %s is not among the best of %v", key_, want, choices)
		}
	}
}

// Common practice, no source: how many of a key's common chords beginners know.
func TestOpenChordsOfAKey(t *testing.T) {
	for name, want := range map[string]int{"G": 5, "Em": 5, "C": 4, "D": 4, "Am": 4, "Bm": 4, "A": 3, "E": 2} {
		k := key(t, name)
		for _, c := range fretboard.Choices(k) {
			if c.Capo == 0 && c.Detuned == 0 && c.Open != want {
				t.Errorf("%s has %d open chords, want %d", name, c.Open, want)
			}
			if (c.Shapes.Tonic.PitchClass()+c.Capo-c.Detuned-k.Tonic.PitchClass())%12 != 0 {
				t.Errorf("%s shapes with a capo at %d, tuned %d down, do not sound in %s", c.Shapes, c.Capo, c.Detuned, name)
			}
		}
	}
}

func ExamplePlacement_Diagram() {
	shape, _ := fretboard.Shape("a-form-minor")
	fb := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	b := fb.Pitch(fretboard.Position{String: 5, Fret: 2}, false).Note
	for _, line := range shape.On(fb, b)[0].Diagram(fb, false) {
		fmt.Println(line)
	}
	// Output:
	// E    |--1--|-----|-----|-----|
	// B    |-----|--2--|-----|-----|
	// G    |-----|-----|--4--|-----|
	// D    |-----|-----|--3--|-----|
	// A    |--1--|-----|-----|-----|
	// E  x |-----|-----|-----|-----|
	//         2     3     4     5
}
