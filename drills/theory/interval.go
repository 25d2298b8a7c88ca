package theory

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// An Interval is a vector: how many letters and how many semitones lie between
// two pitches, both negative when it falls. {2, 3} is a minor third up,
// {-1, 0} a descending diminished second. The zero value is the unison.
type Interval struct {
	Steps     int // letters: 1 for a second, 7 for an octave
	Semitones int
}

// Between returns the interval from p to q.
func Between(p, q Pitch) Interval {
	return Interval{
		Steps:     7*(q.Octave-p.Octave) + int(q.Letter-p.Letter),
		Semitones: q.MIDI() - p.MIDI(),
	}
}

// Add returns p moved by iv. It is exact: the letter moves by the steps, and
// the accidental is what the semitones leave over.
func (p Pitch) Add(iv Interval) Pitch {
	letter := int(p.Letter) + iv.Steps
	q := Pitch{Note{Letter: Letter(mod(letter, 7))}, p.Octave + floorDiv(letter, 7)}
	q.Alter = p.MIDI() + iv.Semitones - q.MIDI()
	return q
}

// Add returns n moved by iv, octave left aside.
func (n Note) Add(iv Interval) Note { return Pitch{n, 4}.Add(iv).Note }

// upTo returns the interval from n up to m, within the octave.
func (n Note) upTo(m Note) Interval { return DegreeOf(Between(Pitch{n, 4}, Pitch{m, 4})).interval() }

// Plus returns the interval iv followed by jv.
func (iv Interval) Plus(jv Interval) Interval {
	return Interval{iv.Steps + jv.Steps, iv.Semitones + jv.Semitones}
}

// Neg returns iv the other way: up becomes down.
func (iv Interval) Neg() Interval { return Interval{-iv.Steps, -iv.Semitones} }

// Simple returns iv without its whole octaves: a tenth becomes a third, a
// fifteenth an octave. Intervals up to the octave are simple already.
func (iv Interval) Simple() Interval {
	octaves := max(abs(iv.Steps)-1, 0) / 7
	if iv.Steps < 0 {
		octaves = -octaves
	}
	return Interval{iv.Steps - 7*octaves, iv.Semitones - 12*octaves}
}

// number returns the interval's number, which counts both letters: 1 for a
// unison, 3 for a third, 10 for a tenth, whether it rises or falls.
func (iv Interval) number() int { return abs(iv.Steps) + 1 }

// falling reports the direction: that of the letters, or where they stand
// still that of the semitones.
func (iv Interval) falling() bool {
	return iv.Steps < 0 || iv.Steps == 0 && iv.Semitones < 0
}

// majorScale holds the semitones of the perfect and major intervals above the
// unison.
var majorScale = [7]int{0, 2, 4, 5, 7, 9, 11}

// perfect reports whether a number's plain form is perfect (1 4 5 8) rather
// than major (2 3 6 7).
func perfect(number int) bool {
	switch mod(number-1, 7) {
	case 0, 3, 4:
		return true
	}
	return false
}

// over returns the semitones by which iv, made rising, exceeds the perfect or
// major interval of its number.
func (iv Interval) over() int {
	if iv.falling() {
		iv = iv.Neg()
	}
	return iv.Semitones - 12*(iv.Steps/7) - majorScale[iv.Steps%7]
}

// String prints quality and number: "m3", "P5", "M10", "A4", "dd7", and with
// a minus sign when it falls: "-m3".
func (iv Interval) String() string {
	sign := ""
	if iv.falling() {
		sign = "-"
	}
	return sign + iv.quality() + strconv.Itoa(iv.number())
}

func (iv Interval) quality() string {
	over := iv.over()
	switch {
	case over > 0:
		return strings.Repeat("A", over)
	case perfect(iv.number()) && over == 0:
		return "P"
	case perfect(iv.number()):
		return strings.Repeat("d", -over)
	case over == 0:
		return "M"
	case over == -1:
		return "m"
	}
	return strings.Repeat("d", -over-1)
}

var qualityWords = map[string]string{
	"P": "perfect", "M": "major", "m": "minor",
	"A": "augmented", "AA": "doubly augmented", "d": "diminished", "dd": "doubly diminished",
}

// numberWords starts at the unison.
var numberWords = [...]string{
	"unison", "second", "third", "fourth", "fifth", "sixth", "seventh", "octave",
	"ninth", "tenth", "eleventh", "twelfth", "thirteenth", "fourteenth", "fifteenth",
	"sixteenth", "seventeenth", "eighteenth", "nineteenth", "twentieth", "twenty-first", "twenty-second",
}

// Name prints iv in words: "minor tenth", "doubly augmented fourth",
// "descending perfect fifth". Past the twenty-second (three octaves) it falls back on
// figures: "major 23rd". It has no word for what is altered more than doubly.
func (iv Interval) Name() string {
	var b strings.Builder
	if iv.falling() {
		b.WriteString("descending ")
	}
	b.WriteString(qualityWords[iv.quality()] + " ")
	if n := iv.number(); n <= len(numberWords) {
		b.WriteString(numberWords[n-1])
	} else {
		b.WriteString(ordinal(n))
	}
	return b.String()
}

func ordinal(n int) string {
	ending := "th"
	if n/10%10 != 1 {
		switch n % 10 {
		case 1:
			ending = "st"
		case 2:
			ending = "nd"
		case 3:
			ending = "rd"
		}
	}
	return strconv.Itoa(n) + ending
}

// Chromatic returns the everyday name for a distance in semitones where no
// spelling is known: perfect, major or minor, and an augmented fourth for the
// tritone. Negative distances fall.
func Chromatic(semitones int) Interval {
	if semitones < 0 {
		return Chromatic(-semitones).Neg()
	}
	steps := [12]int{0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6}
	return Interval{7*(semitones/12) + steps[semitones%12], semitones}
}

