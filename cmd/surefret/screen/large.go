package screen

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
)

// Large letters, to be read with the guitar on: each is drawn in pixels, five high.

const pixelRows = 5

// glyphs has the rows of each, "#" for a pixel. Letters are capitals, but for the b that
// is a flat.
var glyphs = map[rune][pixelRows]string{
	'A': {" # ", "# #", "###", "# #", "# #"}, 'B': {"## ", "# #", "## ", "# #", "## "}, 'C': {" ##", "#  ", "#  ", "#  ", " ##"},
	'D': {"## ", "# #", "# #", "# #", "## "}, 'E': {"###", "#  ", "## ", "#  ", "###"}, 'F': {"###", "#  ", "## ", "#  ", "#  "},
	'G': {" ##", "#  ", "# #", "# #", " ##"}, 'H': {"# #", "# #", "###", "# #", "# #"}, 'I': {"#", "#", "#", "#", "#"},
	'J': {"  #", "  #", "  #", "# #", " # "}, 'K': {"# #", "# #", "## ", "# #", "# #"}, 'L': {"#  ", "#  ", "#  ", "#  ", "###"},
	'M': {"#   #", "## ##", "# # #", "#   #", "#   #"}, 'N': {"#  #", "## #", "# ##", "#  #", "#  #"}, 'O': {"###", "# #", "# #", "# #", "###"},
	'P': {"## ", "# #", "## ", "#  ", "#  "}, 'Q': {"### ", "# # ", "# # ", "####", "   #"}, 'R': {"## ", "# #", "## ", "# #", "# #"},
	'S': {" ##", "#  ", " # ", "  #", "## "}, 'T': {"###", " # ", " # ", " # ", " # "}, 'U': {"# #", "# #", "# #", "# #", "###"},
	'V': {"# #", "# #", "# #", "# #", " # "}, 'W': {"#   #", "#   #", "# # #", "## ##", "#   #"}, 'X': {"# #", "# #", " # ", "# #", "# #"},
	'Y': {"# #", "# #", " # ", " # ", " # "}, 'Z': {"###", "  #", " # ", "#  ", "###"},
	'0': {" # ", "# #", "# #", "# #", " # "}, '1': {" # ", "## ", " # ", " # ", "###"}, '2': {"## ", "  #", " # ", "#  ", "###"},
	'3': {"## ", "  #", " # ", "  #", "## "}, '4': {"# #", "# #", "###", "  #", "  #"}, '5': {"###", "#  ", "## ", "  #", "## "},
	'6': {" ##", "#  ", "## ", "# #", " # "}, '7': {"###", "  #", " # ", " # ", " # "}, '8': {" # ", "# #", " # ", "# #", " # "},
	'9': {" # ", "# #", " ##", "  #", "## "}, 'b': {"#  ", "#  ", "## ", "# #", "## "}, '#': {" # # ", "#####", " # # ", "#####", " # # "},
	' ': {"  ", "  ", "  ", "  ", "  "}, ',': {"  ", "  ", "  ", " #", "# "}, '/': {"  #", "  #", " # ", "#  ", "#  "}, '-': {"   ", "   ", "###", "   ", "   "},
}

// pixels draws a text, false where it has a sign that is not drawn.
func pixels(text string) (rows [pixelRows]string, ok bool) {
	for i, r := range text {
		if r != 'b' {
			r = []rune(strings.ToUpper(string(r)))[0]
		}
		g, drawn := glyphs[r]
		if !drawn {
			return rows, false
		}
		for row := range rows {
			if i > 0 {
				rows[row] += " "
			}
			rows[row] += g[row]
		}
	}
	return rows, true
}

// enlarged sets a text in large letters, in at most so many rows of the window, as large
// as they fit; nil where they fit in no size.
func (l layout) enlarged(text string, most int) []string {
	for _, size := range l.sizes() {
		for lines := 1; lines*(size.rows+1)-1 <= most; lines++ {
			drawn, ok := l.enlargedTo(size, text, lines, l.measure())
			if !ok {
				continue
			}
			for wide := l.measure() - 1; lines > 1; wide-- { // no word alone on the last line
				even, ok := l.enlargedTo(size, text, lines, wide)
				if !ok {
					break
				}
				drawn = even
			}
			return drawn
		}
	}
	return nil
}

// A size is how a pixel is drawn.
type size struct {
	wide int  // columns
	half bool // two share a row, one above the other
	rows int  // that a line takes
}

func (l layout) sizes() []size {
	big, tall, small := size{wide: 2, rows: pixelRows}, size{wide: 1, rows: pixelRows}, size{wide: 1, half: true, rows: (pixelRows + 1) / 2}
	if l.look.ASCII {
		return []size{big, tall}
	}
	return []size{big, small}
}

// large is a text in large letters, each of its rows as wide as the others, or a slab where
// they do not fit.
func (l layout) large(text string) []string {
	rows := l.enlarged(text, pixelRows)
	if rows == nil {
		return l.slab(text)
	}
	wide := 0
	for _, row := range rows {
		wide = max(wide, ansi.StringWidth(row))
	}
	for i, row := range rows {
		rows[i] = l.look.Paint(ink.Strong, row) + blanks(wide-ansi.StringWidth(row))
	}
	return rows
}

// enlargedTo sets a text in one size, in so many lines and columns at the most.
func (l layout) enlargedTo(s size, text string, lines, most int) (drawn []string, ok bool) {
	var line string
	put := func() bool {
		rows, ok := pixels(line)
		if !ok || len(rows[0])*s.wide > most {
			return false
		}
		if len(drawn) > 0 {
			drawn = append(drawn, "")
		}
		drawn, lines = append(drawn, l.dots(s, rows)...), lines-1
		return true
	}
	for word := range strings.FieldsSeq(text) {
		with := strings.TrimSpace(line + " " + word)
		if rows, _ := pixels(with); line != "" && len(rows[0])*s.wide > most {
			if !put() {
				return nil, false
			}
			with = word
		}
		line = with
	}
	if !put() || lines < 0 {
		return nil, false
	}
	return drawn, true
}

// dots draws the pixels of a line.
func (l layout) dots(s size, rows [pixelRows]string) (drawn []string) {
	full, top, bottom := "█", "▀", "▄"
	if l.look.ASCII {
		full = "#"
	}
	at := func(row, i int) bool { return row < pixelRows && rows[row][i] == '#' }
	step := 1
	if s.half {
		step = 2
	}
	for row := 0; row < pixelRows; row += step {
		var line strings.Builder
		for i := range len(rows[0]) {
			above, below := at(row, i), at(row+step-1, i)
			dot := " "
			switch {
			case above && below:
				dot = full
			case above:
				dot = top
			case below:
				dot = bottom
			}
			line.WriteString(strings.Repeat(dot, s.wide))
		}
		drawn = append(drawn, strings.TrimRight(line.String(), " "))
	}
	return drawn
}
