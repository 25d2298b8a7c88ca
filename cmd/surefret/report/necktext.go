package report

import (
	"fmt"
	"strings"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/neck"
	"surefret/drills/fretboard"
)

// octave is how many frets of the neck are drawn: those above sound the same notes, and
// are practised as one with them.
const octave = 12

// Text prints the map in so many columns, 40 at least: the neck, what practises the
// weakest of it, and how sure each drill is.
func (m Map) Text(columns int, look ink.Look) string {
	if m.empty() {
		return strings.Join(Fold("", "", "Nothing was asked yet. Begin with 'surefret practice'.", columns), "\n") + "\n"
	}
	var b strings.Builder
	head := func(text string) { b.WriteString(look.Paint(ink.Strong, text) + "\n") }
	head("The neck on " + long(m.Day))
	b.WriteByte('\n')
	for _, line := range m.picture(columns, look).Draw().Lines {
		b.WriteString(line + "\n")
	}
	b.WriteByte('\n')
	for _, line := range m.Legend(columns, look) {
		b.WriteString(line + "\n")
	}
	if len(m.Weakest) > 0 {
		b.WriteByte('\n')
		head("Practise this next")
		for _, r := range m.Weakest {
			fold(&b, columns, "  ", fmt.Sprintf("%s: %d %%", r.Words, percent(r.Fluency)))
			fmt.Fprintf(&b, "    %s\n", r.Command)
		}
	}
	b.WriteByte('\n')
	head("By drill, of what has been asked")
	for _, d := range m.Drills {
		d.line(&b, "", look)
		if d.Name == "interval" {
			intervals(&b, d.Parts, look)
			continue
		}
		for _, part := range d.Parts {
			if part.Asked > 0 {
				part.line(&b, "  ", look)
			}
		}
	}
	return b.String()
}

// empty reports whether nothing was asked yet.
func (m Map) empty() bool {
	for _, d := range m.Drills {
		if d.Asked > 0 {
			return false
		}
	}
	for _, p := range m.Places {
		if p.Level != Unmet {
			return false
		}
	}
	return true
}

// Legend explains the figures of a map by example, and says what lies above the frets
// that are drawn, in lines of at most width columns.
func (m Map) Legend(width int, look ink.Look) []string {
	line := "─"
	if look.ASCII {
		line = "-"
	}
	text := "Right and in time, of ten:"
	for _, e := range []struct {
		figure     int
		says, word string
	}{{2, "0-4", "weak"}, {6, "5-7", "close"}, {8, "8-9", "sure"}} {
		text += " " + look.Paint(ink.Heat(e.figure), "_"+e.says+"_") + "_" + e.word
	}
	lines := Fold("", "", text+" _"+line+line+"_not_asked", width)
	for i := range lines {
		lines[i] = strings.TrimLeft(strings.ReplaceAll(lines[i], "_", " "), " ")
	}
	if said := m.above(); said != "" {
		lines = append(lines, Fold("", "", said, width)...)
	}
	return lines
}

// above says what lies above the frets that are drawn, "" for nothing.
func (m Map) above() string {
	if first := m.Frets[0]; m.Frets[1] >= first+octave {
		return fmt.Sprintf("Fret %d is as fret %d, and so on.", first+octave, first)
	}
	return ""
}

// legendWords is the legend of a page.
func (m Map) legendWords() string {
	return "Right and in time, of ten: 0-4 weak, 5-7 close, 8-9 sure; a bare string was not asked. " + m.above()
}

// picture is the neck with the figure of every place that was asked, twelve frets of it
// at most.
func (m Map) picture(columns int, look ink.Look) neck.Neck {
	last := min(m.Frets[1], m.Frets[0]+octave-1)
	n := neck.Neck{Board: m.board, LeftHanded: m.LeftHanded, Look: look, Columns: columns, Label: 1, Frets: [2]int{max(1, m.Frets[0]), max(1, last)}}
	n.Marks = m.Marks()
	for _, p := range m.Places {
		if k := len(n.Strings); k == 0 || n.Strings[k-1] != p.String {
			n.Strings = append(n.Strings, p.String)
		}
	}
	return n
}

// Marks are the places that were asked, of an octave, each with its figure.
func (m Map) Marks() (marks []neck.Mark) {
	for _, p := range m.Places {
		if p.Level != Unmet && p.Fret < m.Frets[0]+octave {
			marks = append(marks, neck.Mark{At: fretboard.Position{String: p.String, Fret: p.Fret}, Label: fmt.Sprint(p.Figure()), Kind: neck.Heat})
		}
	}
	return marks
}

// line writes one drill: its name, how sure it is, and how much of it was asked.
func (d Drill) line(b *strings.Builder, indent string, look ink.Look) {
	share := "    -"
	if d.Asked > 0 {
		share = look.Paint(ink.Heat(figure(d.level(), d.Fluency)), fmt.Sprintf("%3d %%", percent(d.Fluency)))
	}
	fmt.Fprintf(b, "  %s%-*s %s  %d of %d\n", indent, 20-len(indent), d.Name, share, d.Asked, d.Items)
}

// intervals draws the pairs of strings as a table: the lower string down, the
// higher one across.
func intervals(b *strings.Builder, pairs []Drill, look ink.Look) {
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
			switch d, ok := by[[2]int{from, to}]; {
			case !ok:
				b.WriteString("   ")
			case d.Asked == 0:
				b.WriteString("  -")
			default:
				of := figure(d.level(), d.Fluency)
				b.WriteString("  " + look.Paint(ink.Heat(of), fmt.Sprint(of)))
			}
		}
		b.WriteByte('\n')
	}
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
