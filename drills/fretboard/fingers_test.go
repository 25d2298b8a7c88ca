package fretboard

import (
	"bytes"
	"slices"
	"strconv"
	"strings"
	"testing"

	"surefret/drills/theory"
	"surefret/testdata/oracle"
)

// otherwise are the forms that the books have, and hold otherwise than we do.
var otherwise = map[string]string{
	"e-form-7sus4, open": "middle and ring; we have index and middle",
	"a-form-7sus4, open": "middle and ring; we have index and middle",
	"c-form-minor, open": "middle and little finger; we have a finger a fret",
	"d-form-sus2, moved": "a barre; we have a finger for each",
	"c-form-m7, open":    "middle, ring and little finger; we have index, middle and ring",
	"g-form-maj7, moved": "the little finger on string 1; we have it on string 6",
}

// Two books of chord diagrams, chords-db 0.5.1 and jtab 1.3.2, say which finger stops
// what: each form that they have is held as one of them has it, at some place on the
// neck, but for those that are named.
func TestFormsAreFingeredAsInBooksOfChords(t *testing.T) {
	books := map[string]map[string]bool{} // by frets, then by fingers
	for line := range bytes.Lines(oracle.Table(t, "fingers.txt.gz")) {
		chord := strings.Split(string(line), ";")
		if books[chord[0]] == nil {
			books[chord[0]] = map[string]bool{}
		}
		books[chord[0]][chord[1]] = true
	}
	agreed := map[string]bool{} // by form: whether a book holds it so
	ours := map[string]string{}
	compared := 0
	for _, s := range Shapes {
		for up := range 12 {
			for _, p := range s.On(guitar, note(t, "C").Add(theory.Chromatic(up))) {
				fingers := books[p.String()]
				if fingers == nil || len(p.Notes) < 4 {
					continue
				}
				compared++
				form := s.Name + ", moved"
				if strings.Contains(" "+p.String()+" ", " 0 ") {
					form = s.Name + ", open"
				}
				var held []int
				for _, n := range p.Notes {
					held = append(held, n.Finger)
				}
				agreed[form] = agreed[form] || fingers[spellInts(held)]
				if !fingers[spellInts(held)] {
					ours[form] = p.String() + ", by us " + spellInts(held)
				}
			}
		}
	}
	if compared < 250 {
		t.Errorf("%d forms are compared", compared)
	}
	for form, same := range agreed {
		if _, named := otherwise[form]; same == named {
			t.Errorf("%s: as in a book: %v, named as held otherwise: %v: %s", form, same, named, ours[form])
		}
	}
	moved := false
	for at, g := range exceptions {
		var frets []string
		for str := 6; str >= 1; str-- {
			frets = append(frets, strings.ReplaceAll(strconv.Itoa(int(at[str])), "-1", "x"))
		}
		held := books[strings.Join(frets, " ")][spellInts(g.fingers)]
		if moved = moved || held; !held && slices.Contains(frets, "0") {
			t.Errorf("%v is held %v as in no book", frets, g.fingers)
		}
	}
	if !moved {
		t.Error("the moved exception is held as in no book")
	}
}

func TestTheTableOfFingersCanBeMadeAgain(t *testing.T) {
	oracle.MakeAgain(t, "fingers.txt.gz", "fingers.mjs")
}
