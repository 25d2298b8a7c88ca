package tablature

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// marks are the signs that may stand by a number.
const marks = `hHpP/\~xX()bBrRsStTvV^*<>[]{}=.+'oO`

func isDash(r rune) bool { return r == '-' || r == '–' || r == '—' || r == '−' || r == '‒' }

func isFill(r rune) bool { return isDash(r) || r == ' ' }

func isBar(r rune) bool { return r == '|' || r == ':' }

// looksLikeTab reports whether a line is meant as one string of a system: for
// the most part dashes, bars and numbers, up to its last bar.
func looksLikeTab(line string) bool {
	if i := strings.LastIndexByte(line, '|'); i >= 0 && strings.ContainsFunc(line[:i], isDash) {
		line = line[:i+1]
	}
	cells := line[len(tabLabel(line, false)):]
	dashes, held, drawn, all, odd, digits := 0, 0, 0, 0, 0, 0
	for _, r := range cells {
		switch {
		case unicode.IsSpace(r):
			continue
		case isDash(r):
			dashes++
			drawn++
		case r == '=' || r == '~': // a note that rings on, or is shaken
			held++
			drawn++
		case r >= '0' && r <= '9':
			digits++
			drawn++
		case isBar(r):
			drawn++
		case !strings.ContainsRune(marks, r):
			odd++
		}
		all++
	}
	if odd > 0 && digits == 0 { // "let ring ----|", "PM -----"
		return false
	}
	barred := strings.Contains(cells, "|")
	named := held > 0 && barred && strings.TrimSpace(line[:len(line)-len(cells)]) != ""
	return (dashes > 1 || dashes == 1 && barred || named) && 5*drawn >= 3*all
}

// tabLabel returns what stands before the cells of a line: space, a string's
// name, or where the strings are numbered its number, and space: "e", "Bb ",
// " E4 ".
func tabLabel(line string, numbered bool) string {
	i := 0
	space := func() {
		for i < len(line) && (line[i] == ' ' || line[i] == '\t') {
			i++
		}
	}
	space()
	start := i
	if numbered || i+1 < len(line) && (line[i] == 'H' || line[i] == 'h') && strings.IndexByte("|: ", line[i+1]) >= 0 {
		i++ // a German H, and no hammer-on, which has a bar before it
	} else if i < len(line) && strings.IndexByte("ABCDEFGabcdefg", line[i]) >= 0 {
		i++
		for _, sign := range []string{"#", "b", "♯", "♭"} {
			if strings.HasPrefix(line[i:], sign) {
				i += len(sign)
				break
			}
		}
		if i+1 < len(line) && line[i] >= '0' && line[i] <= '9' && strings.IndexByte("|: )]", line[i+1]) >= 0 {
			i++ // an octave, E4|, and no fret, as in E4--
		}
	}
	if i > start {
		if i < len(line) && (line[i] == ')' || line[i] == ']') {
			i++
		}
		space()
	}
	return line[:i]
}

// numbered reports whether lines begin with the numbers of their strings,
// parted from the cells: "1|", "2|" and so on.
func numbered(lines []tabLine) bool {
	for i, l := range lines {
		rest, ok := strings.CutPrefix(strings.TrimLeft(l.text, " \t"), fmt.Sprint(i+1))
		if !ok || rest == "" || strings.IndexByte("|: )", rest[0]) < 0 {
			return false
		}
	}
	return true
}

// cut parts a line of tablature, by its number in the file, at its bar lines.
func cut(line, label string, number int) (row, error) {
	r := atBars(line, label)
	for s, segment := range r.segments {
		for i, c := range segment {
			if !isFill(c) && !(c >= '0' && c <= '9') && !strings.ContainsRune(marks, c) {
				return row{}, &tabError{number, r.columns[s] + i + 1, fmt.Sprintf(`found %q, expected a fret, a dash, a bar or one of h p / \ ~ x ( )`, c)}
			}
		}
	}
	return r, nil
}

// atBars parts a line of tablature at its bar lines, whatever stands in it.
func atBars(line, label string) row {
	r := row{label: label}
	column := len([]rune(r.label))
	cells := expand(line[len(r.label):], column)
	for i := 0; i < len(cells); {
		start := i
		for i < len(cells) && barAt(cells, i, start) {
			i++
		}
		r.bars = append(r.bars, string(cells[start:i]))
		start = i
		for i < len(cells) && !barAt(cells, i, i) {
			i++
		}
		segment := cells[start:i]
		if i == len(cells) && len(r.segments) > 0 && isComment(segment) {
			r.tail = string(segment)
			break
		}
		if i == len(cells) && len(segment) == 0 {
			break
		}
		r.segments = append(r.segments, segment)
		r.columns = append(r.columns, column+start)
	}
	if len(r.bars) == len(r.segments) {
		r.bars = append(r.bars, "")
	}
	return r
}

// isComment reports whether what stands after a line's last bar is no bar of its
// own: "x2", "  <- let it ring".
func isComment(cells []rune) bool {
	if len(cells) == 0 || cells[0] != ' ' {
		return !slices.ContainsFunc(cells, isDash)
	}
	for i := 1; i < len(cells); i++ {
		if isDash(cells[i]) && isDash(cells[i-1]) {
			return false
		}
	}
	return true
}

// barAt reports whether cell i belongs to a bar line that began at start. The
// dots of a repeat, * or o, do if they touch a line: "||*" and "*||".
func barAt(cells []rune, i, start int) bool {
	if cells[i] == '*' || cells[i] == 'o' {
		return i > start || i+1 < len(cells) && isBar(cells[i+1])
	}
	return isBar(cells[i])
}

// expand turns tab stops into the spaces that they stand for.
func expand(s string, column int) []rune {
	cells := make([]rune, 0, len(s))
	for _, c := range s {
		if c != '\t' {
			cells = append(cells, c)
			continue
		}
		cells = append(cells, ' ')
		for (column+len(cells))%8 != 0 {
			cells = append(cells, ' ')
		}
	}
	return cells
}
