package drills

import (
	"fmt"
	"strconv"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// landmark tells where a note lies on its string from the nearest thing that a
// player sees and can name, below it or above: the nut, an inlay, the octave fret. A
// landmark without an accidental is named before one that has one. The note goes by
// the name that the question gave it.
func (s Setup) landmark(at fretboard.Position, note theory.Note) string {
	here := s.Names.Note(note)
	switch {
	case at.Fret == 0:
		return fmt.Sprintf("%s is string %d, open", here, at.String)
	case at.Fret == 12:
		return fmt.Sprintf("%s is at fret 12, an octave above the open string", here)
	case s.Neck.Inlays(at.Fret) == 2:
		return fmt.Sprintf("%s is at fret %d, on the double inlay", here, at.Fret)
	case s.Neck.Inlays(at.Fret) > 0:
		return fmt.Sprintf("%s is at fret %d, on the inlay", here, at.Fret)
	}
	mark, ok := s.nearestMark(at, note)
	if !ok {
		return fmt.Sprintf("%s is at fret %d", here, at.Fret)
	}
	name := s.Names.Note(s.Neck.Pitch(mark, note.Alter < 0 || note.Alter == 0 && s.Flats).Note)
	where := fmt.Sprintf("fret %d, which is %s", mark.Fret, name)
	if mark.Fret == 0 {
		where = "the open " + name
	}
	if mark.Fret < at.Fret {
		return fmt.Sprintf("%s is %s above %s", here, frets(at.Fret-mark.Fret), where)
	}
	return fmt.Sprintf("%s is %s below %s", here, frets(mark.Fret-at.Fret), where)
}

// nearestMark is the landmark that a note is told from, at most two frets away. Of
// two as near the one that the name of the note comes from: A flat from A, G sharp
// from G.
func (s Setup) nearestMark(at fretboard.Position, note theory.Note) (fretboard.Position, bool) {
	first, second := -1, 1
	if note.Alter < 0 {
		first, second = 1, -1
	}
	var nearest fretboard.Position
	for _, away := range []int{first, second, 2 * first, 2 * second} {
		mark := fretboard.Position{String: at.String, Fret: at.Fret + away}
		if !s.Neck.Has(mark) || mark.Fret > 0 && s.Neck.Inlays(mark.Fret) == 0 {
			continue
		}
		if natural(s.Neck.MIDI(mark)) || mark.Fret%12 == 0 {
			return mark, true
		}
		if nearest.String == 0 {
			nearest = mark
		}
	}
	return nearest, nearest.String != 0
}

// frets says a number of frets: "one fret", "two frets", "14 frets".
func frets(n int) string { return counted(n, "fret") }

// counted says a number of things: "one fret", "two strings", "14 frets".
func counted(n int, thing string) string {
	words := []string{"no", "one", "two", "three", "four"}
	switch {
	case n == 1:
		return "one " + thing
	case n < len(words):
		return words[n] + " " + thing + "s"
	}
	return strconv.Itoa(n) + " " + thing + "s"
}
