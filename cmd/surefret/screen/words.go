package screen

import (
	"strconv"
	"strings"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// words lists all that can be answered to a question, nil where it is typed freely.
func words(q drills.Question, neck fretboard.Fretboard, system theory.System) (all []string) {
	frets := func(before string) {
		for f := range neck.Last() + 1 {
			all = append(all, before+strconv.Itoa(f))
		}
	}
	switch q.Expect {
	case drills.ExpectNote:
		return noteWords(system)
	case drills.ExpectFret:
		frets("")
	case drills.ExpectChoice:
		for i := range q.Choices {
			all = append(all, strconv.Itoa(i+1))
		}
	case drills.ExpectPlaces, drills.ExpectPath:
		if len(q.On) > 0 {
			frets("") // of the string whose turn it is
		}
		for s := range neck.Tuning.Strings() {
			frets(strconv.Itoa(s+1) + "/")
		}
	}
	return all
}

// noteWords lists the note names that can be typed, in lower case, with at most
// one sharp or flat, or the double sharp x where letters are English.
func noteWords(system theory.System) []string {
	var words []string
	switch system {
	case theory.German:
		for _, l := range strings.Fields("c d e f g a h") {
			words = append(words, l, l+"is")
		}
		for _, l := range strings.Fields("c d f g h") {
			words = append(words, l+"es")
		}
		return append(words, "es", "as", "b", "bb")
	case theory.Solfege:
		for _, l := range strings.Fields("do re ré mi fa sol la si ti ut") {
			words = append(words, l, l+"#", l+"b")
		}
	default:
		for _, l := range strings.Fields("c d e f g a b") {
			words = append(words, l, l+"#", l+"b", l+"x")
		}
	}
	return words
}
