package report

import (
	"fmt"
	"slices"
	"strings"
)

// An Ink paints text in the colour of a step, 0 for unsure to 4 for sure. The
// text says the same without it.
type Ink func(step int, text string) string

// Text prints the map in so many columns, 40 at least, string 1 on top as in
// tablature and everywhere else; the nut is at the left, or at the
// right for a left-handed player. A nil ink paints nothing.
func (m Map) Text(columns int, ink Ink) string {
	if ink == nil {
		ink = func(_ int, text string) string { return text }
	}
	var b strings.Builder
	fold(&b, columns, "", fmt.Sprintf("The neck on %s, string 1 on top as in tablature.", m.Day))
	fold(&b, columns, "", "* sure: right and in time at least 8 times in 10. 0 to 7: how many times in 10. Dot: not asked yet.")
	b.WriteByte('\n')
	m.board(&b, columns, ink)
	b.WriteString("\nBy drill, of what has been asked:\n")
	for _, d := range m.Drills {
		d.line(&b, "", ink)
		if d.Name == "interval" {
			intervals(&b, d.Parts, ink)
			continue
		}
		for _, part := range d.Parts {
			if part.Asked > 0 {
				part.line(&b, "  ", ink)
			}
		}
	}
	if len(m.Weakest) > 0 {
		b.WriteString("\nWeakest, and what practises each:\n")
		for _, r := range m.Weakest {
			fold(&b, columns, "  ", fmt.Sprintf("%s: %.0f %%", r.Words, 100*r.Fluency))
			fmt.Fprintf(&b, "    %s\n", r.Command)
		}
	}
	return b.String()
}

// board draws the strings with the numbers of the inlaid frets below.
func (m Map) board(b *strings.Builder, columns int, ink Ink) {
	count := m.Frets[1] - m.Frets[0] + 1
	wide := min(4, max(1, (columns-4)/count))
	for i := 0; i+count <= len(m.Places); i += count {
		row := m.Places[i : i+count]
		cells := make([]string, count)
		for j, p := range row {
			cells[j] = strings.Repeat(" ", wide-1) + p.figure()
			if p.Level != Unmet {
				cells[j] = ink(step(p.Fluency), cells[j])
			}
		}
		m.row(b, fmt.Sprint(row[0].String), cells)
	}
	cells := make([]string, count)
	for j := range cells {
		cells[j] = fretLabel(m.Frets[0]+j, wide)
	}
	m.row(b, "", cells)
}

// row writes a label and cells, mirrored for a left-handed player.
func (m Map) row(b *strings.Builder, label string, cells []string) {
	line := fmt.Sprintf(" %2s ", label) + strings.Join(cells, "")
	if m.LeftHanded {
		slices.Reverse(cells)
		line = strings.Join(cells, "") + fmt.Sprintf(" %2s", label)
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
}

// line writes one drill: its name, how sure it is, and how much of it was asked.
func (d Drill) line(b *strings.Builder, indent string, ink Ink) {
	share := "   -"
	if d.Asked > 0 {
		share = ink(step(d.Fluency), fmt.Sprintf("%2.0f %%", 100*d.Fluency))
	}
	fmt.Fprintf(b, "  %s%-*s %s  %d of %d\n", indent, 20-len(indent), d.Name, share, d.Asked, d.Items)
}

// intervals draws the pairs of strings as a table: the lower string down, the
// higher one across.
func intervals(b *strings.Builder, pairs []Drill, ink Ink) {
	by := map[[2]int]Drill{}
	low, high := 0, 0
	for _, d := range pairs {
		var from, to int
		if _, err := fmt.Sscanf(d.Name, "strings %d and %d", &from, &to); err == nil {
			by[[2]int{from, to}] = d
			low, high = max(low, from), max(high, to)
		}
	}
	if low == 0 {
		return
	}
	b.WriteString("    from string, to  ")
	for to := high; to >= 1; to-- {
		fmt.Fprintf(b, "%3d", to)
	}
	b.WriteByte('\n')
	for from := low; from >= 2; from-- {
		fmt.Fprintf(b, "    %11d      ", from)
		for to := high; to >= 1; to-- {
			d, ok := by[[2]int{from, to}]
			switch sign := figure(d.level(), d.Fluency); {
			case !ok:
				b.WriteString("   ")
			case d.Asked == 0:
				b.WriteString("  " + sign)
			default:
				b.WriteString("  " + ink(step(d.Fluency), sign))
			}
		}
		b.WriteByte('\n')
	}
}

// fretLabel marks the inlays under the map; a narrow map has room for the last
// digit alone.
func fretLabel(fret, wide int) string {
	if !slices.Contains([]int{0, 3, 5, 7, 9, 12, 15, 17, 19, 21, 24}, fret) {
		return strings.Repeat(" ", wide)
	}
	text := fmt.Sprint(fret)
	if len(text) > wide {
		text = text[len(text)-wide:]
	}
	return fmt.Sprintf("%*s", wide, text)
}

// fold writes text in lines of so many columns, each with the indent.
func fold(b *strings.Builder, columns int, indent, text string) {
	rest := indent
	if indent != "" {
		rest += "  "
	}
	for _, line := range Fold(indent, rest, text, columns) {
		b.WriteString(line + "\n")
	}
}
