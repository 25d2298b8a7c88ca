package theory

import (
	"fmt"
	"slices"
	"strings"
)

// A Mode is a scale as a pattern above its tonic. The zero value is Major.
type Mode int

// The modes that others ask for by name; modes lists them all. Melodic minor is
// its rising form; falling, it is the natural minor.
const (
	Major Mode = iota
	Minor
	HarmonicMinor
	MelodicMinor
)

// modes holds, for each Mode, its notes as places on the line of fifths seen
// from the tonic, in the order of the scale, and the place of its signature
// seen from a major key on the same tonic. Blues is the minor blues scale, with the
// flat fifth.
var modes = [...]struct {
	name      string
	places    []int
	signature int
}{
	Major:         {"major", []int{0, 2, 4, -1, 1, 3, 5}, 0},
	Minor:         {"minor", []int{0, 2, -3, -1, 1, -4, -2}, -3},
	HarmonicMinor: {"harmonic minor", []int{0, 2, -3, -1, 1, -4, 5}, -3},
	MelodicMinor:  {"melodic minor", []int{0, 2, -3, -1, 1, 3, 5}, -3},
	{"dorian", []int{0, 2, -3, -1, 1, 3, -2}, -2},
	{"phrygian", []int{0, -5, -3, -1, 1, -4, -2}, -4},
	{"lydian", []int{0, 2, 4, 6, 1, 3, 5}, 1},
	{"mixolydian", []int{0, 2, 4, -1, 1, 3, -2}, -1},
	{"locrian", []int{0, -5, -3, -1, -6, -4, -2}, -5},
	{"major pentatonic", []int{0, 2, 4, 1, 3}, 0},
	{"minor pentatonic", []int{0, -3, -1, 1, -2}, -3},
	{"major blues", []int{0, 2, -3, 4, 1, 3}, 0},
	{"blues", []int{0, -3, -1, -6, 1, -2}, -3},
}

// otherModeNames lists what is read besides the names themselves. M is major and m
// is minor, so that these are looked up before case is dropped, and after it again.
var otherModeNames = map[string]string{
	"": "major", "maj": "major", "M": "major", "ionian": "major", "dur": "major",
	"m": "minor", "min": "minor", "-": "minor", "natural minor": "minor", "aeolian": "minor", "moll": "minor",
	"minor blues": "blues", "m blues": "blues", "pentatonic": "major pentatonic", "m pentatonic": "minor pentatonic",
	"majeur": "major", "mayor": "major", "maggiore": "major",
	"mineur": "minor", "menor": "minor", "minore": "minor",
	"mineur harmonique": "harmonic minor", "menor armónica": "harmonic minor", "menor armonica": "harmonic minor", "minore armonica": "harmonic minor",
	"m harmonic": "harmonic minor", "m melodic": "melodic minor",
}

// parseMode reads the name of a mode in any case: "minor", "Harmonic Minor",
// "dorian", "aeolian", "m", "maj", "natural minor".
func parseMode(s string) (Mode, error) {
	name, ok := otherModeNames[s]
	if !ok {
		name = strings.ToLower(strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '-' }), " "))
		if other, ok := otherModeNames[name]; ok && name != "" {
			name = other
		}
	}
	for m := range modes {
		if modes[m].name == name {
			return Mode(m), nil
		}
	}
	return 0, fmt.Errorf("%q is not a mode: use major, minor, harmonic minor, melodic minor, a church mode like dorian, a pentatonic or blues", s)
}

// String returns the name of m in lower case: "major", "minor" for the natural
// minor, "harmonic minor", "dorian".
func (m Mode) String() string { return modes[m].name }

// Minor reports whether the third above the tonic is minor.
func (m Mode) Minor() bool {
	places := modes[m].places
	return slices.Contains(places, -3) && !slices.Contains(places, 4)
}
