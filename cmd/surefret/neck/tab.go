package neck

import (
	"fmt"
	"strconv"
	"strings"

	"surefret/drills/fretboard"
)

// Tab writes a path of single notes as tablature on the strings from first to last,
// string 1 on top, each line behind the number of its string. A place without a string
// is not told: a "?" stands for it on every string.
func Tab(path []fretboard.Position, first, last int) []string {
	lines := make([]string, last-first+1)
	for i := range lines {
		lines[i] = fmt.Sprintf("%2d  -", first+i)
	}
	for _, p := range path {
		fret := strconv.Itoa(p.Fret)
		for i := range lines {
			switch {
			case p.String == 0:
				lines[i] += "?--"
			case first+i == p.String:
				lines[i] += fret + "--"
			default:
				lines[i] += strings.Repeat("-", len(fret)+2)
			}
		}
	}
	return lines
}

// Under writes a row of signs, each below its place of a path as [Tab] writes it.
func Under(path []fretboard.Position, signs []string) string {
	row := strings.Repeat(" ", 5)
	for i, p := range path {
		row += fmt.Sprintf("%-*s", len(strconv.Itoa(p.Fret))+2, signs[i])
	}
	return strings.TrimRight(row, " ")
}
