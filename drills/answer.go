package drills

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// judgement reads an answer and judges what was read.
func judgement[T any](read func(answer string) (T, error), judge func(given T) Verdict) func(answer string) (Verdict, error) {
	return func(answer string) (Verdict, error) {
		given, err := read(answer)
		if err != nil {
			return Verdict{}, err
		}
		return judge(given), nil
	}
}

// fretOn returns what reads a fret on a string.
func (s Setup) fretOn(str int) func(answer string) (fretboard.Position, error) {
	return func(answer string) (fretboard.Position, error) { return s.parseFret(answer, str) }
}

// placesOn returns what reads places on the given strings; none are all.
func (s Setup) placesOn(strs []int) func(answer string) ([]fretboard.Position, error) {
	return func(answer string) ([]fretboard.Position, error) {
		places, err := s.parsePlaces(answer, strs)
		for _, at := range places {
			if err == nil && strs != nil && !slices.Contains(strs, at.String) {
				err = fmt.Errorf("string %d is not asked for: give a fret on each of %s", at.String, sayStrings(strs))
			}
		}
		return places, err
	}
}

// pathOf returns what reads so many places in their order.
func (s Setup) pathOf(count int) func(answer string) ([]fretboard.Position, error) {
	return func(answer string) ([]fretboard.Position, error) {
		places, err := s.parsePlaces(answer, nil)
		if err == nil && len(places) != count {
			err = fmt.Errorf("%q has %d places: use %d, in their order, from root to root", answer, len(places), count)
		}
		return places, err
	}
}

// notesOf returns what reads so many notes in their order.
func (s Setup) notesOf(count int) func(answer string) ([]theory.Note, error) {
	return func(answer string) ([]theory.Note, error) { return s.parseNotes(answer, count) }
}

// parseFret reads one fret number on a string, with or without the words: "7", "fret 7",
// "string 6 fret 7".
func (s Setup) parseFret(answer string, str int) (fretboard.Position, error) {
	text := strings.TrimPrefix(strings.ToLower(answer), fmt.Sprintf("string %d", str))
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimPrefix(strings.TrimLeft(text, ", "), "fret"), "fret"))
	if text == "open" {
		text = "0"
	}
	fret, err := strconv.Atoi(text)
	p := fretboard.Position{String: str, Fret: fret}
	if err != nil && strings.Contains(strings.ToLower(answer), "string") {
		return p, fmt.Errorf("%q is not on string %d, which is asked: use a fret, 0 to %d", answer, str, s.Neck.Last())
	}
	if err != nil || !s.Neck.Has(p) {
		return p, fmt.Errorf("%q is not a fret: use a number from 0 to %d", answer, s.Neck.Last())
	}
	return p, nil
}

// parsePlaces reads places on the neck: "6/3 3/4", "string 6, fret 3; string 3,
// fret 4"; as a shape, "3 x x 4 x x"; or, where the strings are known from the question,
// the frets alone in their order: "3 4".
func (s Setup) parsePlaces(answer string, strs []int) ([]fretboard.Position, error) {
	expected := fmt.Errorf("%q cannot be read: use string/fret, like 6/3 3/4", answer)
	if len(strs) > 1 {
		expected = fmt.Errorf("%q cannot be read: use %d frets, string %d first", answer, len(strs), strs[0])
	}
	if places, ok := s.readFrets(answer); ok && (len(strs) > 0 || strings.ContainsAny(answer, "xX")) {
		return places, nil
	}
	numbers, err := integers(answer)
	if err != nil {
		return nil, expected
	}
	alone := !strings.ContainsAny(answer, "/:") && !strings.Contains(strings.ToLower(answer), "string")
	var places []fretboard.Position
	switch {
	case alone && len(strs) > 0 && len(numbers) == len(strs):
		for i, fret := range numbers {
			places = append(places, fretboard.Position{String: strs[i], Fret: fret})
		}
	case !alone && len(numbers) > 0 && len(numbers)%2 == 0:
		for i := 0; i < len(numbers); i += 2 {
			places = append(places, fretboard.Position{String: numbers[i], Fret: numbers[i+1]})
		}
	case alone && len(strs) == 0 && len(numbers) > 0: // no string has two digits
		for _, n := range numbers {
			p := fretboard.Position{String: n / 10, Fret: n % 10}
			if n >= 100 {
				p = fretboard.Position{String: n / 100, Fret: n % 100}
			}
			if n < 10 {
				return nil, expected
			}
			places = append(places, p)
		}
	default:
		return nil, expected
	}
	for _, p := range places {
		if !s.Neck.Has(p) {
			return nil, fmt.Errorf("%s is not on this neck: it has strings 1 to %d and frets 0 to %d", p.Say(), s.Neck.Tuning.Strings(), s.Neck.Last())
		}
	}
	return places, nil
}

