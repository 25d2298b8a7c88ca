package drills

import (
	"fmt"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// Where somebody begins who does not know the names of the notes.

// firstNotes is how many natural notes come before all others: five, E F G A B on a
// guitar. Four of them lie up to fret 5, since no string has more there.
const firstNotes = 5

// amongFirst reports whether a note is one of the first of a beginner: the lowest
// natural notes of the lowest string.
func (s Setup) amongFirst(str, up int) bool {
	if !s.Beginner || str != s.Neck.Tuning.Strings() || !natural(s.Neck.MIDI(fretboard.Position{String: str, Fret: up})) {
		return false
	}
	n := 0
	for fret := range up + 1 {
		if natural(s.Neck.MIDI(fretboard.Position{String: str, Fret: fret})) {
			n++
		}
	}
	return n <= firstNotes
}

// RootsMet reports whether every sharp and flat of the two lowest strings was asked:
// until then [Setup.Naturals] keeps a beginner to the roots that he has.
func (c *Catalogue) RootsMet(asked func(id string) bool) bool {
	for _, it := range c.items {
		if it.Family == "note" && it.Stage == stageLowOthers && !asked(it.ID) {
			return false
		}
	}
	return true
}

// Primer is what a player is told who does not know the names of the notes: the
// instrument and its notes, in a lesson of no item.
func (c *Catalogue) Primer() Lesson {
	s := c.setup
	strs := lowFirst(s.Neck.Tuning)
	low := strs[0]
	l := Lesson{Title: "The neck and its notes"}
	letter := func(n theory.Letter) string { return s.Names.Note(theory.Note{Letter: n}) }
	l.Pattern = fmt.Sprintf("Frets are the metal bars; the neck begins at the nut. "+
		"Notes go from %s to %s and begin again. A fret up is a half step: two from letter to letter, but one from %s to %s and %s to %s. "+
		"Sharp is a fret up, flat a fret down. The root names the chord",
		letter(theory.A), letter(theory.G), letter(theory.B), letter(theory.C), letter(theory.E), letter(theory.F))
	var open, first []string
	var midis []int
	for _, str := range strs {
		at := fretboard.Position{String: str}
		open = append(open, s.Names.Note(s.noteAt(at, s.Flats)))
		midis = append(midis, s.Neck.MIDI(at))
		if str != low {
			l.Marks = append(l.Marks, s.named(s.noteAt(at, s.Flats), at)...)
		}
	}
	for up := range 12 {
		at := fretboard.Position{String: low, Fret: up}
		if n := s.noteAt(at, s.Flats); up <= 5 && natural(s.Neck.MIDI(at)) {
			first = append(first, s.Names.Note(n))
			l.Marks = append(l.Marks, s.named(n, at)...)
		}
	}
	l.Here = fmt.Sprintf("The open strings, thick to thin: %s. Up string %d to fret 5: %s", strings.Join(open, " "), low, strings.Join(first, " "))
	l.Heard = row(midis)
	return l
}
