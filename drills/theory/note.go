// Package theory is pure music: spelled notes, pitches, intervals, keys,
// chords and degrees. It knows no guitar.
//
// Its one idea is that an interval is a vector, a signed pair of letter steps
// and semitones. Transposing adds both numbers; the accidental is what is left
// over. Nothing here looks a spelling up in a table of special cases, so C flat
// in G flat major and B sharp in C sharp major fall out like any other note.
//
// The same idea goes on upwards. A mode is a pattern of places on the line of
// fifths, on which a Note has its place; a Key is a tonic and a mode; the
// Quality of a Chord is a set of tones above its root; and a Numeral is a
// chord with its root counted from the tonic, the same in every key. All of
// them are small comparable values whose zero means something: the note C, the
// unison, the key of C major, the C major triad.
//
// What is read from players is forgiving, what is printed has one form, and
// what is printed reads back as the same value. Names says how notes are
// called: English, fixed-do solfège, German.
package theory

import (
	"slices"
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

// fifths holds each letter's place on the line of fifths F C G D A E B.
var fifths = [7]int{0, 2, 4, -1, 1, 3, 5}

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
// Names prints the other systems.
func (n Note) String() string { return n.Letter.String() + accidental(n.Alter) }

// fifths returns the place of n on the line of fifths, where C is 0, each
// fifth up adds 1 and each sharp 7: F is -1, G is 1, F# is 6, Gb is -6. Notes
// close together there belong to the same keys.
func (n Note) fifths() int { return fifths[n.Letter] + 7*n.Alter }

// noteAt returns the note at a place on the line of fifths: the inverse of
// fifths. Places -15 to 19 (Fbb to B##) need no more than two accidentals.
func noteAt(place int) Note {
	return Note{Letter: Letter(mod(4*place, 7)), Alter: floorDiv(place+1, 7)}
}

// simplest returns the note that sounds as n with the fewest accidentals, of
// the same kind where there is a choice: C## is D, B# is C, and F# stays F#.
func (n Note) simplest() Note {
	step := -12 // the same sound, twelve fifths back
	if n.Alter < 0 {
		step = 12
	}
	for {
		m := noteAt(n.fifths() + step)
		if abs(m.Alter) >= abs(n.Alter) {
			return n
		}
		n = m
	}
}

// writable returns n itself when it can be written with two accidentals or
// fewer, and its simplest spelling when it can't: past the double sharp there
// is nothing left to read.
func (n Note) writable() Note {
	if abs(n.Alter) <= 2 {
		return n
	}
	return n.simplest()
}

// ParseNote reads an English note name: a letter in either case, then up to
// two accidentals of one kind, written #, ♯, x, 𝄪, b, ♭ or 𝄫, or one in words:
// "F sharp". It returns an error that says what was expected for anything else.
func ParseNote(s string) (Note, error) { return Names{}.Parse(s) }

// scanNote reads an English note from the front of s and returns what follows.
func scanNote(s string) (n Note, rest string, ok bool) {
	if s == "" {
		return Note{}, "", false
	}
	l := strings.IndexByte("CDEFGAB", s[0]&^0x20)
	if l < 0 {
		return Note{}, "", false
	}
	alter, rest, ok := scanAlter(s[1:])
	return Note{Letter(l), alter}, rest, ok
}

// scanAlter reads accidentals from the front of s, as far as they go: signs, or one
// in words. Mixed ones, and more than two, are not ok.
func scanAlter(s string) (alter int, rest string, ok bool) {
	if alter, rest, ok := scanApart(s); ok {
		return alter, rest, true
	}
	for s != "" {
		step, size := 0, 0
		for _, a := range accidentals {
			if strings.HasPrefix(s, a.text) {
				step, size = a.alter, len(a.text)
				break
			}
		}
		if size == 0 {
			break
		}
		if step*alter < 0 || abs(alter+step) > 2 {
			return 0, "", false
		}
		alter += step
		s = s[size:]
	}
	return alter, s, true
}

// scanApart reads an accidental that stands apart from its letter: in words, as
// some type and others dictate ("F sharp", "B-flat"), or a sign after a space. A b
// or an x after a space is no accidental: it could be a note or a string not played.
func scanApart(s string) (alter int, rest string, ok bool) {
	if s == "" || strings.IndexByte(" -sfdbnSFDBN", s[0]) < 0 {
		return 0, "", false // nothing that could begin one, which is most of what is read
	}
	word := strings.TrimLeft(s, " -")
	for _, a := range accidentalWords {
		if len(word) >= len(a.text) && strings.EqualFold(word[:len(a.text)], a.text) {
			return a.alter, word[len(a.text):], true
		}
	}
	for _, sign := range []string{"#", "♯", "♭"} {
		if s[0] == ' ' && strings.HasPrefix(word, sign) {
			return scanAlter(word)
		}
	}
	return 0, "", false
}

// Fields splits a row of notes or chords at the runes that between holds. What
// belongs to a name but stands apart stays with it: "F sharp minor G" has two.
func Fields(s string, between func(rune) bool) []string {
	var names []string
	for _, word := range strings.FieldsFunc(s, between) {
		_, rest, ok := scanApart(" " + word)
		apart := ok && rest == "" || slices.Contains([]string{"double", "minor", "major"}, strings.ToLower(word))
		if last := len(names) - 1; apart && last >= 0 {
			names[last] += " " + word
		} else {
			names = append(names, word)
		}
	}
	return names
}

// accidental writes an alteration: "", "#", "bb".
func accidental(alter int) string {
	if alter < 0 {
		return strings.Repeat("b", -alter)
	}
	return strings.Repeat("#", alter)
}

var accidentals = []struct {
	text  string
	alter int
}{
	{"#", 1}, {"♯", 1}, {"x", 2}, {"𝄪", 2}, {"b", -1}, {"♭", -1}, {"𝄫", -2},
}

// accidentalWords are English and those of the languages that call notes Do Re Mi,
// longer ones before those that begin them.
var accidentalWords = []struct {
	text  string
	alter int
}{
	{"double sharp", 2}, {"double flat", -2}, {"sharp", 1}, {"flat", -1}, {"natural", 0},
	{"dièse", 1}, {"diese", 1}, {"diesis", 1}, {"sostenido", 1}, {"sustenido", 1},
	{"bemolle", -1}, {"bémol", -1}, {"bemol", -1},
}

func mod(a, n int) int { return ((a % n) + n) % n }

func floorDiv(a, n int) int { return (a - mod(a, n)) / n }

func abs(a int) int { return max(a, -a) }
