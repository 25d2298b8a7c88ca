package neck

import (
	"fmt"
	"strconv"
	"strings"

	"surefret/drills/fretboard"
)

// Tab writes a path of single notes as tablature on the strings from first to last,
// string 1 on top, each line behind the number of its string. A place without a string
// is not told: a "?" stands for it on the string of the one before.
func Tab(path []fretboard.Position, first, last int) []string {
	lines := make([]string, last-first+1)
	for i := range lines {
		lines[i] = fmt.Sprintf("%2d  -", first+i)
	}
	on := first
	for _, p := range path {
		fret := "?"
		if p.String > 0 {
			on, fret = p.String, strconv.Itoa(p.Fret)
		}
		for i := range lines {
			if first+i == on {
				lines[i] += fret + "--"
			} else {
				lines[i] += strings.Repeat("-", len(fret)+2)
			}
		}
	}
	return lines
}
