package neck

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/fretboard"
)

// Tab writes a path of single notes as tablature, string 1 on top, on the strings that
// it touches and those between them, each line behind the number of its string. A place
// that is not told yet has "?" where hidden says so; hidden may be nil.
func Tab(path []fretboard.Position, hidden func(i int) bool) []string {
	if len(path) == 0 {
		return nil
	}
	by := func(a, b fretboard.Position) int { return a.String - b.String }
	first, last := slices.MinFunc(path, by).String, slices.MaxFunc(path, by).String
	lines := make([]string, last-first+1)
	for i := range lines {
		lines[i] = fmt.Sprintf("%2d  -", first+i)
	}
	for i, p := range path {
		fret := strconv.Itoa(p.Fret)
		if hidden != nil && hidden(i) {
			fret = "?"
		}
		for s := range lines {
			if s == p.String-first {
				lines[s] += fret + "--"
			} else {
				lines[s] += strings.Repeat("-", len(fret)+2)
			}
		}
	}
	return lines
}
