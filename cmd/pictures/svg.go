package main

import (
	"fmt"
	"html"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Measures of a cell of the terminal and of the frame, in SVG user units.
const (
	cellWide, cellHigh = 8.4, 18.0
	frame              = 14
)

// A style is how a run of cells is painted: colours as "#rrggbb", "" for the
// terminal's own.
type style struct {
	ink, fill     string
	bold, reverse bool
}

// A stretch is text in one style.
type stretch struct {
	style
	text string
}

var escape = regexp.MustCompile("\x1b\\[([0-9;]*)m")

// plain is the text without its escape codes.
func plain(screen string) string { return escape.ReplaceAllString(screen, "") }

// runs parts a line at its "select graphic rendition" codes (ECMA-48). The
// style goes on from line to line.
func runs(line string, s *style) (all []stretch) {
	at := 0
	for _, m := range escape.FindAllStringSubmatchIndex(line, -1) {
		if m[0] > at {
			all = append(all, stretch{*s, line[at:m[0]]})
		}
		s.take(line[m[2]:m[3]])
		at = m[1]
	}
	if at < len(line) {
		all = append(all, stretch{*s, line[at:]})
	}
	return all
}

// take applies the parameters of one code.
func (s *style) take(parameters string) {
	codes := strings.Split(parameters, ";")
	for i := 0; i < len(codes); i++ {
		n, _ := strconv.Atoi(codes[i])
		extended := func() string {
			if i+2 < len(codes) && codes[i+1] == "5" {
				c, _ := strconv.Atoi(codes[i+2])
				i += 2
				return colour(c)
			}
			return ""
		}
		switch {
		case n == 0:
			*s = style{}
		case n == 1:
			s.bold = true
		case n == 7:
			s.reverse = true
		case n >= 30 && n <= 37:
			s.ink = colour(n - 30)
		case n == 38:
			s.ink = extended()
		case n == 39:
			s.ink = ""
		case n >= 40 && n <= 47:
			s.fill = colour(n - 40)
		case n == 48:
			s.fill = extended()
		case n == 49:
			s.fill = ""
		}
	}
}

// colour is the tone of one of 256 colours, as xterm has them (common practice).
func colour(n int) string {
	basic := []string{"#000000", "#cd0000", "#00cd00", "#cdcd00", "#0000ee", "#cd00cd", "#00cdcd", "#e5e5e5",
		"#7f7f7f", "#ff0000", "#00ff00", "#ffff00", "#5c5cff", "#ff00ff", "#00ffff", "#ffffff"}
	switch {
	case n < 16:
		return basic[max(0, n)]
	case n >= 232:
		return fmt.Sprintf("#%02x%02x%02x", 8+10*(n-232), 8+10*(n-232), 8+10*(n-232))
	}
	cube := []int{0, 95, 135, 175, 215, 255}
	return fmt.Sprintf("#%02x%02x%02x", cube[(n-16)/36], cube[(n-16)/6%6], cube[(n-16)%6])
}

// The terminal's own colours.
const (
	paper = "#16181c"
	ink   = "#e4e4e4"
)

// picture draws a screen of so many columns. Each run is stretched to its
// columns, so that any monospaced font will do.
func picture(title, screen string, columns int) string {
	lines := strings.Split(strings.TrimRight(screen, "\n"), "\n")
	width := 2*frame + cellWide*float64(columns)
	height := 2*frame + cellHigh*float64(len(lines))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" width="%.0f" height="%.0f" role="img" font-family="ui-monospace, 'DejaVu Sans Mono', Menlo, Consolas, monospace" font-size="14">`+"\n",
		width, height, width, height)
	fmt.Fprintf(&b, "<title>%s</title>\n<rect width=\"100%%\" height=\"100%%\" rx=\"8\" fill=\"%s\"/>\n", html.EscapeString(title), paper)
	var s style
	for y, line := range lines {
		column := 0
		for _, r := range runs(line, &s) {
			n := utf8.RuneCountInString(r.text)
			r.draw(&b, frame+cellWide*float64(column), frame+cellHigh*float64(y), cellWide*float64(n))
			column += n
		}
	}
	b.WriteString("</svg>\n")
	return b.String()
}

// draw draws a run at its upper left corner.
func (r stretch) draw(b *strings.Builder, x, y, wide float64) {
	fill, pen := r.fill, r.ink
	if pen == "" {
		pen = ink
	}
	if r.reverse {
		if fill == "" {
			fill = paper
		}
		fill, pen = pen, fill
	}
	if fill != "" {
		fmt.Fprintf(b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="%s"/>`, x, y, wide, cellHigh, fill)
	}
	if strings.TrimSpace(r.text) == "" {
		b.WriteByte('\n')
		return
	}
	weight := ""
	if r.bold {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(b, `<text x="%.1f" y="%.1f" textLength="%.1f" lengthAdjust="spacingAndGlyphs" fill="%s"%s xml:space="preserve">%s</text>`+"\n",
		x, y+13.5, wide, pen, weight, html.EscapeString(r.text))
}
