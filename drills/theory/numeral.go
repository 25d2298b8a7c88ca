package theory

import (
	"fmt"
	"strings"
)

// A Numeral is a chord seen from the key: the degree of its root, counted from
// the major scale, and its quality. It is comparable, and the same in every
// key.
type Numeral struct {
	Degree  // of the root; in an applied chord, within the key of of
	Quality Quality
	Over    Interval // slash bass above the root, as in Chord
	of      applied  // V/V: the degree that this chord leads to; zero if none
}

// An applied is the chord that a secondary dominant leads to, reduced to what
// V/ii says of it. The zero value is none.
type applied struct {
	Degree
	minor bool // written in lower case
}

// Interval returns the interval from the tonic up to the root, within the
// octave.
func (n Numeral) Interval() Interval {
	if n.of.Number == 0 {
		return n.Degree.interval()
	}
	return DegreeOf(n.of.interval().Plus(n.Degree.interval())).interval()
}

// Chord returns the chord that n is in k.
func (k Key) Chord(n Numeral) Chord {
	return Chord{Root: k.Tonic, Quality: n.Quality, Over: n.Over}.transpose(n.Interval())
}

// Numeral returns c as seen from k. It is the inverse of Chord, save that an
// applied chord comes back plain.
func (k Key) Numeral(c Chord) Numeral {
	return Numeral{Degree: k.Degree(c.Root), Quality: c.Quality, Over: c.Over}
}

// bass returns the degree of the bass, counted in the key as bands count it:
// 5/7 is the chord on 5 over the seventh degree.
func (n Numeral) bass() Degree { return DegreeOf(n.Interval().Plus(n.Over)) }

// Number prints n as bands write it: "1", "6-", "2-7", "b7", "5/7". applied
// chords come out plain (V/V is "2").
func (n Numeral) Number() string {
	suffix := n.Quality.String()
	if n.Quality.Minor() {
		if rest, ok := strings.CutPrefix(suffix, "m"); ok {
			suffix = "-" + rest
		}
	}
	return DegreeOf(n.Interval()).String() + suffix + n.slash()
}

// Roman prints n as a roman numeral, whose case tells major from minor: "IV",
// "vi7", "bVII", "vii°", "iiø7", "V7/V". A slash bass is a number of the key:
// "V/7".
func (n Numeral) Roman() string {
	s := n.Degree.roman(n.Quality.Minor()) + n.Quality.romanSuffix()
	if n.of.Number != 0 {
		s += "/" + n.of.roman(n.of.minor)
	}
	return s + n.slash()
}

func (n Numeral) slash() string {
	if n.Over == (Interval{}) {
		return ""
	}
	return "/" + n.bass().String()
}

func (d Degree) roman(lower bool) string {
	for _, r := range romans {
		if r.number != d.Number {
			continue
		}
		if lower {
			return accidental(d.Alter) + strings.ToLower(r.text)
		}
		return accidental(d.Alter) + r.text
	}
	return ""
}

// romanSuffix is the chord suffix without what the case of the numeral says.
// A plain 6 would read as an inversion there, so the sixth is added.
func (q Quality) romanSuffix() string {
	suffix := q.String()
	switch {
	case q.tones() == halfDiminished:
		return "ø7"
	case q.tones() == augmentedTriad:
		return "+"
	case strings.HasPrefix(suffix, "dim"):
		suffix = "°" + suffix[len("dim"):]
	case q.Minor():
		suffix = suffix[len("m"):]
	}
	if rest, ok := strings.CutPrefix(suffix, "6"); ok && !strings.HasPrefix(rest, "9") {
		suffix = "add6" + rest
	}
	return suffix
}