// ParseInterval reads quality and number, short or in words: "m3", "P5", "-M10",
// "dim5", "minor tenth", "minor 3rd", "compound minor third", "descending octave",
// "tritone" (an augmented fourth). The letters m and M tell minor from major. A
// number alone, or a third, is the perfect or major one, and accidentals alter it
// as those of a degree do: "b3" is m3. Numbers go up to 29 (four octaves),
// alterations up to doubly augmented and diminished; beyond is an error, as is a
// quality the number can't have ("P3", "m5").
func ParseInterval(s string) (Interval, error) {
	iv, err := parseInterval(foldWords(s))
	if err != nil {
		return Interval{}, fmt.Errorf("%q is not an interval: %w", s, err)
	}
	return iv, nil
}

// foldWords writes words small. Shorter ones are left as they are: M is not m.
func foldWords(s string) string {
	words := strings.Fields(s)
	for i, w := range words {
		if letters := strings.Trim(w, "-0123456789"); len(letters) >= 3 {
			words[i] = strings.ToLower(w)
		}
	}
	return strings.Join(words, " ")
}

// cutArticle takes the article off an interval in words.
func cutArticle(s string) string {
	for _, a := range []string{"a ", "an "} {
		if rest, ok := strings.CutPrefix(s, a); ok && strings.Trim(rest, "0123456789") == rest {
			return rest
		}
	}
	return s
}

// cutOctaves takes the octaves off a wide interval: "an octave and a minor seventh", "two
// octaves".
func cutOctaves(s string) (octaves int, rest string) {
	for i, word := range []string{"octave", "two octaves", "three octaves"} {
		first, rest, more := strings.Cut(s, " and ")
		switch {
		case first != word:
		case more:
			return i + 1, cutArticle(rest)
		case i > 0:
			return i, "octave"
		}
	}
	return 0, s
}

func parseInterval(s string) (Interval, error) {
	rest, falling := strings.CutPrefix(s, "-")
	if !falling {
		rest, falling = strings.CutPrefix(s, "descending ")
	}
	rest, compound := strings.CutPrefix(rest, "compound ")
	octaves, rest := cutOctaves(cutArticle(rest))
	if rest == "tritone" {
		rest = "A4"
	}
	quality, rest := cutQuality(rest)
	number, ok := parseOrdinal(rest)
	if !ok || number < 1 || number > 29 || quality.text == "" && s[0] == '-' { // -3 may be meant for minor
		return Interval{}, errors.New("use a quality and a number from 1 to 29, like m3, P5 or minor tenth")
	}
	if compound {
		number += 7
	}
	number += 7 * octaves
	iv := Interval{number - 1, 12*((number-1)/7) + majorScale[(number-1)%7] + quality.over}
	switch perfect := perfect(number); {
	case perfect && quality.only == imperfects:
		return Interval{}, errors.New("unisons, fourths, fifths and octaves are perfect, not major or minor")
	case !perfect && quality.only == perfects:
		return Interval{}, errors.New("only unisons, fourths, fifths and octaves are perfect")
	case !perfect && quality.fromMinor:
		iv.Semitones--
	}
	if iv.falling() {
		return Interval{}, errors.New("a unison can't be diminished")
	}
	if falling {
		iv = iv.Neg()
	}
	return iv, nil
}

// Which numbers a quality goes with.
const (
	anyNumber = iota
	perfects
	imperfects
)

// An intervalQuality is a quality as it is read. The zero value, of no text, is the
// perfect or major interval of its number.
type intervalQuality struct {
	text      string
	over      int // semitones from the perfect or major interval
	only      int
	fromMinor bool // counted from the minor interval where there is one
}

// intervalQualities lists the spellings that are read, longer ones before those
// that begin them.
var intervalQualities = []intervalQuality{
	{"doubly augmented", 2, anyNumber, false}, {"doubly diminished", -2, anyNumber, true},
	{"augmented", 1, anyNumber, false}, {"diminished", -1, anyNumber, true},
	{"perfect", 0, perfects, false}, {"major", 0, imperfects, false}, {"minor", -1, imperfects, false},
	{"perf", 0, perfects, false}, {"maj", 0, imperfects, false}, {"min", -1, imperfects, false},
	{"aug", 1, anyNumber, false}, {"dim", -1, anyNumber, true},
	{"AA", 2, anyNumber, false}, {"dd", -2, anyNumber, true}, {"A", 1, anyNumber, false}, {"d", -1, anyNumber, true},
	{"P", 0, perfects, false}, {"p", 0, perfects, false}, {"M", 0, imperfects, false}, {"m", -1, imperfects, false},
}

// cutQuality takes the quality, or the accidentals that stand for one, from the
// front of s.
func cutQuality(s string) (q intervalQuality, rest string) {
	for _, q := range intervalQualities {
		if rest, ok := strings.CutPrefix(s, q.text); ok {
			return q, strings.TrimPrefix(rest, " ")
		}
	}
	if alter, rest, ok := scanAlter(s); ok && alter != 0 && s[0] != 'x' {
		return intervalQuality{text: s[:len(s)-len(rest)], over: alter}, strings.TrimPrefix(rest, " ")
	}
	return intervalQuality{}, s
}

// parseOrdinal reads the number of an interval: "third", "3", "3rd".
func parseOrdinal(s string) (number int, ok bool) {
	if i := slices.Index(numberWords[:], s); i >= 0 {
		return i + 1, true
	}
	digits := strings.TrimRight(s, "stndrh")
	n, err := strconv.Atoi(digits)
	return n, err == nil && s[0] != '+' && (digits == s || ordinal(n) == s)
}
