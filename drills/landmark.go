package drills

import (
	"fmt"
	"strconv"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// landmark tells where a place lies from the nearest thing that a player sees
// on the neck: an inlay, the nut, or the octave fret. The note there goes by the
// name that the question gave it.
func (s Setup) landmark(at fretboard.Position, note theory.Note) string {
	here := s.Names.Note(note)
	if at.Fret == 0 {
		return fmt.Sprintf("The open string %d is %s", at.String, here)
	}
	for _, away := range []int{0, -1, 1, -2, 2} {
		mark := fretboard.Position{String: at.String, Fret: at.Fret + away}
		if mark.Fret == 0 && away == -1 || mark.Fret > 0 && s.Neck.Has(mark) && s.Neck.Inlays(mark.Fret) > 0 {
			flats := note.Alter < 0 || note.Alter == 0 && s.Flats
			return here + s.fromMark(mark, -away, flats) + s.octaveOf(at)
		}
	}
	return fmt.Sprintf("%s is at fret %d", here, at.Fret) + s.octaveOf(at)
}

// fromMark says where the place lies that is some frets above a landmark.
func (s Setup) fromMark(mark fretboard.Position, above int, flats bool) string {
	name := s.Names.Note(s.Neck.Pitch(mark, flats).Note)
	where := fmt.Sprintf("the inlay at fret %d", mark.Fret)
	switch {
	case mark.Fret == 0:
		where = "the open string"
	case s.Neck.Inlays(mark.Fret) == 2:
		where = "the double inlay at fret " + strconv.Itoa(mark.Fret)
	}
	switch {
	case above == 0 && mark.Fret%12 == 0:
		return fmt.Sprintf(" is on %s, where the open string's name comes again", where)
	case above == 0:
		return " is on " + where
	case above > 0:
		return fmt.Sprintf(" is %s above %s, %s", frets(above), name, where)
	default:
		return fmt.Sprintf(" is %s below %s, %s", frets(-above), name, where)
	}
}

// octaveOf points at the octave two strings over, the shape that most players
// know first. It says nothing where the neck ends before it.
func (s Setup) octaveOf(at fretboard.Position) string {
	for _, p := range s.Neck.Places(s.Neck.MIDI(at) + 12) {
		if p.String == at.String-2 && p.Fret > at.Fret {
			return fmt.Sprintf("; its octave is at %s", say(p))
		}
	}
	return ""
}

// frets says a number of frets: "one fret", "two frets", "14 frets".
func frets(n int) string {
	words := []string{"no", "one", "two", "three", "four"}
	switch {
	case n == 1:
		return "one fret"
	case n < len(words):
		return words[n] + " frets"
	}
	return strconv.Itoa(n) + " frets"
}