// ParseNumeral reads a chord by degree, as a number ("1", "6-", "6m", "2-7",
// "5/7", "b7", "7°") or as a roman numeral ("IV", "vi7", "V7/V", "bVII",
// "viio", "iiø7", "V65", "I/3"). Degrees count from the major scale of the
// tonic. After a roman numeral 6, 64, 65, 43 and 42 are figured bass; after a
// number 6 is a sixth chord. Figures may be raised, as charts have them: "5⁷".
func ParseNumeral(s string) (Numeral, error) {
	text := strings.TrimSpace(s)
	var n Numeral
	var err error
	if d, suffix, ok := scanDegree(text); ok {
		n.Degree = d
		if err = n.readSuffix(suffix, false); strings.TrimLeft(suffix, "-m") == "4" {
			err = fmt.Errorf("it could be two chords")
		}
	} else if d, lower, suffix, ok := scanRoman(text); ok {
		n.Degree = d
		suffix = n.readApplied(suffix)
		if f, ok := figuredBass[suffix]; ok {
			n.readFigure(f, lower)
		} else if strings.HasPrefix(suffix, "6/") && suffix != "6/9" {
			err = fmt.Errorf("6 is an inversion there and has its own bass")
		} else {
			err = n.readSuffix(suffix, lower)
		}
	} else {
		err = fmt.Errorf("it starts with no degree")
	}
	if err != nil {
		return Numeral{}, fmt.Errorf("%q is not a chord by degree: %w; use a number like 6- or b7, or a roman numeral like vi or bVII", s, err)
	}
	return n, nil
}

// A figure is an inversion in figured bass.
type figure struct {
	seventh   bool // of a seventh chord
	inversion int  // which tone is in the bass
}

var figuredBass = map[string]figure{
	"6": {false, 1}, "63": {false, 1}, "64": {false, 2}, "65": {true, 1}, "43": {true, 2}, "42": {true, 3},
	"6/3": {false, 1}, "6/4": {false, 2}, "6/5": {true, 1}, "4/3": {true, 2}, "4/2": {true, 3},
}

// readFigure sets the plain triad or seventh chord in inversion.
func (n *Numeral) readFigure(f figure, lower bool) {
	if lower {
		n.Quality = MinorTriad
	}
	if f.seventh {
		n.Quality ^= Quality(minorSeventh)
	}
	n.Over = n.Quality.intervals()[f.inversion]
}

// readApplied takes a roman numeral after a slash off the end of suffix.
func (n *Numeral) readApplied(suffix string) string {
	i := strings.IndexByte(suffix, '/')
	if i < 0 {
		return suffix
	}
	d, lower, rest, ok := scanRoman(suffix[i+1:])
	if !ok {
		return suffix
	}
	n.of = applied{d, lower}
	return suffix[:i] + rest
}

// readSuffix reads the quality and the bass.
func (n *Numeral) readSuffix(suffix string, lower bool) (err error) {
	var bass Degree
	if i := strings.LastIndexByte(suffix, '/'); i >= 0 {
		if d, rest, ok := scanDegree(suffix[i+1:]); ok && rest == "" {
			bass, suffix = d, suffix[:i]
		}
	}
	if lower && !saysThird(suffix) {
		suffix = "m" + suffix
	}
	if n.Quality, err = parseQuality(suffix); err != nil {
		return err
	}
	if bass.Number != 0 {
		n.Over = DegreeOf(bass.interval().Plus(n.Interval().Neg())).interval()
	}
	return nil
}

// saysThird reports whether a suffix leaves nothing for the lower case of the
// numeral to say.
func saysThird(suffix string) bool {
	for _, p := range []string{"dim", "°", "º", "ø", "Ø", "-", "5"} {
		if strings.HasPrefix(suffix, p) {
			return true
		}
	}
	return strings.HasPrefix(suffix, "m") && !strings.HasPrefix(suffix, "ma") ||
		strings.HasPrefix(suffix, "o") && !strings.HasPrefix(suffix, "omit")
}

// FromMinor reads n as counted from the natural minor scale, where 3, 6 and 7
// are what they are in the key: III becomes bIII, 7 becomes b7. Diminished
// chords on 6 and 7 keep the raised tone, and numerals with an accidental of their
// own stay as they are. Both ways of counting are in use; everything else here
// counts from the major scale.
func (n Numeral) FromMinor() Numeral {
	if n.of.Number != 0 {
		return n
	}
	bass := n.bass()
	if n.Degree.Number == 3 || !n.Quality.tones().diminished() {
		n.Degree = n.Degree.lowered()
	}
	// A bass that is a chord tone moves along with the root. Another one is a
	// degree of its own: i/3 is over the minor third.
	if (Chord{Over: n.Over}).inversion(n.Quality.intervals()) < 0 {
		n.Over = DegreeOf(bass.lowered().interval().Plus(n.Interval().Neg())).interval()
	}
	return n
}

func (d Degree) lowered() Degree {
	if d.Alter == 0 && (d.Number == 3 || d.Number == 6 || d.Number == 7) {
		d.Alter = -1
	}
	return d
}
