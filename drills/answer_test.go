package drills

import (
	"fmt"
	"strings"
	"testing"

	"surefret/drills/fretboard"
)

func TestPlacesAreReadAsPlayersTypeThem(t *testing.T) {
	s := standard()
	for answer, want := range map[string]string{
		"6/3 3/4": "6/3 3/4", "6/3, 3/4": "6/3 3/4", "6:3;3:4": "6/3 3/4", "3/4 6/3": "3/4 6/3",
		"string 6, fret 3; string 3, fret 4": "6/3 3/4", "String 6 open and string 3 fret 22": "6/0 3/22",
		"3 4": "6/3 3/4", "0, open": "6/0 3/0", "6/3": "6/3",
	} {
		if got, err := s.parsePlaces(answer, []int{6, 3}); err != nil || fretboard.WritePlaces(got) != want {
			t.Errorf("%q: got %s, %v, want %s", answer, fretboard.WritePlaces(got), err, want)
		}
	}
	for answer, says := range map[string]string{
		"": "expected places", "6": "expected places", "3 4 5": "expected places", "6/3 3": "expected places", "G": "expected places",
		"six/3": "expected places", "6/1000": "expected places",
		"6/100": "not on this neck", "6/23": "strings 1 to 6 and frets 0 to 22", "7/1": "not on this neck", "0/1": "not on this neck",
	} {
		if got, err := s.parsePlaces(answer, []int{6, 3}); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: got %v, %v, want an error that says %q", answer, got, err, says)
		}
	}
	// Where any string may be meant, its digit may stand before the fret's.
	for answer, want := range map[string]string{"63 50 52": "6/3 5/0 5/2", "612": "6/12", "10": "1/0"} {
		if got, err := s.parsePlaces(answer, nil); err != nil || fretboard.WritePlaces(got) != want {
			t.Errorf("%q: got %s, %v, want %s", answer, fretboard.WritePlaces(got), err, want)
		}
	}
	for _, answer := range []string{"3 4", "63 4", "05", "6123", "73", "699"} {
		if got, err := s.parsePlaces(answer, nil); err == nil {
			t.Errorf("%q is read as %v", answer, got)
		}
	}
}

func TestFretsAreReadAsPlayersTypeThem(t *testing.T) {
	s := standard()
	for answer, want := range map[string]int{"7": 7, "fret 7": 7, "Fret 22": 22, "open": 0, "Open": 0, "0": 0} {
		if p, err := s.parseFret(answer, 5); err != nil || p != (fretboard.Position{String: 5, Fret: want}) {
			t.Errorf("%q: got %v, %v, want fret %d", answer, p, err, want)
		}
	}
	for _, answer := range []string{"", "23", "-1", "5/7", "seven", "fret"} {
		if p, err := s.parseFret(answer, 5); err == nil || !strings.Contains(err.Error(), "0 to 22") {
			t.Errorf("%q: got %v, %v", answer, p, err)
		}
	}
}

func TestRowsOfNotesHaveTheirNumber(t *testing.T) {
	s := standard()
	for _, answer := range []string{"G A Bb", "g,a,bb", "G; A; B♭", "G, A, B flat", "G A B ♭"} {
		if got, err := s.parseNotes(answer, 3); err != nil || s.sayNotes(got) != "G A Bb" {
			t.Errorf("%q: got %v, %v", answer, got, err)
		}
	}
	for _, answer := range []string{"", "G A", "G A B C", "G A H"} {
		if got, err := s.parseNotes(answer, 3); err == nil {
			t.Errorf("%q is read as %v", answer, got)
		}
	}
}

func TestAChoiceIsItsNumberOrItself(t *testing.T) {
	choices := []string{"major", "minor"}
	for answer, want := range map[string]int{"1": 0, "2": 1, "Minor": 1, "major": 0} {
		if got, err := parseChoice(answer, choices); err != nil || got != want {
			t.Errorf("%q: got %d, %v, want %d", answer, got, err, want)
		}
	}
	for _, answer := range []string{"", "0", "3", "-1", "m"} {
		if got, err := parseChoice(answer, choices); err == nil {
			t.Errorf("%q is read as %d", answer, got)
		}
	}
}

func TestSignaturesAreReadAsPlayersTypeThem(t *testing.T) {
	for answer, want := range map[string]int{
		"3 flats": -3, "3b": -3, "1 flat": -1, "7♭": -7, "2 Sharps": 2, "1#": 1, "7♯": 7, "1s": 1, "4f": -4,
		"0": 0, "none": 0, "no sharps or flats": 0, "No flats": 0, "0 sharps": 0, "0b": 0,
	} {
		if got, err := parseSignature(answer); err != nil || got != want {
			t.Errorf("%q: got %d, %v, want %d", answer, got, err, want)
		}
	}
	for _, answer := range []string{"", "3", "8#", "8b", "-1", "-2b", "b", "#3", "3x", "Eb"} {
		if got, err := parseSignature(answer); err == nil {
			t.Errorf("%q is read as %d", answer, got)
		}
	}
}

func TestSetsHoldTheSameThings(t *testing.T) {
	for _, v := range []struct {
		a, b string
		same bool
	}{{"1 2", "2 1", true}, {"1 2", "1", false}, {"1", "1 2", false}, {"1 1", "1", true}, {"", "", true}} {
		if got := sameSet(strings.Fields(v.a), strings.Fields(v.b)); got != v.same {
			t.Errorf("%q and %q: got %t", v.a, v.b, got)
		}
	}
}

func TestNumbersOfFretsAreSaid(t *testing.T) {
	for n, want := range map[int]string{0: "no frets", 1: "one fret", 2: "two frets", 4: "four frets", 5: "5 frets", 12: "12 frets"} {
		if got := frets(n); got != want {
			t.Errorf("%d: got %s, want %s", n, got, want)
		}
	}
	for p, want := range map[fretboard.Position]string{{String: 6}: "string 6, open", {String: 6, Fret: 3}: fmt.Sprintf("string %d, fret %d", 6, 3)} {
		if got := say(p); got != want {
			t.Errorf("%v: got %s, want %s", p, got, want)
		}
	}
}
