package theory

import (
	"fmt"
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

// modes holds, for each Mode, its degrees counted from the major scale, and
// the place of its signature on the line of fifths seen from a major key on
// the same tonic.
var modes = [...]struct {
	name      string
	degrees   string
	signature int
}{
	Major:           {"major", "1 2 3 4 5 6 7", 0},
	Minor:           {"minor", "1 2 b3 4 5 b6 b7", -3},
	HarmonicMinor:   {"harmonic minor", "1 2 b3 4 5 b6 7", -3},
	MelodicMinor:    {"melodic minor", "1 2 b3 4 5 6 7", -3},
	Dorian:          {"dorian", "1 2 b3 4 5 6 b7", -2},
	Phrygian:        {"phrygian", "1 b2 b3 4 5 b6 b7", -4},
	Lydian:          {"lydian", "1 2 3 #4 5 6 7", 1},
	Mixolydian:      {"mixolydian", "1 2 3 4 5 6 b7", -1},
	Locrian:         {"locrian", "1 b2 b3 4 b5 b6 b7", -5},
	MajorPentatonic: {"major pentatonic", "1 2 3 5 6", 0},
	MinorPentatonic: {"minor pentatonic", "1 b3 4 5 b7", -3},
	MajorBlues:      {"major blues", "1 2 b3 3 5 6", 0},
	Blues:           {"blues", "1 b3 4 b5 5 b7", -3},
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

// Degrees returns the degrees of m, rising from the tonic, counted from the
// major scale: the sixth of the minor is b6. 5, 6 or 7 of them.
func (m Mode) Degrees() []Degree {
	degrees := make([]Degree, 0, 7)
	for f := range strings.FieldsSeq(modes[m].degrees) {
		d, _, _ := scanDegree(f)
		degrees = append(degrees, d)
	}
	return degrees
}

// Minor reports whether the third above the tonic is minor.
func (m Mode) Minor() bool {
	switch m {
	case Minor, HarmonicMinor, MelodicMinor, Dorian, Phrygian, Locrian, MinorPentatonic, Blues:
		return true
	}
	return false
}
