package theory

import (
	"math/bits"
	"strconv"
	"strings"
)

// A Quality is the make-up of a chord: the set of its tones above the root. It
// is a set rather than a name, so that every symbol players write has a
// quality and equal chords are equal values. The zero value is the major
// triad. Use the constants, ParseChord or qualityOf; other values mean nothing.
type Quality uint32

// tones is a set of chord tones. A Quality is such a set seen from the major
// triad, which is what makes its zero value useful.
type tones uint32

// The chord tones, in the order in which a chord is spelled. The sixth and the
// thirteenth are one note: it is the sixth in a chord without a seventh and
// the thirteenth in a chord with one.
const (
	root tones = 1 << iota
	second
	minorThird
	majorThird
	fourth
	flatFifth
	fifth
	sharpFifth
	sixth
	diminishedSeventh
	minorSeventh
	majorSeventh
	flatNinth
	ninth
	sharpNinth
	eleventh
	sharpEleventh
	flatThirteenth
	thirteenth

	majorTriad = root | majorThird | fifth

	anyThird    = second | minorThird | majorThird | fourth
	anyFifth    = flatFifth | fifth | sharpFifth
	anySeventh  = diminishedSeventh | minorSeventh | majorSeventh
	anyNinth    = flatNinth | ninth | sharpNinth
	anyEleventh = eleventh | sharpEleventh
)

// toneIntervals follows the order of the constants.
var toneIntervals = [...]Interval{
	{0, 0}, {1, 2}, {2, 3}, {2, 4}, {3, 5}, {4, 6}, {4, 7}, {4, 8}, {5, 9}, {6, 9}, {6, 10}, {6, 11},
	{8, 13}, {8, 14}, {8, 15}, {10, 17}, {10, 18}, {12, 20}, {12, 21},
}

// The qualities that others ask for by name.
const (
	MajorTriad = Quality(0)
	MinorTriad = Quality((root | minorThird | fifth) ^ majorTriad)
)

// The chords for which numerals have signs of their own.
const (
	augmentedTriad = root | majorThird | sharpFifth
	halfDiminished = root | minorThird | flatFifth | minorSeventh
)

func (t tones) quality() Quality { return Quality(t ^ majorTriad) }

func (q Quality) tones() tones { return tones(q) ^ majorTriad }

func (t tones) has(u tones) bool { return t&u == u }

func (t tones) any(u tones) bool { return t&u != 0 }

// intervals returns the tones of q as intervals above the root, lowest first
// and the unison among them; extensions are compound (the ninth is M9). 2 to
// 8 of them.
func (q Quality) intervals() []Interval {
	t := q.tones()
	ivs := make([]Interval, 0, bits.OnesCount32(uint32(t)))
	for i, iv := range toneIntervals {
		if t.any(1 << i) {
			ivs = append(ivs, iv)
		}
	}
	return ivs
}

// qualityOf returns the quality whose tones are the given intervals above the
// root, which need not be among them, and whether there is one. Simple and
// compound forms are one: a second is a ninth where there is a third, a fourth
// an eleventh, and a sixth a thirteenth where there is a seventh.
func qualityOf(ivs []Interval) (Quality, bool) {
	t := root
	for _, iv := range ivs {
		iv = Interval{mod(iv.Steps, 7), iv.Semitones - 12*floorDiv(iv.Steps, 7)}
		found := false
		for i, tone := range toneIntervals {
			if tone.Steps%7 == iv.Steps && tone.Semitones-12*(tone.Steps/7) == iv.Semitones {
				t |= 1 << i
				found = true
			}
		}
		if !found {
			return 0, false
		}
	}
	return t.normal()
}

// normal returns the one form of t: it decides between the tones that are one note
// (second and ninth, fourth and eleventh, sixth and thirteenth), so that equal chords
// are equal sets. It is false for a set that no symbol names.
func (t tones) normal() (Quality, bool) {
	switch {
	case t.any(minorThird | majorThird):
		t = t.replace(second, ninth).replace(fourth, eleventh)
	case t.any(fourth|eleventh) && t.any(anySeventh):
		t = t.replace(second, ninth).replace(eleventh, fourth)
	default:
		t = t.replace(ninth, second).replace(eleventh, fourth)
	}
	if t.any(anySeventh) {
		t = t.replace(sixth, thirteenth)
	} else {
		t = t.replace(thirteenth, sixth)
	}
	ok := t.has(root) && !t.has(minorThird|majorThird) &&
		!(t.any(fifth) && t.any(flatFifth|sharpFifth)) &&
		bits.OnesCount32(uint32(t&anySeventh)) <= 1 &&
		(!t.any(diminishedSeventh) || t.diminished())
	return t.quality(), ok
}

// replace puts a tone in the place of another, where that is there.
func (t tones) replace(from, to tones) tones {
	if t.any(from) {
		t = t&^from | to
	}
	return t
}

func (t tones) diminished() bool { return t.has(minorThird|flatFifth) && !t.any(sharpFifth) }

func (t tones) augmented() bool { return t.has(majorThird|sharpFifth) && !t.any(flatFifth) }

// Minor reports whether q has a minor third.
func (q Quality) Minor() bool { return q.tones().any(minorThird) }

