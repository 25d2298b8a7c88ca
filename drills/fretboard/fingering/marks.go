package fingering

import (
	"fmt"
	"strings"

	"surefret/drills/fretboard"
)

// handMoves are the marks that take no stretch: the hand moves, or the other one plays.
const handMoves = fretboard.Slides + `tT`

// nodes gives for each fret at which a string is touched for a natural harmonic
// how many semitones above the open string it sounds: the string rings in 2, 3, 4
// or 5 parts, a twelfth and so on above it (harmonic series, in the nearest
// tempered note).
var nodes = map[int]int{12: 12, 7: 19, 19: 19, 5: 24, 24: 24, 4: 28, 9: 28, 16: 28}

// nodesInOrder are the frets of nodes, those first that ring best.
var nodesInOrder = []int{12, 7, 5, 19, 24, 9, 4, 16}

// harmonicOf returns how many semitones above its open string a natural harmonic
// sounds, written <12>; 0 where n is none.
func harmonicOf(n fretboard.Fretted) int {
	if strings.HasSuffix(n.Before, "<") && strings.HasPrefix(n.After, ">") {
		return nodes[n.Fret]
	}
	return 0
}

// pitchOf returns the MIDI key number of a note.
func pitchOf(fb fretboard.Fretboard, n fretboard.Fretted) int {
	if above := harmonicOf(n); above > 0 {
		return fb.MIDI(fretboard.Position{String: n.String, Fret: 0}) + above
	}
	return fb.MIDI(n.Position)
}

// nodeAt returns the fret at which a string rings so many semitones above its open
// note, -1 where there is none.
func nodeAt(fb fretboard.Fretboard, above int) int {
	for _, fret := range nodesInOrder {
		if nodes[fret] == above && fret <= fb.Last() {
			return fret
		}
	}
	return -1
}

// nodesLost counts the harmonics that find no node n half steps away, and those
// thrice that leave the neck besides.
func nodesLost(fb fretboard.Fretboard, notes []fretboard.Fretted, n int) int {
	lost := 0
	for _, note := range notes {
		if above := harmonicOf(note); above > 0 && nodeAt(fb, above+n) < 0 {
			if lost++; above+n < 0 || above+n > fb.Last() {
				lost += 2
			}
		}
	}
	return lost
}

// slideHarmonic moves a harmonic to a node of its string, or where there is none
// makes it a stopped note of the same pitch and says so.
func (m *Moved) slideHarmonic(event int, was fretboard.Fretted) fretboard.Fretted {
	note := was
	sounds := harmonicOf(was) + m.Semitones
	if fret := nodeAt(m.Neck, sounds); fret > 0 {
		note.Fret = fret
		return note
	}
	note.Fret = sounds
	note.Before, note.After = strings.TrimSuffix(was.Before, "<"), strings.TrimPrefix(was.After, ">")
	m.problem(event, markLost, func() string {
		return fmt.Sprintf("the harmonic at %s has no node on its string in this key, and is written as a stopped note", was.Say())
	})
	return note
}

// A step is the note before on a string of the original: as it was, as it is now,
// and where marks may still be taken from it. It has no strings where there is none.
type step struct {
	was, now fretboard.Fretted
	written  *fretboard.Fretted
}

// checkMarks reports the marks that a note loses where it now lies, takes them
// from it, and makes it the latest of its string.
func (m *Moved) checkMarks(event int, latest *[fretboard.MaxStrings + 1]step, was fretboard.Fretted, note *fretboard.Fretted) {
	if note.Slurred {
		m.checkSlur(event, latest[was.String], was, note)
	}
	if note.Fret == 0 && was.Fret > 0 && strings.ContainsAny(note.After, fretboard.Slides+fretboard.Bends+fretboard.Vibratos) {
		m.problem(event, markLost, func() string {
			return fmt.Sprintf("%s was bent, slid or shaken and is now an open string", was.Say())
		})
		loseMarks(note, fretboard.Slides+fretboard.Bends+fretboard.Vibratos)
	}
	latest[was.String] = step{was, *note, note}
}

// checkSlur reports what a slur from the note before loses, and takes it away.
func (m *Moved) checkSlur(event int, before step, was fretboard.Fretted, note *fretboard.Fretted) {
	if before.written == nil {
		return
	}
	slid := strings.ContainsAny(before.was.After, fretboard.Slides+fretboard.Bends)
	switch {
	case before.now.String != note.String:
		m.problem(event, slurBroken, func() string {
			return fmt.Sprintf("%s was slurred and is struck anew, on string %d", was.Say(), note.String)
		})
	case slid && note.Fret == 0 && was.Fret > 0:
		m.problem(event, markLost, func() string {
			return fmt.Sprintf("%s was slid or bent to and is now an open string", was.Say())
		})
	case slid && !strings.ContainsAny(before.now.After, fretboard.Slides+fretboard.Bends): // told at the note before
	default:
		m.checkReach(event, before, was, *note)
		return
	}
	note.Slurred = false
	loseMarks(before.written, fretboard.Slurs+fretboard.Bends)
}

// loseMarks takes marks away that stand after the number, with all behind the
// first of them.
func loseMarks(n *fretboard.Fretted, marks string) {
	if i := strings.IndexAny(n.After, marks); i >= 0 {
		n.After = strings.TrimRight(n.After[:i], "-")
	}
}

// checkReach reports a hammer-on or pull-off between two frets that no hand
// reaches at once, as when an open string was one of them. What the original needs
// is within the player's reach.
func (m *Moved) checkReach(event int, before step, was, note fretboard.Fretted) {
	from, to := before.now.Fret, note.Fret
	reach := m.Neck.Reach()
	if before.was.Fret > 0 && was.Fret > 0 {
		reach = max(reach, before.was.Fret-was.Fret, was.Fret-before.was.Fret)
	}
	apart := max(from-to, to-from)
	if from > 0 && to > 0 && apart > reach && !strings.ContainsAny(before.was.After, handMoves) {
		m.problem(event, tooWide, func() string {
			return fmt.Sprintf("the slur on string %d from fret %d to %d spans %d frets, and the hand reaches %d", note.String, from, to, apart, reach)
		})
	}
}

// stoppedNotes says which of the sounding notes have marks that no open string
// can have: nil for none.
func stoppedNotes(notes []fretboard.Fretted) []bool {
	var stopped []bool
	k := 0
	for _, n := range notes {
		if n.Dead {
			continue
		}
		if n.Fret > 0 && strings.ContainsAny(n.After, fretboard.Slides+fretboard.Bends+fretboard.Vibratos) {
			if stopped == nil {
				stopped = make([]bool, len(notes))
			}
			stopped[k] = true
		}
		k++
	}
	return stopped
}
