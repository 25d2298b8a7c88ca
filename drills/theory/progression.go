package theory

import "strings"

// A Progression is a row of chords.
type Progression []Chord

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
