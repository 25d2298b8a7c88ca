package fingering

import (
	"cmp"
	"strconv"
	"strings"
)

// A ProblemKind says what a move broke.
type ProblemKind string

const (
	belowNut       ProblemKind = "below-nut"      // a note below the lowest fret
	pastLastFret   ProblemKind = "past-last-fret" // a note above the highest fret
	tooWide        ProblemKind = "stretch"        // more frets than the hand spans
	tooManyFingers ProblemKind = "fingers"        // more fingers than a hand has
	unplayable     ProblemKind = "unplayable"     // there is no place for it in any octave
	octaveChange   ProblemKind = "octave"         // a note had to change its octave
	openString     ProblemKind = "open-string"    // an open string is now stopped, and no longer rings
	slurBroken     ProblemKind = "slur"           // a hammer-on, pull-off or slide now crosses strings
	dampedLost     ProblemKind = "damped"         // a damped string is now sounded
	markLost       ProblemKind = "mark"           // a harmonic, bend, slide or vibrato cannot be played where it now lies
)

// troubles lists the kinds as they are summed up: first those that break a
// part, then those that only change it.
var troubles = [...]struct {
	kind     ProblemKind
	one, all string
}{
	{belowNut, "note below the nut", "notes below the nut"},
	{pastLastFret, "note past the last fret", "notes past the last fret"},
	{unplayable, "chord without a place", "chords without a place"},
	{tooWide, "stretch too wide", "stretches too wide"},
	{tooManyFingers, "chord with too few fingers", "chords with too few fingers"},
	{octaveChange, "note in another octave", "notes in another octave"},
	{openString, "open string lost", "open strings lost"},
	{slurBroken, "slur broken", "slurs broken"},
	{dampedLost, "damped string lost", "damped strings lost"},
	{markLost, "harmonic, bend, slide or vibrato lost", "harmonics, bends, slides or vibratos lost"},
}

const breaking = 5 // how many of troubles break a part

func (k ProblemKind) index() int {
	for i := range troubles {
		if troubles[i].kind == k {
			return i
		}
	}
	return -1
}

// breaks reports whether the part cannot be played with this problem; else it
// only sounds or feels different.
func (k ProblemKind) breaks() bool { i := k.index(); return i >= 0 && i < breaking }

// A tally counts problems in the order of troubles.
type tally [len(troubles)]int

// count returns how many problems break the part and how many only change it.
func (t tally) count() (breaks, changes int) {
	for i, n := range t {
		if i < breaking {
			breaks += n
		} else {
			changes += n
		}
	}
	return breaks, changes
}

// nothingBreaks is what a move costs that loses nothing.
const nothingBreaks = "nothing breaks"

// String sums up in a few words: "2 notes below the nut, 1 slur broken".
func (t tally) String() string {
	var words []string
	for i, n := range t {
		switch n {
		case 0:
		case 1:
			words = append(words, "1 "+troubles[i].one)
		default:
			words = append(words, strconv.Itoa(n)+" "+troubles[i].all)
		}
	}
	if words == nil {
		return nothingBreaks
	}
	return strings.Join(words, ", ")
}

// compare puts first what breaks less, then changes less.
func (t tally) compare(o tally) int {
	breaks, changes := t.count()
	oBreaks, oChanges := o.count()
	return cmp.Or(cmp.Compare(breaks, oBreaks), cmp.Compare(changes, oChanges))
}

// compareMoves puts the move first with less trouble, and among equals the shorter.
func compareMoves(a, b Moved) int {
	return cmp.Or(a.tally.compare(b.tally), cmp.Compare(max(a.Semitones, -a.Semitones), max(b.Semitones, -b.Semitones)))
}
