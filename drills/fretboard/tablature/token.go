package tablature

import (
	"fmt"
	"strings"

	"surefret/drills/fretboard"
)

// A fault is what is wrong with a cell of a segment.
type fault struct {
	at      int
	problem string
}

// A scanned is a number as it is found.
type scanned struct {
	token
	note fretboard.Fretted
}

// A scanner finds the numbers of one row of a bar.
type scanner struct {
	cells []rune
	row   int
	str   int // its string
	found []scanned
	first int // the index in found of the row's first number
	lead  int // where the marks begin that belong to the next number, -1 for none
}

// tokenize appends the numbers of one row of a bar, which is that of a string, each with the marks that
// belong to it: opening brackets and what touches only the number after it to
// that one, every other mark to the number before it. A mark that stands alone, as
// in 5-h-7 or 5-~~~, belongs to the number before it together with the dashes
// between.
func tokenize(found []scanned, cells []rune, row, str int) ([]scanned, *fault) {
	s := scanner{cells: cells, row: row, str: str, found: found, first: len(found), lead: -1}
	for i := 0; i < len(cells); {
		start := i
		for i < len(cells) && strings.ContainsRune(`([{<`, cells[i]) {
			i++
		}
		switch {
		case i == len(cells):
		case isNumber(cells[i]):
			var bad *fault
			if i, bad = s.number(start, i); bad != nil {
				return nil, bad
			}
		default:
			s.mark(start, i)
			i++
		}
	}
	for i := range s.found[s.first:] {
		f := &s.found[s.first+i]
		f.note.Before, f.note.After = string(cells[f.start:f.number]), string(cells[f.marks:f.end])
	}
	return s.found, nil
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// isNumber reports whether r begins a number, or is the x of a damped string.
func isNumber(r rune) bool { return isDigit(r) || r == 'x' || r == 'X' }

// mark takes what stands in cell i, with the brackets from start on before it.
func (s *scanner) mark(start, i int) {
	if isFill(s.cells[i]) || s.lead >= 0 {
		return
	}
	any := len(s.found) > s.first
	if any && int(s.found[len(s.found)-1].end) >= start {
		s.found[len(s.found)-1].end = int32(i + 1)
		return
	}
	next := i
	for next < len(s.cells) && !isFill(s.cells[next]) && !isNumber(s.cells[next]) {
		next++
	}
	switch touches := next < len(s.cells) && isDigit(s.cells[next]); {
	case touches && (!any && strings.ContainsRune(fretboard.Slurs, s.cells[i]) || strings.ContainsRune(`/\tT`, s.cells[i])):
		s.lead = start // a slide from nowhere, a tap
	case any && strings.ContainsRune(fretboard.Slurs+fretboard.Bends+fretboard.Vibratos+"=", s.cells[i]):
		s.found[len(s.found)-1].end = int32(i + 1)
	}
}

// number reads the number in cell i, with the brackets from start on before it,
// and returns the cell behind it.
func (s *scanner) number(start, i int) (next int, bad *fault) {
	if s.lead >= 0 {
		start, s.lead = s.lead, -1
	}
	tok := scanned{token: token{row: int16(s.row), start: int32(start), number: int32(i)}}
	tok.note.String = s.str
	if tok.note.Dead = !isDigit(s.cells[i]); tok.note.Dead {
		next = i + 1
	} else {
		for next = i; next < len(s.cells) && isDigit(s.cells[next]); next++ {
			tok.note.Fret = min(tok.note.Fret*10+int(s.cells[next]-'0'), fretboard.MostFrets+1)
		}
		if next-i > 2 || tok.note.Fret > fretboard.MostFrets {
			return 0, &fault{i, fmt.Sprintf("found fret %s, expected 0 to %d", string(s.cells[i:next]), fretboard.MostFrets)}
		}
	}
	tok.marks, tok.end = int32(next), int32(next)
	if len(s.found) > s.first && !tok.note.Dead {
		before := s.found[len(s.found)-1]
		marks := string(s.cells[before.marks:before.end])
		tok.note.Slurred = !before.note.Dead &&
			(strings.ContainsAny(marks, fretboard.Slurs) || tok.start-before.end <= 2 && strings.ContainsAny(marks, fretboard.Bends))
	}
	s.found = append(s.found, tok)
	return next, nil
}
