package tablature

import (
	"strings"

	"surefret/drills/theory"
)

// A System is one system of written tablature, cut at its bars, so that these can be
// laid out anew where lines are shorter.
type System struct {
	Text  []string   // the lines of text before it
	Bars  [][]string // each its lines from the top, all as long as the first of them
	Names bool       // whether the first line of each bar is one of chord names
}

// Systems cuts a page that [Tab.WriteMoved] wrote. The names of the strings stand in
// the first bar of each system, bar lines before what they begin; what follows the last
// system is left out.
func (t *Tab) Systems(page string, names theory.Names) []System {
	lines := strings.Split(page, "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(l, "\r")
	}
	var all []System
	text := 0
	for _, sys := range t.systems {
		var s System
		chords := []rune{}
		above := sys.first
		if above > text {
			_, s.Names = t.namesChords(above-1, names)
		}
		if s.Names {
			above--
			chords = []rune(lines[above])
		}
		for _, l := range lines[text:above] {
			if strings.TrimSpace(l) != "" {
				s.Text = append(s.Text, l)
			}
		}
		text = sys.first + len(sys.rows)
		s.cutBars(lines[sys.first:text], sys.rows, chords)
		all = append(all, s)
	}
	return all
}

// cutBars cuts the lines of one system, and the chord names above it: a name belongs
// to the bar that it begins over, and a bar is as wide as its names.
func (s *System) cutBars(lines []string, was []row, names []rune) {
	last := len(was[0].segments) - 1
	rows := make([]row, len(was))
	for r := range was {
		rows[r] = atBars(lines[r], was[r].label)
		if len(rows[r].segments) <= last { // a dash that was the tail of its row
			return
		}
	}
	for b := range last + 1 {
		bar, from, to := []string{}, 0, len(names)
		if b > 0 {
			from = nameFrom(names, rows[0].columns[b]-len(rows[0].bars[b]))
		}
		if b < last {
			to = nameFrom(names, rows[0].columns[b+1]-len(rows[0].bars[b+1]))
		}
		if s.Names {
			bar = append(bar, strings.TrimRight(string(names[min(from, to):to]), " |"))
		}
		for _, r := range rows {
			line := r.bars[b] + string(r.segments[b])
			if b == 0 {
				line = r.label + line
			}
			if b == last {
				line += r.bars[b+1]
			}
			bar = append(bar, line)
		}
		s.Bars = append(s.Bars, even(bar, s.Names))
	}
}

// nameFrom returns the column from which names belong to the bar that begins at a
// column: one that began before it stays whole.
func nameFrom(names []rune, column int) int {
	column = min(max(column, 0), len(names))
	for column > 0 && column < len(names) && !betweenNames(names[column-1]) && !betweenNames(names[column]) {
		column++
	}
	return column
}

// even fills lines up to the longest: those of strings with dashes, but for what
// closes a bar.
func even(lines []string, names bool) []string {
	longest := 0
	for _, l := range lines {
		longest = max(longest, len([]rune(l)))
	}
	for i, l := range lines {
		fill := "-"
		if i == 0 && names || strings.HasSuffix(l, "|") {
			fill = " "
		}
		lines[i] = l + strings.Repeat(fill, longest-len([]rune(l)))
	}
	return lines
}
