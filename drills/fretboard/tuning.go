// Package fretboard is music on strings: tunings, positions, shapes, walk-ups
// and parts, and how to move them to another key.
//
// Its one idea is that a fret is never typed in. A shape says which chord tone
// sits on which string; the tuning at hand turns that into frets, so the same
// recipe serves standard, drop D and a capo at the third fret, or is refused
// with the reason where no hand could hold it.
//
// A [Part] is what a player has written down; [ParseTab] reads one. Moving it to
// another key is one search over whole phrases for what keeps most of what is in
// the hand ([Part.Move]). Whatever a move breaks is told, and nothing is dropped.
//
// What notes and chords are is the business of [surefret/drills/theory]; asking
// about them is that of [surefret/drills].
package fretboard

import (
	"fmt"
	"slices"
	"strconv"
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
	String int `json:"string"`
	Fret   int `json:"fret"`
}

// WritePlaces writes places as players type them, string/fret: "6/3 3/4".
func WritePlaces(places []Position) string {
	words := make([]string, len(places))
	for i, p := range places {
		words[i] = strconv.Itoa(p.String) + "/" + strconv.Itoa(p.Fret)
	}
	return strings.Join(words, " ")
}

// Say returns p as players say it: "string 6, fret 3".
func (p Position) Say() string {
	return "string " + strconv.Itoa(p.String) + ", fret " + strconv.Itoa(p.Fret)
}

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

// The tunings that players call by name.
var (
	Standard      = named("standard", "E2 A2 D3 G3 B3 E4")
	HalfStepDown  = named("half step down", "Eb2 Ab2 Db3 Gb3 Bb3 Eb4")
	WholeStepDown = named("whole step down", "D2 G2 C3 F3 A3 D4")
	DropD         = named("drop D", "D2 A2 D3 G3 B3 E4")
	DADGAD        = named("DADGAD", "D2 A2 D3 G3 A3 D4")
	OpenG         = named("open G", "D2 G2 D3 G3 B3 D4")
	OpenD         = named("open D", "D2 A2 D3 F#3 A3 D4")
	SevenStrings  = named("seven strings", "B1 E2 A2 D3 G3 B3 E4")
	Bass          = named("bass", "E1 A1 D2 G2")
	FiveBass      = named("five-string bass", "B0 E1 A1 D2 G2")
)

// Tunings lists the named tunings, the commonest first.
var Tunings = []Tuning{
	Standard, HalfStepDown, WholeStepDown, DropD, DADGAD, OpenG, OpenD, SevenStrings, Bass, FiveBass,
}

// rarer are other tunings that players call by name, in the words of the trade. Double
// drop D tunes both outer strings down; DADGBE names drop D by its strings.
var rarer = []Tuning{
	named("DADGBE", "D2 A2 D3 G3 B3 E4"),
	named("double drop D", "D2 A2 D3 G3 B3 D4"),
	named("drop C", "C2 G2 C3 F3 A3 D4"),
	named("drop A", "A1 E2 A2 D3 G3 B3 E4"),
	named("open E", "E2 B2 E3 G#3 B3 E4"),
	named("all fourths", "E2 A2 D3 G3 C4 F4"),
}

func named(name, pitches string) Tuning {
	t, err := parsePitches(pitches)
	if err != nil {
		panic(err) // a wrong line in the table above
	}
	t.Name = name
	return t
}

// ParseTuning reads a tuning: one of the names in [Tunings], or of some rarer ones, in any case and
// with or without spaces or hyphens, or the pitches of 3 to 10 open strings
// from the lowest to the highest, "C2 G2 D3 A3", parted by spaces or commas.
// Pitches that make a named tuning get its name, others the name "custom".
func ParseTuning(s string) (Tuning, error) {
	for _, t := range slices.Concat(Tunings, rarer) {
		if fold(t.Name) == fold(s) {
			return t.known(), nil
		}
	}
	t, err := parsePitches(s)
	if err != nil {
		return Tuning{}, err
	}
	t.Name = "custom"
	return t.known(), nil
}

// known returns the tuning under the first name that its pitches have.
func (t Tuning) known() Tuning {
	for _, known := range slices.Concat(Tunings, rarer) {
		if slices.Equal(known.Open, t.Open) {
			return known
		}
	}
	return t
}

// fold drops what people write differently in one and the same name.
func fold(s string) string {
	return strings.NewReplacer(" ", "", "-", "", "_", "").Replace(strings.ToLower(s))
}

func parsePitches(s string) (Tuning, error) {
	words := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == ',' || r == '\t' })
	var t Tuning
	for _, w := range words {
		p, err := theory.ParsePitch(w)
		if err != nil {
			return Tuning{}, fmt.Errorf("%q is not a tuning: expected a name like %q, or the open strings from low to high, like %q", s, "drop D", "E2 A2 D3 G3 B3 E4")
		}
		t.Open = append(t.Open, p)
	}
	slices.Reverse(t.Open)
	return t, t.Check()
}

// Check returns an error, one sentence, unless t has 3 to 10 strings, no two alike, that
// sound between C0 (16 Hz) and C7 (2093 Hz).
func (t Tuning) Check() error {
	if n := len(t.Open); n < 3 || n > 10 {
		return fmt.Errorf("a tuning of %d strings cannot be used: give 3 to 10 open strings, from low to high", n)
	}
	for i, p := range t.Open {
		if p.MIDI() < 12 || p.MIDI() > 96 {
			return fmt.Errorf("string %d tuned to %s cannot be used: give a pitch from C0 to C7", i+1, p)
		}
		for j, q := range t.Open[:i] {
			if q.MIDI() == p.MIDI() { // an item names its string by the pitch
				return fmt.Errorf("strings %d and %d are both tuned to %s: give each string a pitch of its own", i+1, j+1, p)
			}
		}
	}
	return nil
}

// Down returns t with every string tuned n semitones lower, -n higher; its
// strings are spelled with flats when it goes down and sharps when it goes up.
func (t Tuning) Down(n int) Tuning {
	lower := Tuning{Name: "custom"}
	for _, p := range t.Open {
		lower.Open = append(lower.Open, theory.FromMIDI(p.MIDI()-n, n > 0))
	}
	for _, known := range Tunings {
		if slices.EqualFunc(known.Open, lower.Open, func(a, b theory.Pitch) bool { return a.MIDI() == b.MIDI() }) {
			return known
		}
	}
	return lower
}
