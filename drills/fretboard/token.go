package fretboard

import (
	"fmt"
	"strings"
)

// A fault is what is wrong with a cell of a segment.
type fault struct {
	at      int
	problem string
}

// A scanned is a number as it is found.
type scanned struct {
	token
	note Fretted
}

// tokenize appends the numbers of one row of a bar, each with the marks that
// belong to it: an opening bracket to the number after it, every other mark to
// the number before it. A slur that stands alone, as in 5-h-7, belongs to the
// number before it together with the dashes between.
func tokenize(found []scanned, cells []rune, at int) ([]scanned, *fault) {
	first, lead := len(found), -1
	for i := 0; i < len(cells); {
		start := i
		for i < len(cells) && strings.ContainsRune(`([{<`, cells[i]) {
			i++
		}
		if i == len(cells) {
			break
		}
		c := cells[i]
		digit := isDigit(c)
		if !digit && c != 'x' && c != 'X' {
			// A mark, or nothing.
			switch any := len(found) > first; {
			case isFill(c):
			case any && int(found[len(found)-1].end) >= start:
				found[len(found)-1].end = int32(i + 1)
			case strings.ContainsRune(`/\`, c) && i+1 < len(cells) && isDigit(cells[i+1]):
				lead = start // a slide from nowhere
			case any && strings.ContainsRune(slurs, c):
				found[len(found)-1].end = int32(i + 1)
			}
			i++
			continue
		}
		number := i
		tok := scanned{token: token{row: int16(at), start: int32(start), number: int32(i)}}
		tok.note.String = at + 1
		if lead >= 0 {
			tok.start, lead = int32(lead), -1
		}
		if digit {
			for i < len(cells) && isDigit(cells[i]) {
				tok.note.Fret = tok.note.Fret*10 + int(cells[i]-'0')
				i++
				if i-number > 2 || tok.note.Fret > MostFrets {
					for i < len(cells) && isDigit(cells[i]) {
						i++
					}
					return nil, &fault{number, fmt.Sprintf("found fret %s, expected 0 to %d", string(cells[number:i]), MostFrets)}
				}
			}
		} else {
			tok.note.Dead = true
			i++
		}
		tok.marks, tok.end = int32(i), int32(i)
		if len(found) > first && !tok.note.Dead {
			before := found[len(found)-1]
			marks := string(cells[before.marks:before.end])
			tok.note.Slurred = !before.note.Dead &&
				(strings.ContainsAny(marks, slurs) || tok.start-before.end <= 2 && strings.ContainsAny(marks, bends))
		}
		found = append(found, tok)
	}
	for i := range found[first:] {
		f := &found[first+i]
		f.note.Before, f.note.After = string(cells[f.start:f.number]), string(cells[f.marks:f.end])
	}
	return found, nil
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }
