// Package fretboard is music on strings: tunings, positions, shapes, walk-ups
// and parts, and how to move them to another key.
//
// Its one idea is that a fret is never typed in. A shape says which chord tone
// sits on which string; the tuning at hand turns that into frets, so the same
// recipe serves standard, drop D and a capo at the third fret, or is refused
// with the reason where no hand could hold it.
package fretboard

import (
	"fmt"
	"strings"

	"surefret/drills/theory"
)

// A Tuning holds the sounding pitch of each open string. Strings are numbered
// as players number them: string 1 is the highest, so Open[0] is string 1.
type Tuning struct {
	Name string         // "standard", or "custom"
	Open []theory.Pitch // string 1 first
}

// A Position is a place on the neck: a string, numbered from 1 for the
// highest, and a fret, 0 for the open string.
type Position struct {
	String, Fret int
}

// Say returns p as players say it: "string 6, fret 3".
func (p Position) Say() string { return fmt.Sprintf("string %d, fret %d", p.String, p.Fret) }

// Strings returns how many strings t has.
func (t Tuning) Strings() int { return len(t.Open) }

// MIDI returns the MIDI key number that sounds at p.
func (t Tuning) MIDI(p Position) int { return t.Open[p.String-1].MIDI() + p.Fret }

// String prints the open strings from the lowest to the highest, as players
// say a tuning: "E2 A2 D3 G3 B3 E4".
func (t Tuning) String() string {
	var b strings.Builder
	for i := len(t.Open) - 1; i >= 0; i-- {
		b.WriteString(t.Open[i].String())
		if i > 0 {
			b.WriteByte(' ')
		}
	}
	return b.String()
}

// Fretboard is a tuned neck: the tuning, how many frets it has, and the fret
// that a capo holds down, 0 for none.
type Fretboard struct {
	Tuning Tuning
	Frets  int // 12 to 36
	Capo   int
}
