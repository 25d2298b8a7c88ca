package theory

import (
	"fmt"
	"strings"
)

// A System is a way to name the seven letters.
type System int

// The note-name systems. Solfege is fixed do, as in the Romance languages,
// where Do is always C. German calls B natural H and B flat B, and writes its
// accidentals as endings: Cis, Es, Fisis.
const (
	English System = iota
	Solfege
	German
)

// Names says how notes are called. The zero value has the English names. It writes
// accidentals in ASCII, "F#", "Bb", and reads signs and words as well.
type Names struct {
	System System
}

var (
	solfege = [7]string{"Do", "Re", "Mi", "Fa", "Sol", "La", "Si"}

	// solfegeRead lists what is read besides, longest first where one name
	// begins another.
	solfegeRead = []struct {
		text   string
		letter Letter
	}{
		{"sol", G}, {"ré", D}, {"do", C}, {"ut", C}, {"re", D}, {"mi", E}, {"fa", F}, {"la", A}, {"si", B}, {"ti", B},
	}
)

// Note writes n.
func (names Names) Note(n Note) string {
	switch names.System {
	case Solfege:
		return solfege[n.Letter] + accidental(n.Alter)
	case German:
		return german(n)
	}
	return n.Letter.String() + accidental(n.Alter)
}

// Pitch writes p with its octave in scientific pitch notation.
func (names Names) Pitch(p Pitch) string { return fmt.Sprint(names.Note(p.Note), p.Octave) }

// Key writes k: "Eb major", "Mib major", "Es major".
func (names Names) Key(k Key) string { return names.Note(k.Tonic) + " " + k.Mode.String() }

// Chord writes c: "Bm7b5/A", "Sim7b5/La", "Hm7b5/A".
func (names Names) Chord(c Chord) string {
	s := names.Note(c.Root) + c.Quality.String()
	if c.Slashed() {
		s += "/" + names.Note(c.Bass())
	}
	return s
}

// Parse reads a note in the system, in either case and with either kind of
// accidentals or one in words. German reads the symbols too ("F#", "Eb"), except
// B#, which could be either B.
func (names Names) Parse(s string) (Note, error) {
	n, rest, ok := names.scan(s)
	if !ok || rest != "" {
		return Note{}, fmt.Errorf("%q is not a note: use %s", s, names.expected())
	}
	return n, nil
}

func (names Names) expected() string {
	switch names.System {
	case Solfege:
		return "Do Re Mi Fa Sol La or Si and up to two sharps or flats, like Fa# or Sib"
	case German:
		return "a letter A to H and up to two endings, like Fis, Es or B"
	}
	return "a letter A to G and up to two sharps or flats, like F# or Bb"
}

// scan reads a note from the front of s and returns what follows it.
func (names Names) scan(s string) (n Note, rest string, ok bool) {
	switch names.System {
	case Solfege:
		for _, name := range solfegeRead {
			if len(s) >= len(name.text) && strings.EqualFold(s[:len(name.text)], name.text) {
				alter, rest, ok := scanAlter(s[len(name.text):])
				return Note{name.letter, alter}, rest, ok
			}
		}
		return Note{}, "", false
	case German:
		return scanGerman(s)
	}
	return scanNote(s)
}

// german writes n with endings: -is for a sharp, -es for a flat, shortened
// after the vowels A and E.
func german(n Note) string {
	letter, ending := n.Letter.String(), "es"
	switch {
	case n == Note{B, -1}:
		return "B"
	case n.Letter == B:
		letter = "H"
	case n.Letter == A, n.Letter == E:
		ending = "s"
	}
	if n.Alter >= 0 {
		return letter + strings.Repeat("is", n.Alter)
	}
	return letter + ending + strings.Repeat("es", -n.Alter-1)
}

// scanGerman reads the endings, or symbols where there are none. The s of sus
// is no flat: Asus4 is a chord on A.
func scanGerman(s string) (n Note, rest string, ok bool) {
	if s == "" {
		return Note{}, "", false
	}
	letter, rest := s[0]&^0x20, s[1:]
	if letter == 'H' {
		n.Letter = B
	} else if l := strings.IndexByte("CDEFGAB", letter); l >= 0 {
		n.Letter = Letter(l)
	} else {
		return Note{}, "", false
	}
	next := func(ending string) bool {
		if len(rest) < len(ending) || !strings.EqualFold(rest[:len(ending)], ending) {
			return false
		}
		for _, other := range []string{"sus", "sharp"} {
			if len(rest) >= len(other) && strings.EqualFold(rest[:len(other)], other) {
				return false
			}
		}
		rest = rest[len(ending):]
		return true
	}
	if letter == 'B' {
		// Bb is how German jazz charts make sure; any other accidental on B
		// could start from either note.
		n.Alter = -1
		alter, after, ok := scanAlter(rest)
		sure := alter == -1 || alter == 0 && after == rest
		rest = after
		return n, rest, ok && sure && !next("es") && !next("is")
	}
	for n.Alter < 2 && next("is") {
		n.Alter++
	}
	if n.Alter > 0 {
		return n, rest, true
	}
	if n.Letter == A || n.Letter == E {
		if next("s") {
			n.Alter = -1
			if next("es") || n.Letter == A && next("as") {
				n.Alter = -2
			}
			return n, rest, true
		}
	} else {
		for n.Alter > -2 && next("es") {
			n.Alter--
		}
		if n.Alter < 0 {
			return n, rest, true
		}
	}
	n.Alter, rest, ok = scanAlter(rest)
	return n, rest, ok
}

// ReadNote reads a note as a player names it, or else in English, which what is
// printed for everyone is in.
func (names Names) ReadNote(text string) (Note, error) {
	n, err := names.Parse(text)
	if err != nil {
		if n, english := ParseNote(text); english == nil {
			return n, nil
		}
	}
	return n, err
}

// ReadKey is [Names.ReadNote] for keys, and reads one as any other system writes it where
// that alone can be meant: "Sol mineur", "as-Moll".
func (names Names) ReadKey(text string) (Key, error) {
	k, known, err := names.scanKey(text)
	for _, other := range []System{English, Solfege, German} {
		if known || other == German && len(text) == 1 { // a lone H is a slip of the finger
			break
		}
		if there, read, wrong := (Names{other}).scanKey(text); read {
			k, known, err = there, read, wrong
		}
	}
	return k, err
}

// ReadPitch is [Names.ReadNote] for a note with its octave, like E2 or Mi2.
func (names Names) ReadPitch(text string) (Pitch, error) {
	name := strings.TrimRight(text, "-0123456789")
	octave := text[len(name):]
	if n, err := names.Parse(name); err == nil {
		text = n.String() + octave
	}
	return ParsePitch(text)
}
