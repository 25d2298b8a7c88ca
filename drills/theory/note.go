// Package theory is pure music: spelled notes, pitches, intervals, keys,
// chords and degrees. It knows no guitar.
//
// Its one idea is that an interval is a vector, a signed pair of letter steps
// and semitones. Transposing adds both numbers; the accidental is what is left
// over. Nothing here looks a spelling up in a table of special cases, so C flat
// in G flat major and B sharp in C sharp major fall out like any other note.
package theory

import (
	"fmt"
	"strings"
)

// A Letter is one of the seven note letters, counted from C: 0 is C, 6 is B.
type Letter int

// The letters in the order of the octave, which starts on C.
const (
	C Letter = iota
	D
	E
	F
	G
	A
	B
)

// naturals holds the semitones of each letter above C.
var naturals = [7]int{0, 2, 4, 5, 7, 9, 11}

// String returns the letter's English name, "C" to "B".
func (l Letter) String() string { return "CDEFGAB"[l : l+1] }

// A Note is a spelled pitch class: a letter and its accidentals. F sharp and
// G flat are two notes that sound alike. The zero value is C.
type Note struct {
	Letter Letter
	Alter  int // semitones added by accidentals: -2 double flat to 2 double sharp
}

// PitchClass returns the semitones of n above C, 0 to 11; enharmonic notes
// share one.
func (n Note) PitchClass() int { return mod(naturals[n.Letter]+n.Alter, 12) }

// Enharmonic reports whether n and m sound the same in some octave.
func (n Note) Enharmonic(m Note) bool { return n.PitchClass() == m.PitchClass() }

// String prints n in English with ASCII accidentals: "F#", "Bb", "F##", "Ebb".
func (n Note) String() string {
	if n.Alter < 0 {
		return n.Letter.String() + strings.Repeat("b", -n.Alter)
	}
	return n.Letter.String() + strings.Repeat("#", n.Alter)
}

// ParseNote reads an English note name: a letter in either case, then up to
// two accidentals written #, ♯, x, 𝄪, b, ♭ or 𝄫. It returns an error that says
// what was expected for anything else.
func ParseNote(s string) (Note, error) {
	n, rest, err := scanNote(s)
	if err == nil && rest != "" {
		err = fmt.Errorf("%q is not a note: expected a letter A to G and up to two sharps or flats, like F# or Bb", s)
	}
	if err != nil {
		return Note{}, err
	}
	return n, nil
}

// scanNote reads a note from the front of s and returns what follows it.
func scanNote(s string) (Note, string, error) {
	bad := fmt.Errorf("%q is not a note: expected a letter A to G and up to two sharps or flats, like F# or Bb", s)
	if s == "" {
		return Note{}, "", bad
	}
	l := strings.IndexByte("CDEFGAB", s[0]&^0x20)
	if l < 0 {
		return Note{}, "", bad
	}
	n, rest := Note{Letter: Letter(l)}, s[1:]
	for rest != "" {
		alter, size := 0, 0
		for _, a := range accidentals {
			if strings.HasPrefix(rest, a.text) {
				alter, size = a.alter, len(a.text)
				break
			}
		}
		if size == 0 {
			break
		}
		if alter*n.Alter < 0 || n.Alter+alter > 2 || n.Alter+alter < -2 {
			return Note{}, "", bad
		}
		n.Alter += alter
		rest = rest[size:]
	}
	return n, rest, nil
}

var accidentals = []struct {
	text  string
	alter int
}{
	{"#", 1}, {"♯", 1}, {"x", 2}, {"𝄪", 2}, {"b", -1}, {"♭", -1}, {"𝄫", -2},
}

func mod(a, n int) int { return ((a % n) + n) % n }

func floorDiv(a, n int) int { return (a - mod(a, n)) / n }
