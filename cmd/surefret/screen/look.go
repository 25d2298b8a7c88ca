package screen

import (
	"runtime"
	"strings"
)

// A Look is what a terminal can show. The zero value is no colour and line
// characters.
type Look struct {
	Colours Colours
	ASCII   bool // nothing outside of ASCII
}

// Colours says how many a terminal has.
type Colours int

// The steps that make a difference to how things are painted.
const (
	NoColours   Colours = iota
	FewColours          // the 16 whose tones the player's own theme sets
	ManyColours         // 256 with fixed tones
)

// LookFor finds out what the terminal can show from the environment and the
// setting "auto", "lines" or "ascii". It asks the terminal nothing. NO_COLOR
// and TERM=dumb take the colours; a locale that does not name UTF-8 takes the
// line characters.
func LookFor(getenv func(string) string, drawing string) Look {
	term := getenv("TERM")
	var l Look
	switch {
	case getenv("NO_COLOR") != "" || term == "dumb":
	case strings.Contains(term, "256color") || getenv("COLORTERM") != "" || getenv("WT_SESSION") != "":
		l.Colours = ManyColours
	case term != "" || runtime.GOOS == "windows":
		l.Colours = FewColours
	}
	switch drawing {
	case "ascii":
		l.ASCII = true
	case "lines":
	default:
		l.ASCII = term == "dumb" || term == "linux" || !utf8Locale(getenv)
	}
	return l
}

// utf8Locale reports whether the locale names UTF-8: the first of the three
// variables that is set decides, as POSIX has it. Windows sets none of them and
// its terminals speak UTF-8.
func utf8Locale(getenv func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := strings.ToLower(getenv(name)); v != "" {
			return strings.Contains(v, "utf-8") || strings.Contains(v, "utf8")
		}
	}
	return runtime.GOOS == "windows"
}

// A paint is what a stretch of the screen is painted with. The board is ebony
// with bone, bronze and pearl, whatever the terminal's background; what is said
// by blue and orange, which colour-blind eyes tell apart, is said by signs and
// words as well.
type paint uint8

const (
	plain  paint = iota
	strong       // the question, the keys
	board        // wood and fret wires
	inlaid       // the same under an inlay
	steel        // plain strings
	steelInlaid
	bronze // wound strings
	bronzeInlaid
	steelWanted // of the string that is asked
	bronzeWanted
	pearl // inlays
	bone  // the nut
	asked // the place that the question is about
	good  // the right answer
	bad   // a wrong one
	slow  // a right one over the aim
	shown // a place that is only told
	hand  // the pointer
	picked
	heat0 // known worst
	heat1
	heat2
	heat3
	heat4 // known best
	paints
)

// sgr holds the parameters of "select graphic rendition" for each paint, from
// ECMA-48 with the usual 256-colour extension; empty leaves the terminal's own.
var sgr = [paints]struct{ none, few, many string }{
	strong:       {"", "1", "1"},
	board:        {"", "", "38;5;245;48;5;235"},
	inlaid:       {"", "", "38;5;245;48;5;238"},
	steel:        {"", "", "38;5;252;48;5;235"},
	steelInlaid:  {"", "", "38;5;252;48;5;238"},
	bronze:       {"", "", "38;5;179;48;5;235"},
	bronzeInlaid: {"", "", "38;5;179;48;5;238"},
	steelWanted:  {"", "1", "1;38;5;231;48;5;241"},
	bronzeWanted: {"", "1", "1;38;5;223;48;5;241"},
	pearl:        {"", "", "38;5;255;48;5;238"},
	bone:         {"", "1", "38;5;255;48;5;235"},
	asked:        {"", "7", "1;38;5;16;48;5;227"},
	good:         {"", "1;37;44", "1;38;5;231;48;5;25"},
	bad:          {"", "30;43", "38;5;16;48;5;208"},
	slow:         {"", "30;46", "1;38;5;16;48;5;152"},
	shown:        {"", "30;47", "38;5;16;48;5;252"},
	hand:         {"", "7", "1;38;5;16;48;5;255"},
	picked:       {"", "30;46", "1;38;5;16;48;5;117"},
	// Steps that stay apart in five grades for normal, protan, deutan, tritan and
	// grey sight; measured in advance (smallest difference 14 in CIE 1976).
	heat0: {"", "", "38;5;231;48;5;17"},
	heat1: {"", "", "38;5;231;48;5;24"},
	heat2: {"", "", "38;5;16;48;5;102"},
	heat3: {"", "", "38;5;16;48;5;143"},
	heat4: {"", "", "38;5;16;48;5;227"},
}

// brushes are the escape codes that begin a paint, by how many colours there
// are; "" changes nothing.
var brushes = func() (all [ManyColours + 1][paints]string) {
	for p, s := range sgr {
		for i, parameters := range []string{s.none, s.few, s.many} {
			if parameters != "" {
				all[i][p] = "\x1b[" + parameters + "m"
			}
		}
	}
	return all
}()

func (l Look) brush(p paint) string { return brushes[l.Colours][p] }

// paint paints text.
func (l Look) paint(p paint, text string) string {
	b := l.brush(p)
	if b == "" || text == "" {
		return text
	}
	return b + text + "\x1b[0m"
}

// dot is an inlay, and a place that has no name.
func (l Look) dot() string {
	if l.ASCII {
		return "o"
	}
	return "●"
}

// ring is a place that was left.
func (l Look) ring() string {
	if l.ASCII {
		return "o"
	}
	return "○"
}

// A canvas is a grid of cells, each one column wide, painted on and then read
// off as lines. Runs of one paint share one escape code.
type canvas struct {
	look  Look
	wide  int
	cells []cell
}

type cell struct {
	r rune
	p paint
}

// newCanvas returns a canvas of blank cells.
func newCanvas(look Look, wide, high int) *canvas {
	c := &canvas{look, wide, make([]cell, wide*high)}
	for i := range c.cells {
		c.cells[i].r = ' '
	}
	return c
}

// put writes text from a cell on to the right; what falls off is dropped.
func (c *canvas) put(x, y int, p paint, text string) {
	for _, r := range text {
		if x >= 0 && x < c.wide && y >= 0 && y*c.wide < len(c.cells) {
			c.cells[y*c.wide+x] = cell{r, p}
		}
		x++
	}
}

// lines reads the canvas off, without blanks at the end of a line.
func (c *canvas) lines() []string {
	var out []string
	var b strings.Builder
	for y := 0; y < len(c.cells); y += c.wide {
		row := c.cells[y : y+c.wide]
		for len(row) > 0 && row[len(row)-1] == (cell{' ', plain}) {
			row = row[:len(row)-1]
		}
		b.Reset()
		open, last := "", plain
		for _, cl := range row {
			if cl.p != last {
				if open != "" {
					b.WriteString("\x1b[0m")
				}
				open, last = c.look.brush(cl.p), cl.p
				b.WriteString(open)
			}
			b.WriteRune(cl.r)
		}
		if open != "" {
			b.WriteString("\x1b[0m")
		}
		out = append(out, b.String())
	}
	return out
}
