package theory

import (
	"fmt"
	"slices"
	"strings"
)

// A Mode is a scale as a pattern above its tonic. The zero value is Major.
type Mode int

// The modes. Ionian and Aeolian are other names for major and natural minor.
// Melodic minor is its rising form; falling, it is the natural minor. Blues is
// the minor blues scale, with the flat fifth.
const (
	Major Mode = iota
	Minor
	HarmonicMinor
	MelodicMinor
	Dorian
	Phrygian
	Lydian
	Mixolydian
	Locrian
	MajorPentatonic
	MinorPentatonic
	MajorBlues
	Blues

	Ionian  = Major
	Aeolian = Minor
)

// modes holds, for each Mode, its notes as places on the line of fifths seen
// from the tonic, in the order of the scale, and the place of its signature
// seen from a major key on the same tonic.
var modes = [...]struct {
	name      string
	places    []int
	signature int
}{
	Major:           {"major", []int{0, 2, 4, -1, 1, 3, 5}, 0},
	Minor:           {"minor", []int{0, 2, -3, -1, 1, -4, -2}, -3},
	HarmonicMinor:   {"harmonic minor", []int{0, 2, -3, -1, 1, -4, 5}, -3},
	MelodicMinor:    {"melodic minor", []int{0, 2, -3, -1, 1, 3, 5}, -3},
	Dorian:          {"dorian", []int{0, 2, -3, -1, 1, 3, -2}, -2},
	Phrygian:        {"phrygian", []int{0, -5, -3, -1, 1, -4, -2}, -4},
	Lydian:          {"lydian", []int{0, 2, 4, 6, 1, 3, 5}, 1},
	Mixolydian:      {"mixolydian", []int{0, 2, 4, -1, 1, 3, -2}, -1},
	Locrian:         {"locrian", []int{0, -5, -3, -1, -6, -4, -2}, -5},
	MajorPentatonic: {"major pentatonic", []int{0, 2, 4, 1, 3}, 0},
	MinorPentatonic: {"minor pentatonic", []int{0, -3, -1, 1, -2}, -3},
	MajorBlues:      {"major blues", []int{0, 2, -3, 4, 1, 3}, 0},
	Blues:           {"blues", []int{0, -3, -1, -6, 1, -2}, -3},
}

// modeNames lists what is read besides the names themselves.
var modeNames = map[string]Mode{
	"": Major, "maj": Major, "M": Major, "ionian": Major, "dur": Major,
	"m": Minor, "min": Minor, "-": Minor, "natural minor": Minor, "aeolian": Minor, "moll": Minor,
	"minor blues": Blues, "pentatonic": MajorPentatonic,
	"m harmonic": HarmonicMinor, "m melodic": MelodicMinor, "m pentatonic": MinorPentatonic, "m blues": Blues,
}

// Modes returns every mode once, in the order of their declaration.
func Modes() []Mode {
	all := make([]Mode, len(modes))
	for i := range all {
		all[i] = Mode(i)
	}
	return all
}

// ParseMode reads the name of a mode in any case: "minor", "Harmonic Minor",
// "dorian", "aeolian", "m", "maj", "natural minor".
func ParseMode(s string) (Mode, error) {
	if m, ok := modeNames[s]; ok { // before folding: M is major, m is minor
		return m, nil
	}
	folded := strings.ToLower(strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '-' }), " "))
	for m := range modes {
		if modes[m].name == folded {
			return Mode(m), nil
		}
	}
	if m, ok := modeNames[folded]; ok && folded != "" {
		return m, nil
	}
	return 0, fmt.Errorf("%q is not a mode: expected major, minor, harmonic minor, melodic minor, a church mode like dorian, a pentatonic or blues", s)
}

// String returns the name of m in lower case: "major", "minor" for the natural
// minor, "harmonic minor", "dorian".
func (m Mode) String() string { return modes[m].name }

// Minor reports whether the third above the tonic is minor.
func (m Mode) Minor() bool {
	places := modes[m].places
	return slices.Contains(places, -3) && !slices.Contains(places, 4)
}