// Triad returns the triad under q: its third and fifth, or what is suspended,
// without the tones stacked or added above. A dominant ninth stands on a major
// triad.
func (q Quality) Triad() Quality {
	return (q.tones() & (root | anyThird | anyFifth)).quality()
}

// extension returns the figure that names q's seventh and what is stacked on
// it: 7, 9, 11 or 13, or without a seventh 69, 6 or 0.
func (t tones) extension() int {
	altered := t.any(flatNinth | sharpNinth)
	switch {
	case !t.any(anySeventh) && t.has(sixth|ninth):
		return 69
	case !t.any(anySeventh) && t.any(sixth):
		return 6
	case !t.any(anySeventh):
		return 0
	case t.any(thirteenth) && !t.any(flatThirteenth) && t.any(anyNinth) && (!t.any(minorThird) || t.any(anyEleventh)):
		return 13
	case t.any(eleventh) && !t.any(sharpEleventh) && t.any(anyNinth):
		return 11
	case t.any(ninth) && !altered:
		return 9
	}
	return 7
}

// implied returns the natural tones that an extension brings with it when the
// altered ones in t have replaced theirs. Elevenths and thirteenths stack in
// thirds, save that a thirteenth with a major third leaves out its eleventh,
// which would rub against it (so does LilyPond's chord mode).
func (t tones) implied(extension int) tones {
	var u tones
	switch extension {
	case 6:
		u = sixth
	case 69:
		u = sixth | ninth
	case 9:
		u = ninth
	case 11:
		u = ninth | eleventh
	case 13:
		u = ninth | thirteenth
		if t.any(minorThird) {
			u |= eleventh
		}
	}
	if t.any(flatNinth|sharpNinth) && extension != 69 {
		u &^= ninth
	}
	if t.any(sharpEleventh) {
		u &^= eleventh
	}
	return u
}

// addedTones lists what is written after the figures, in order.
var addedTones = []struct {
	tone   tones
	symbol string
}{
	{flatNinth, "b9"}, {sharpNinth, "#9"}, {sharpEleventh, "#11"}, {flatThirteenth, "b13"},
	{ninth, "9"}, {eleventh, "11"}, {thirteenth, "13"},
}

// String prints the canonical chord suffix: "" for a major triad, "m", "7",
// "m7b5", "maj9", "mM7", "7sus4", "dim7", "add9", "13b9", "(b5)", and "no5"
// where a tone is missing. ParseChord reads every one back as q.
func (q Quality) String() string {
	for _, p := range plain {
		if p.tones == q.tones() {
			return p.suffix
		}
	}
	return q.tones().suffix()
}

// suffix builds the canonical suffix.
func (t tones) suffix() string {
	extension := t.extension()
	var b strings.Builder
	switch {
	case !t.any(anyThird) && t.any(fifth) && extension == 0:
		b.WriteString("5")
		t |= majorThird // as good as there: no "no3"
	case t.diminished() && (extension == 0 || t.any(diminishedSeventh)):
		b.WriteString("dim")
		t = t.replace(flatFifth, fifth)
	case t.augmented() && extension == 0:
		b.WriteString("aug")
		t = t.replace(sharpFifth, fifth)
	case t.any(minorThird):
		b.WriteString("m")
	}
	if t.any(majorSeventh) {
		if t.any(minorThird) {
			b.WriteString("M")
		} else {
			b.WriteString("maj")
		}
	}
	if extension > 0 {
		b.WriteString(strconv.Itoa(extension))
	}
	if t.any(second | fourth) {
		b.WriteString("sus")
	}
	if t.any(second) {
		b.WriteString("2")
	}
	if t.any(fourth) {
		b.WriteString("4")
	}
	b.WriteString(t.alteredFifths(b.Len() == 0))
	for _, a := range addedTones {
		if !t.any(a.tone &^ t.implied(extension)) {
			continue
		}
		if !t.any(anySeventh) || a.tone.any(ninth|eleventh|thirteenth) {
			b.WriteString("add")
		}
		b.WriteString(a.symbol)
	}
	if !t.any(anyThird) {
		b.WriteString("no3")
	}
	if !t.any(anyFifth) {
		b.WriteString("no5")
	}
	return b.String()
}

// alteredFifths is in brackets where it comes first: C(b5) would otherwise
// read as a chord on C flat.
func (t tones) alteredFifths(first bool) string {
	s := ""
	if t.any(flatFifth) {
		s += "b5"
	}
	if t.any(sharpFifth) {
		s += "#5"
	}
	if s != "" && first {
		s = "(" + s + ")"
	}
	return s
}

// plain holds the suffixes met most, found without work, and the one that
// the rules would print otherwise.
var plain = [...]struct {
	tones  tones
	suffix string
}{
	{majorTriad, ""}, {root | minorThird | fifth, "m"}, {majorTriad | minorSeventh, "7"},
	{root | minorThird | fifth | minorSeventh, "m7"}, {majorTriad | majorSeventh, "maj7"},
	{root | minorThird | flatFifth, "dim"}, {halfDiminished, "m7b5"}, {root | minorThird | flatFifth | diminishedSeventh, "dim7"},
	{root | second | fifth, "sus2"}, {root | fourth | fifth, "sus4"}, {root | fifth, "5"},
	{altered, "7alt"},
}

const altered = root | majorThird | flatFifth | sharpFifth | minorSeventh | flatNinth | sharpNinth
