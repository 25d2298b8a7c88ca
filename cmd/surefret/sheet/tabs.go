package sheet

import (
	"fmt"
	"strings"

	"surefret/drills/gig"
)

// walkTab writes a walk as tablature on the strings that it takes, its chords over its
// first and its last note.
func (s Song) walkTab(w gig.SheetWalk) []string {
	high, low := w.Path[0].String, w.Path[0].String
	for _, p := range w.Path {
		high, low = min(high, p.String), max(low, p.String)
	}
	label := 0
	for str := high; str <= low; str++ {
		label = max(label, len([]rune(s.stringName(str))))
	}
	lines := []string{strings.Repeat(" ", label+2) + w.From}
	for str := high; str <= low; str++ {
		lines = append(lines, fmt.Sprintf("%-*s|-", label, s.stringName(str)))
	}
	for i, p := range w.Path {
		fret := fmt.Sprint(p.Fret)
		wide := len(fret) + 1
		if i == 0 {
			wide = max(wide, len([]rune(w.From))+1)
		} else if i+1 == len(w.Path) {
			lines[0] += strings.Repeat(" ", len([]rune(lines[1]))-len([]rune(lines[0]))) + w.To
		}
		for str := high; str <= low; str++ {
			what := ""
			if str == p.String {
				what = fret
			}
			lines[1+str-high] += what + strings.Repeat("-", wide-len(what))
		}
	}
	for str := high; str <= low; str++ {
		lines[1+str-high] += "|"
	}
	return lines
}

// stringName is the name of an open string.
func (s Song) stringName(str int) string { return s.names.Note(s.neck.Tuning.Open[str-1].Note) }

// tabWidth is the width of the longest of lines.
func tabWidth(lines []string) int {
	wide := 0
	for _, l := range lines {
		wide = max(wide, len([]rune(l)))
	}
	return wide
}
