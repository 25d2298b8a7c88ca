// Package fretboard is music on strings: tunings, positions, shapes and parts.
//
// Its one idea is that a fret is never typed in. A shape says which chord tone
// sits on which string; the tuning at hand turns that into frets, so the same
// recipe serves standard, drop D and a capo at the third fret, or is refused
// with the reason where no hand could hold it.
//
// A [Part] is what a player has written down: [surefret/drills/fretboard/tablature]
// reads and writes it, [surefret/drills/fretboard/fingering] moves it to another key.
// What notes and chords are is the business of [surefret/drills/theory]; asking
// about them is that of [surefret/drills].
package fretboard

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"surefret/drills/theory"
)

// A Tuning holds the sounding pitch of each open string. Strings are numbered
// as players number them: string 1 is the highest, so Open[0] is string 1.
type Tuning struct {
	Name string         // "standard", the player's own, or "custom"
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

// midi returns the MIDI key number that sounds at p.
func (t Tuning) midi(p Position) int { return t.Open[p.String-1].MIDI() + p.Fret }

// String prints the open strings from the lowest to the highest, as players
// say a tuning: "E2 A2 D3 G3 B3 E4".
func (t Tuning) String() string { return t.In(theory.Names{}) }

// In is [Tuning.String] in the player's names: "E2 A2 D3 G3 H3 E4".
func (t Tuning) In(names theory.Names) string {
	var words []string
	for _, p := range slices.Backward(t.Open) {
		words = append(words, names.Pitch(p))
	}
	return strings.Join(words, " ")
}

// Called says which tuning t is, in the player's names: its name, or its open strings
// where it has none.
func (t Tuning) Called(names theory.Names) string {
	if t.Name == custom {
		return t.In(names)
	}
	return t.Name
}

// Written is how a tuning is kept and typed, which [ReadTuning] reads in the same names:
// "drop D", "C2 G2 D3 A3", "my harp: C2 G2 D3 A3".
func (t Tuning) Written(names theory.Names) string {
	if known, err := ParseTuning(t.Name); t.Name == custom || err == nil && slices.Equal(known.Open, t.Open) {
		return t.Called(names)
	}
	return t.Name + ": " + t.In(names)
}

const custom = "custom" // the name of a tuning that has none

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
	named("DADGBD", "D2 A2 D3 G3 B3 D4"),
	named("drop C", "C2 G2 C3 F3 A3 D4"),
	named("drop A", "A1 E2 A2 D3 G3 B3 E4"),
	named("open E", "E2 B2 E3 G#3 B3 E4"),
	named("all fourths", "E2 A2 D3 G3 C4 F4"),
}

func named(name, pitches string) Tuning {
	t, err := readPitches(pitches, theory.Names{})
	if err != nil {
		panic(err) // a wrong line in the table above
	}
	t.Name = name
	return t
}

// ParseTuning is [ReadTuning] in English names.
func ParseTuning(s string) (Tuning, error) { return ReadTuning(s, theory.Names{}) }

// ReadTuning reads a tuning: one of the names in [Tunings], or of some rarer ones, in any
// case and with or without spaces or hyphens, or the pitches of 3 to 10 open strings
// from the lowest to the highest, "C2 G2 D3 A3", parted by spaces or commas, as the player
// names them. Pitches that make a named tuning get its name, others the name "custom", or
// the one that stands before them and a colon.
func ReadTuning(s string, names theory.Names) (Tuning, error) {
	for _, t := range slices.Concat(Tunings, rarer) {
		if fold(t.Name) == fold(s) {
			return t.known(), nil
		}
	}
	own, pitches, given := strings.Cut(s, ":")
	if !given {
		own, pitches = custom, s
	}
	t, err := readPitches(pitches, names)
	if err != nil {
		return Tuning{}, err
	}
	if t.Name = strings.TrimSpace(own); given {
		return t, t.checkName()
	}
	return t.known(), nil
}

const longestName = 30 // of a tuning, in letters

// checkName refuses a name that cannot be told from another tuning, or not be printed.
func (t Tuning) checkName() error {
	if t.Name == "" || len([]rune(t.Name)) > longestName || strings.ContainsFunc(t.Name, unicode.IsControl) {
		return fmt.Errorf("%q is no name for a tuning: give 1 to %d letters before the colon", t.Name, longestName)
	}
	for _, known := range append(slices.Concat(Tunings, rarer), Tuning{Name: custom}) {
		if fold(known.Name) == fold(t.Name) && !slices.Equal(known.Open, t.Open) {
			return fmt.Errorf("there is a tuning called %s already: give yours another name", known.Name)
		}
	}
	return nil
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

func readPitches(s string, names theory.Names) (Tuning, error) {
	words := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == ',' || r == '\t' })
	var t Tuning
	for _, w := range words {
		p, err := names.ReadPitch(w)
		if err != nil {
			return Tuning{}, fmt.Errorf("%q is not a tuning: expected a name like %q, or the open strings from low to high, like %q", strings.TrimSpace(s), "drop D", usualStrings(names))
		}
		t.Open = append(t.Open, p)
	}
	slices.Reverse(t.Open)
	return t, t.Check()
}

// usualStrings writes the open strings of a guitar in the player's names.
func usualStrings(names theory.Names) string {
	var words []string
	for _, open := range strings.Fields("E2 A2 D3 G3 B3 E4") {
		p, _ := theory.ParsePitch(open)
		words = append(words, names.Pitch(p))
	}
	return strings.Join(words, " ")
}

// The bounds of [Tuning.Strings].
const (
	FewestStrings = 3
	MaxStrings    = 10
)

// Check returns an error, one sentence, unless t has 3 to 10 strings, no two alike, that
// sound between C0 (16 Hz) and C7 (2093 Hz).
func (t Tuning) Check() error {
	if n := len(t.Open); n < FewestStrings || n > MaxStrings {
		return fmt.Errorf("a tuning of %d strings cannot be used: give %d to %d open strings, from low to high", n, FewestStrings, MaxStrings)
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
	lower := Tuning{Name: custom}
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

// TuningOf returns the first tuning of so many strings that have these names, string 1 first.
func TuningOf(names []theory.Note) (Tuning, bool) {
	for _, t := range slices.Concat(Tunings, rarer) {
		if len(names) == len(t.Open) && NameStrings(names, t.Open) {
			return t, true
		}
	}
	return Tuning{}, false
}

// NameStrings reports whether names are those of the strings, begun again behind the last.
func NameStrings(names []theory.Note, open []theory.Pitch) bool {
	for i, n := range names {
		if !n.Enharmonic(open[i%len(open)].Note) {
			return false
		}
	}
	return true
}
