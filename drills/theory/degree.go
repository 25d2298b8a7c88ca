package theory

import "strings"

// A Degree is a step of the scale: 1 to 7 counted from the major scale of the
// tonic, whatever the mode, with its alteration. b3 is a minor third above
// the tonic in major and minor alike. The zero value is no degree.
type Degree struct {
	Number int // 1 to 7
	Alter  int // semitones from the major scale
}

// DegreeOf returns the degree that lies iv above the tonic. Octaves fall away.
func DegreeOf(iv Interval) Degree {
	n := Note{}.Add(iv)
	return Degree{int(n.Letter) + 1, n.Alter}
}

// Degree returns the degree of n in k, counted from the major scale.
func (k Key) Degree(n Note) Degree {
	return DegreeOf(k.Tonic.upTo(n))
}

// interval returns the interval from the tonic up to d, within the octave.
func (d Degree) interval() Interval {
	return Interval{d.Number - 1, majorScale[d.Number-1] + d.Alter}
}

// String prints d as bands write it: "1", "b7", "#4".
func (d Degree) String() string {
	return accidental(d.Alter) + string(rune('0'+d.Number))
}

// scanDegree reads accidentals and a figure from 1 to 7 from the front of s.
func scanDegree(s string) (d Degree, rest string, ok bool) {
	alter, rest, ok := scanAlter(s)
	rest = strings.TrimPrefix(rest, " ")   // "flat 7"
	if !ok || strings.HasPrefix(s, "x") || // x4 is four times
		rest == "" || rest[0] < '1' || rest[0] > '7' {
		return Degree{}, "", false
	}
	return Degree{int(rest[0] - '0'), alter}, rest[1:], true
}

// romans is ordered so that no numeral hides a longer one.
var romans = []struct {
	text   string
	number int
}{
	{"VII", 7}, {"VI", 6}, {"IV", 4}, {"V", 5}, {"III", 3}, {"II", 2}, {"I", 1},
}

// scanRoman reads accidentals and a roman numeral, all upper or all lower
// case, from the front of s.
func scanRoman(s string) (d Degree, lower bool, rest string, ok bool) {
	alter, rest, ok := scanAlter(s)
	if !ok {
		return Degree{}, false, "", false
	}
	for _, r := range romans {
		if after, ok := strings.CutPrefix(rest, r.text); ok {
			return Degree{r.number, alter}, false, after, true
		}
		if after, ok := strings.CutPrefix(rest, strings.ToLower(r.text)); ok {
			return Degree{r.number, alter}, true, after, true
		}
	}
	return Degree{}, false, "", false
}
