package theory

import (
	"fmt"
	"strings"
)

// A Progression is a row of chords.
type Progression []Chord

// ParseProgression reads chords apart by spaces, commas or bar lines, each
// written as a name ("Em7"), a number ("6-") or a roman numeral ("vi"), mixed
// if need be; the last two are read in k, where in a minor key III, VI and VII
// without an accidental are the chords of its scale. A dash may join names or romans
// ("I-V-vi-IV"), % repeats the chord before, and rhythm slashes are passed
// over. The error says which chord can't be read.
func ParseProgression(s string, k Key) (Progression, error) { return Names{}.ParseProgression(s, k) }

// ParseProgression reads a progression whose chords are named in the system.
func (names Names) ParseProgression(s string, k Key) (Progression, error) {
	var p Progression
	for _, token := range Fields(s, betweenChords) {
		switch {
		case token == "/" || token == "-":
			continue
		case token == "%" && len(p) > 0:
			p = append(p, p[len(p)-1])
			continue
		}
		c, err := names.readChord(token, k)
		if err == nil {
			p = append(p, c)
			continue
		}
		joined, ok := names.splitJoined(token, k)
		if !ok {
			return nil, fmt.Errorf("reading chord %d of the progression: %w", len(p)+1, err)
		}
		p = append(p, joined...)
	}
	if len(p) == 0 {
		return nil, fmt.Errorf("%q holds no chord: expected names, numbers or roman numerals, like G D Em C, 1 5 6- 4 or I V vi IV", s)
	}
	return p, nil
}

func betweenChords(r rune) bool { return strings.ContainsRune(" \t\r\n,;|:–—→", r) }

// readChord reads one chord of either kind. A figure or a numeral, with or
// without accidentals, can't begin a chord name, save that b6 could be a
// lower-case B6: it is a degree.
func (names Names) readChord(token string, k Key) (Chord, error) {
	_, _, number := scanDegree(token)
	if _, _, _, roman := scanRoman(token); !number && !roman {
		return names.ParseChord(token)
	}
	n, err := ParseNumeral(token)
	if err != nil {
		return Chord{}, err
	}
	if !number && k.Mode.Minor() { // III is the chord of the key there; a number counts from the major scale
		n = n.FromMinor()
	}
	return k.Chord(n), nil
}

// splitJoined reads I-V-vi-IV or G-D-Em-C. Numbers stay whole: in 6-4 the
// dash could be a minor chord's own.
func (names Names) splitJoined(token string, k Key) (Progression, bool) {
	parts := strings.Split(token, "-")
	p := make(Progression, len(parts))
	for i, part := range parts {
		if _, _, number := scanDegree(part); number {
			return nil, false
		}
		c, err := names.readChord(part, k)
		if err != nil {
			return nil, false
		}
		p[i] = c
	}
	return p, len(p) > 1
}

// String prints the chord names, apart by spaces: "G D Em C".
func (p Progression) String() string { return p.join(Chord.String) }

func (p Progression) join(print func(Chord) string) string {
	words := make([]string, len(p))
	for i, c := range p {
		words[i] = print(c)
	}
	return strings.Join(words, " ")
}

// Move returns p moved from one key to another: every chord keeps its number,
// and its spelling follows the new key.
func (p Progression) Move(from, to Key) Progression {
	moved := make(Progression, len(p))
	iv := from.To(to)
	for i, c := range p {
		moved[i] = c.transpose(iv)
	}
	return moved
}