// readFrets reads a shape as players write it, the lowest string first: "x x 8 10 11 x",
// "x32010". Bare numbers on fewer strings are something else.
func (s Setup) readFrets(answer string) ([]fretboard.Position, bool) {
	places, err := s.Neck.Tuning.ReadFrets(answer)
	off := func(p fretboard.Position) bool { return !s.Neck.Has(p) }
	return places, err == nil && len(places) > 0 && !slices.ContainsFunc(places, off)
}

// writeShape writes places as players write a shape, or one by one where two are on one
// string.
func (s Setup) writeShape(places []fretboard.Position) string {
	var taken [10]bool
	for _, p := range places {
		if taken[p.String-1] {
			return fretboard.WritePlaces(places)
		}
		taken[p.String-1] = true
	}
	return s.Neck.WriteFrets(places)
}

// integers reads the whole numbers of a text that holds besides them only
// punctuation and the words string, fret and open, which is fret 0.
func integers(text string) ([]int, error) {
	var numbers []int
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		switch word := strings.ToLower(w); word {
		case "string", "fret", "and":
		case "open":
			numbers = append(numbers, 0)
		default:
			n, err := strconv.Atoi(w)
			if err != nil || n > 999 {
				return nil, fmt.Errorf("%q is not a number of a string or fret", w)
			}
			numbers = append(numbers, n)
		}
	}
	return numbers, nil
}

// parseNotes reads count note names in order, apart by spaces or commas.
func (s Setup) parseNotes(answer string, count int) ([]theory.Note, error) {
	var notes []theory.Note
	for _, w := range theory.Fields(answer, func(r rune) bool { return unicode.IsSpace(r) || r == ',' || r == ';' }) {
		n, err := s.Names.Parse(w)
		if err != nil {
			return nil, err
		}
		notes = append(notes, n)
	}
	if len(notes) != count {
		if len(notes) == 1 {
			return nil, fmt.Errorf("%q is 1 note: use %d, in their order", answer, count)
		}
		return nil, fmt.Errorf("%q has %d notes: use %d, in their order", answer, len(notes), count)
	}
	return notes, nil
}

// parseChoice reads the number of one of the choices, or the choice itself.
func parseChoice(answer string, choices []string) (int, error) {
	if i := slices.IndexFunc(choices, func(c string) bool { return strings.EqualFold(c, answer) }); i >= 0 {
		return i, nil
	}
	n, err := strconv.Atoi(answer)
	if err != nil || n < 1 || n > len(choices) {
		return 0, fmt.Errorf("%q is none of the answers: use 1 to %d", answer, len(choices))
	}
	return n - 1, nil
}

// sameSet reports whether two lists hold the same things, in any order.
func sameSet[T comparable](a, b []T) bool {
	for _, x := range a {
		if !slices.Contains(b, x) {
			return false
		}
	}
	for _, x := range b {
		if !slices.Contains(a, x) {
			return false
		}
	}
	return true
}

// say names a place as players do; the open string has no fret.
func say(p fretboard.Position) string {
	if p.Fret == 0 {
		return fmt.Sprintf("string %d, open", p.String)
	}
	return p.Say()
}

// sayFrets joins the frets of places on one string: "fret 3 or 15".
func sayFrets(places []fretboard.Position) string {
	var words []string
	for _, p := range places {
		words = append(words, strconv.Itoa(p.Fret))
	}
	return "fret " + strings.Join(words, " or ")
}
