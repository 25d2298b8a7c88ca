package drills

import (
	"fmt"
	"strings"
	"testing"

	"surefret/drills/fretboard"
)

// answers checks what read makes of each text, "" for an error.
func answers[T any](t *testing.T, read func(string) (T, error), want map[string]string) {
	t.Helper()
	for text, want := range want {
		v, err := read(text)
		if got := fmt.Sprint(v); (err == nil) != (want != "") || err == nil && got != want {
			t.Errorf("%q: got %v, %v, want %q", text, v, err, want)
		}
	}
}

func TestPlacesAreReadAsPlayersTypeThem(t *testing.T) {
	s := standard()
	places := func(strs ...int) func(string) (string, error) {
		return func(text string) (string, error) {
			got, err := s.placesOn(strs)(text)
			return fretboard.WritePlaces(got), err
		}
	}
	answers(t, places(6, 3), map[string]string{
		"6/3 3/4": "6/3 3/4", "6/3, 3/4": "6/3 3/4", "6:3;3:4": "6/3 3/4", "3/4 6/3": "3/4 6/3",
		"string 6, fret 3; string 3, fret 4": "6/3 3/4", "String 6 open and string 3 fret 22": "6/0 3/22",
		"3 4": "6/3 3/4", "0, open": "6/0 3/0", "6/3": "6/3",
		"": "", "6": "", "3 4 5": "", "6/3 3": "", "G": "", "six/3": "", "6/1000": "", "6/23": "", "7/1": "", "0/1": "",
		"3 x x 4 x x": "6/3 3/4", "23 x x 4 x x": "", "5/3 3/4": "", // off the neck, and on a string that is not asked
	})
	// Where any string may be meant, its digit may stand before the fret's.
	answers(t, places(), map[string]string{
		"63 50 52": "6/3 5/0 5/2", "612": "6/12", "10": "1/0",
		"3 4": "", "63 4": "", "05": "", "6123": "", "73": "", "699": "",
	})
	for text, says := range map[string]string{"G": "use 2 frets, string 6 first", "6/23": "strings 1 to 6 and frets 0 to 22", "5/3 3/4": "string 5 is not asked for"} {
		if _, err := s.placesOn([]int{6, 3})(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestOtherAnswersAreReadAsPlayersTypeThem(t *testing.T) {
	s := standard()
	answers(t, func(text string) (int, error) {
		p, err := s.parseFret(text, 5)
		return p.Fret, err
	}, map[string]string{
		"7": "7", "fret 7": "7", "Fret 22": "22", "open": "0", "Open": "0", "0": "0",
		"string 5 fret 7": "7", "String 5, fret 7": "7", "7 fret": "7", "string 5 open": "0", "string 4 fret 7": "", "string 5": "",
		"": "", "23": "", "-1": "", "5/7": "", "seven": "", "fret": "", "G": "", "3.5": "",
	})
	answers(t, func(text string) (string, error) {
		notes, err := s.parseNotes(text, 3)
		return s.sayNotes(notes), err
	}, map[string]string{
		"G A Bb": "G A Bb", "g,a,bb": "G A Bb", "G; A; B♭": "G A Bb", "G, A, B flat": "G A Bb", "G A B ♭": "G A Bb",
		"": "", "G A": "", "G A B C": "", "G A H": "",
	})
	answers(t, func(text string) (int, error) { return parseChoice(text, []string{"major", "minor"}) }, map[string]string{
		"1": "0", "2": "1", "Minor": "1", "major": "0", "": "", "0": "", "3": "", "-1": "", "m": "",
	})
	answers(t, parseSignature, map[string]string{
		"3 flats": "-3", "3b": "-3", "1 flat": "-1", "7♭": "-7", "2 Sharps": "2", "1#": "1", "7♯": "7", "1s": "1", "4f": "-4",
		"0": "0", "none": "0", "no sharps or flats": "0", "No flats": "0", "0 sharps": "0", "0b": "0",
		"": "", "3": "", "8#": "", "8b": "", "-1": "", "-2b": "", "b": "", "#3": "", "3x": "", "Eb": "",
	})
	answers(t, s.Names.Parse, map[string]string{"F sharp": "F#", "": "", "H": "", "G###": "", "7": "", "string 6": ""})
}

func TestNumbersOfFretsAreSaid(t *testing.T) {
	for n, want := range map[int]string{0: "no frets", 1: "one fret", 2: "two frets", 4: "four frets", 5: "5 frets", 12: "12 frets"} {
		if got := frets(n); got != want {
			t.Errorf("%d: got %s, want %s", n, got, want)
		}
	}
	if got := say(fretboard.Position{String: 6}) + "; " + say(fretboard.Position{String: 6, Fret: 3}); got != "string 6, open; string 6, fret 3" {
		t.Errorf("got %s", got)
	}
}
