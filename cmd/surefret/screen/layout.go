package screen

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/report"
)

// The smallest window that practice and forms are drawn in.
const (
	FewestColumns = 60
	FewestRows    = 18
)

// widestPage bounds what is drawn in a wide window: lines longer than that are
// hard to read, and frets wider than that say nothing more.
const widestPage = 118

// A layout sets lines into a window: a margin on both sides, the keys at the
// bottom.
type layout struct {
	look          ink.Look
	width, height int
}

// resize takes the size of the window, and reports whether it is another. Some
// terminals say 0, which is taken for the usual 80 by 24.
func (l *layout) resize(width, height int) (changed bool) {
	if width == 0 || height == 0 {
		width, height = 80, 24
	}
	changed = width != l.width || height != l.height
	l.width, l.height = width, height
	return changed
}

// small reports whether the window is too small to draw in, and tooSmall says so.
func (l layout) small() bool { return l.width < FewestColumns || l.height < FewestRows }

func (l layout) tooSmall(what, elsewhere string) string {
	return strings.Join(wrap(fmt.Sprintf("%s needs a window of %d columns and %d rows; this one has %d and %d. %s",
		what, FewestColumns, FewestRows, l.width, l.height, elsewhere), l.width), "\n")
}

// margin is the column where text begins, and measure its width.
func (l layout) margin() int  { return max(1, (l.width-widestPage)/2) }
func (l layout) measure() int { return min(l.width-2, widestPage) }

// indent moves lines to the margin.
func (l layout) indent(lines ...string) []string {
	for i, line := range lines {
		if line != "" {
			lines[i] = blanks(l.margin()) + line
		}
	}
	return lines
}

// page puts the footer at the bottom of the window, whatever the body is.
func (l layout) page(body, foot []string) string {
	free := l.height - len(foot)
	if len(body) > free {
		body = body[:free]
	}
	for len(body) < free {
		body = append(body, "")
	}
	return strings.Join(append(body, foot...), "\n")
}

// centred sets lines into the middle of so many rows, each in the middle of the window.
func (l layout) centred(lines []string, rows int) []string {
	page := make([]string, max(0, (rows-len(lines))/2))
	for _, line := range lines {
		if line != "" {
			line = blanks((l.width-ansi.StringWidth(line))/2) + line
		}
		page = append(page, line)
	}
	return page
}

// slab is a text three rows high, to be read from afar.
func (l layout) slab(text string) []string {
	wide := ansi.StringWidth(text) + 8
	blank := l.look.Paint(ink.Asked, blanks(wide))
	return []string{blank, l.look.Paint(ink.Asked, blanks(4)+text+blanks(4)), blank}
}

// wound draws a string that is wound so many of its columns, as a measure of time.
func (l layout) wound(wound, long int) string {
	along, light := "━", "─"
	if l.look.ASCII {
		along, light = "=", "-"
	}
	return strings.Repeat(along, wound) + strings.Repeat(light, long-wound)
}

// keys lays a footer out: pairs of a key and what it does.
func (l layout) keys(pairs ...string) []string {
	var items []string
	for i := 0; i < len(pairs); i += 2 {
		items = append(items, l.look.Paint(ink.Strong, pairs[i])+" "+pairs[i+1])
	}
	return l.indent(l.flow(items)...)
}

// flow sets items beside each other, on as few rows as hold them.
func (l layout) flow(items []string) (rows []string) {
	const gap = "   "
	row, wide := "", 0
	for _, item := range items {
		n := ansi.StringWidth(item)
		switch {
		case row == "":
			row, wide = item, n
		case wide+len(gap)+n <= l.measure():
			row, wide = row+gap+item, wide+len(gap)+n
		default:
			rows, row, wide = append(rows, row), item, n
		}
	}
	if row != "" {
		rows = append(rows, row)
	}
	// No item stands alone on the last row while the one before has some to give.
	if n := len(rows); n > 1 && !strings.Contains(rows[n-1], gap) {
		if i := strings.LastIndex(rows[n-2], gap); i >= 0 {
			rows[n-1] = rows[n-2][i+len(gap):] + gap + rows[n-1]
			rows[n-2] = rows[n-2][:i]
		}
	}
	return rows
}

// wrap breaks text into lines of at most width columns, between words.
func wrap(text string, width int) []string { return report.Fold("", "", text, width) }

// clip cuts a text to so many columns, as the terminal can show it.
func (l layout) clip(text string, most int) string {
	if l.look.ASCII {
		return ansi.Truncate(text, most, "..")
	}
	return clip(text, most)
}

// clip cuts a text to so many columns.
func clip(text string, most int) string { return ansi.Truncate(text, most, "…") }

// blanks returns n spaces, none for n below zero.
func blanks(n int) string { return strings.Repeat(" ", max(n, 0)) }
