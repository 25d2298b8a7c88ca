package drills

import (
	"fmt"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Row is what a question about names is about, drawn in place of the neck: the numbers
// of a key, or the tones of a chord, with what belongs to each.
type Row struct {
	Title string // whose they are: "Ab major"; "" where that is asked
	Cells []Cell
	After bool // drawn with the answer alone
}

// A Cell is one number of a row.
type Cell struct {
	Number string // "6-", "b3"
	Name   string // "F#m"; told with the answer
	Given  bool   // told with the question already
	Open   bool   // asked for
	Target bool   // what the answer is about
}

// chordRow is the chords of a key by number, of which the first is given. The one on n's
// degree is the chord that n names.
func (s Setup) chordRow(k theory.Key, n theory.Numeral) Row {
	row := Row{Title: s.Names.Key(k)}
	for i, chord := range k.Triads() {
		number := k.Numeral(chord)
		target := number.Degree.Number == n.Degree.Number
		if target {
			chord, number = k.Chord(n), n
		}
		row.Cells = append(row.Cells, Cell{Number: number.Number(), Name: s.Names.Chord(chord), Given: i == 0, Target: target})
	}
	return row
}

// relativeRow is the chords of a major key, of which the 1 or, back, the 6 is given and
// the other asked.
func (s Setup) relativeRow(k theory.Key, back bool) Row {
	const one, six = 0, 5
	row := s.chordRow(k, k.Numeral(k.Triads()[six]))
	given, open := one, six
	if back {
		row.Title, given, open = "", six, one
	}
	for i := range row.Cells {
		row.Cells[i].Given, row.Cells[i].Open, row.Cells[i].Target = i == given, i == open, i == open
	}
	return row
}

// scaleCells is the scale of a key, of which the keynote is given; its sharps or flats
// are what the answer is about.
func (s Setup) scaleCells(k theory.Key) Row {
	var row Row
	for i, n := range k.Scale() {
		row.Cells = append(row.Cells, Cell{Number: fmt.Sprint(i + 1), Name: s.Names.Note(n), Given: i == 0, Target: n.Alter != 0})
	}
	return row
}

// keynoteOpen is a scale of which the keynote is asked.
func (r Row) keynoteOpen() Row {
	for i := range r.Cells {
		r.Cells[i].Given, r.Cells[i].Open, r.Cells[i].Target = false, i == 0, i == 0
	}
	return r
}

// progressionRow is the numbers of a progression with their chords.
func (s Setup) progressionRow(numbers string, k theory.Key, chords theory.Progression) Row {
	row := Row{Title: s.Names.Key(k)}
	for i, number := range strings.Fields(numbers) {
		row.Cells = append(row.Cells, Cell{Number: number, Name: s.Names.Chord(chords[i]), Open: true})
	}
	return row
}

// opened is a row with its target asked for.
func (r Row) opened() []Row {
	for i := range r.Cells {
		r.Cells[i].Open = r.Cells[i].Target
	}
	return []Row{r}
}

// toneRow is the tones of a chord by degree, for the answer.
func (s Setup) toneRow(c theory.Chord) Row {
	row := Row{Title: s.Names.Chord(c), After: true}
	for i, iv := range c.Intervals() {
		row.Cells = append(row.Cells, Cell{Number: theory.DegreeOf(iv).String(), Name: s.Names.Note(c.Notes()[i])})
	}
	return row
}

// candidates sets on the neck, with the answer to q, what was heard and what it could
// have been taken for, over one root: right is the interval heard, other gives the one
// that an answer stands for.
func (s Setup) candidates(q Question, low int, right theory.Interval, other func(answer string) (theory.Interval, bool)) Question {
	judge := q.judge
	q.judge = func(answer string) (Verdict, error) {
		v, err := judge(answer)
		if err != nil {
			return v, err
		}
		root, at, ok := s.pairAt(low, right)
		if !ok {
			return v, nil
		}
		v.Marks = []Mark{{root, "1"}, {at, theory.DegreeOf(right).String()}}
		if iv, known := other(answer); known && iv.Semitones != right.Semitones {
			if same, at, ok := s.pairAt(low, iv); ok && same == root {
				v.Others = []Mark{{at, theory.DegreeOf(iv).String()}}
			}
		}
		return v, nil
	}
	return q
}

// pairAt finds places for a low note and one above it: the low one on the lowest string
// that has it, the other where the hand has least to stretch, and on the same string only
// where no other has it; both on the frets asked.
func (s Setup) pairAt(low int, iv theory.Interval) (root, at fretboard.Position, ok bool) {
	place := func(str, key int) (fretboard.Position, bool) {
		p := fretboard.Position{String: str, Fret: key - s.Neck.MIDI(fretboard.Position{String: str})}
		return p, s.Neck.Has(p) && p.Fret >= s.Frets[0] && p.Fret <= s.Frets[1]
	}
	strs, found := lowFirst(s.Neck.Tuning), false
	for i := 0; i < len(strs) && !found; i++ {
		root, found = place(strs[i], low)
	}
	if !found {
		return root, at, false
	}
	for _, str := range strs {
		p, asked := place(str, low+iv.Semitones)
		if asked && str != root.String && (!ok || abs(p.Fret-root.Fret) < abs(at.Fret-root.Fret)) {
			at, ok = p, true
		}
	}
	if !ok {
		at, ok = place(root.String, low+iv.Semitones)
	}
	return root, at, ok
}
