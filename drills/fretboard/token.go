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

// tokenize finds the numbers of one row of a bar, each with the marks that
// belong to it: an opening bracket to the number after it, every other mark to
// the number before it. A slur that stands alone, as in 5-h-7, belongs to the
// number before it together with the dashes between.
func tokenize(cells []rune, at int) ([]token, *fault) {
	var tokens []token
	lead := -1
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
			switch touches := len(tokens) > 0 && tokens[len(tokens)-1].end >= start; {
			case isFill(c):
			case touches:
				tokens[len(tokens)-1].end = i + 1
			case strings.ContainsRune(`/\`, c) && i+1 < len(cells) && isDigit(cells[i+1]):
				lead = start // a slide from nowhere
			case strings.ContainsRune(slurs, c) && len(tokens) > 0:
				tokens[len(tokens)-1].end = i + 1
			}
			i++
			continue
		}
		tok := token{row: at, start: start, number: i}
		tok.note.String = at + 1
		if lead >= 0 {
			tok.start, lead = lead, -1
		}
		if digit {
			for i < len(cells) && isDigit(cells[i]) {
				tok.note.Fret = tok.note.Fret*10 + int(cells[i]-'0')
				i++
				if i-tok.number > 2 || tok.note.Fret > MostFrets {
					for i < len(cells) && isDigit(cells[i]) {
						i++
					}
					return nil, &fault{tok.number, fmt.Sprintf("found fret %s, expected 0 to %d", string(cells[tok.number:i]), MostFrets)}
				}
			}
		} else {
			tok.note.Dead = true
			i++
		}
		tok.marks, tok.end = i, i
		if n := len(tokens); n > 0 {
			before := tokens[n-1]
			marks := string(cells[before.marks:before.end])
			tok.note.Slurred = !tok.note.Dead && !before.note.Dead &&
				(strings.ContainsAny(marks, slurs) || tok.start-before.end <= 2 && strings.ContainsAny(marks, bends))
		}
		tokens = append(tokens, tok)
	}
	for i := range tokens {
		t := &tokens[i]
		t.note.Before, t.note.After = string(cells[t.start:t.number]), string(cells[t.marks:t.end])
	}
	return tokens, nil
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }
