// Package ink is what a terminal can show: how many colours, which characters, and what
// each stretch of text is painted with. Colours never say what a sign or a word does not
// say too. It writes escape codes into text and knows nothing of what the text is.
package ink

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

// A Paint is what a stretch of the screen is painted with. The board is ebony
// with bone, bronze and pearl, whatever the terminal's background; what is said
// by blue and orange, which colour-blind eyes tell apart, is said by signs and
// words as well.
type Paint uint8

const (
	Plain  Paint = iota
	Strong       // the question, the keys
	Board        // wood and fret wires
	Inlaid       // the same under an inlay
	Steel        // plain strings
	SteelInlaid
	Bronze // wound strings
	BronzeInlaid
	SteelWanted // of the string that is asked
	BronzeWanted
	Pearl // inlays
	Bone  // the nut
	Asked // the place that the question is about
	Right // the right answer
	Wrong // a wrong one
	Slow  // a right one over the aim
	Shown // a place that is only told
	Hand  // the pointer
	Picked
	Heat0 // known worst
	Heat1
	Heat2
	Heat3
	Heat4 // known best
	paints
)

// sgr holds the parameters of "select graphic rendition" for each paint, from
// ECMA-48 with the usual 256-colour extension; empty leaves the terminal's own.
var sgr = [paints]struct{ none, few, many string }{
	Strong:       {"", "1", "1"},
	Board:        {"", "", "38;5;245;48;5;235"},
	Inlaid:       {"", "", "38;5;245;48;5;238"},
	Steel:        {"", "", "38;5;252;48;5;235"},
	SteelInlaid:  {"", "", "38;5;252;48;5;238"},
	Bronze:       {"", "", "38;5;179;48;5;235"},
	BronzeInlaid: {"", "", "38;5;179;48;5;238"},
	SteelWanted:  {"", "1", "1;38;5;231;48;5;241"},
	BronzeWanted: {"", "1", "1;38;5;223;48;5;241"},
	Pearl:        {"", "", "38;5;255;48;5;238"},
	Bone:         {"", "1", "38;5;255;48;5;235"},
	Asked:        {"", "7", "1;38;5;16;48;5;227"},
	Right:        {"", "1;37;44", "1;38;5;231;48;5;25"},
	Wrong:        {"", "30;43", "38;5;16;48;5;208"},
	Slow:         {"", "30;46", "1;38;5;16;48;5;152"},
	Shown:        {"", "30;47", "38;5;16;48;5;252"},
	Hand:         {"", "7", "1;38;5;16;48;5;255"},
	Picked:       {"", "30;46", "1;38;5;16;48;5;117"},
	// Steps that stay apart in five grades for normal, protan, deutan, tritan and
	// grey sight; measured in advance (smallest difference 14 in CIE 1976).
	Heat0: {"", "", "38;5;231;48;5;17"},
	Heat1: {"", "", "38;5;231;48;5;24"},
	Heat2: {"", "", "38;5;16;48;5;102"},
	Heat3: {"", "", "38;5;16;48;5;143"},
	Heat4: {"", "", "38;5;16;48;5;227"},
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

func (l Look) brush(p Paint) string { return brushes[l.Colours][p] }

// Paint paints text.
func (l Look) Paint(p Paint, text string) string {
	b := l.brush(p)
	if b == "" || text == "" {
		return text
	}
	return b + text + "\x1b[0m"
}

// Dot is an inlay, and a place that has no name.
func (l Look) Dot() string {
	if l.ASCII {
		return "o"
	}
	return "●"
}

// Ring is a place that was left.
func (l Look) Ring() string {
	if l.ASCII {
		return "o"
	}
	return "○"
}

// A Canvas is a grid of cells, each one column wide, painted on and then read
// off as lines. Runs of one paint share one escape code.
type Canvas struct {
	look  Look
	wide  int
	cells []cell
}

type cell struct {
	r rune
	p Paint
}

// NewCanvas returns a canvas of blank cells.
func NewCanvas(look Look, wide, high int) *Canvas {
	c := &Canvas{look, wide, make([]cell, wide*high)}
	for i := range c.cells {
		c.cells[i].r = ' '
	}
	return c
}

// Put writes text from a cell on to the right; what falls off is dropped.
func (c *Canvas) Put(x, y int, p Paint, text string) {
	for _, r := range text {
		if x >= 0 && x < c.wide && y >= 0 && y*c.wide < len(c.cells) {
			c.cells[y*c.wide+x] = cell{r, p}
		}
		x++
	}
}

// Lines reads the canvas off, without blanks at the end of a line.
func (c *Canvas) Lines() []string {
	var out []string
	var b strings.Builder
	for y := 0; y < len(c.cells); y += c.wide {
		row := c.cells[y : y+c.wide]
		for len(row) > 0 && row[len(row)-1] == (cell{' ', Plain}) {
			row = row[:len(row)-1]
		}
		b.Reset()
		open, last := "", Plain
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

// Heat paints text in a step of the map of the neck, 0 for unsure to 4 for sure;
// a terminal with few colours leaves it as it is. The text must say the same.
func (l Look) Heat(step int, text string) string {
	return l.Paint(Heat0+Paint(max(0, min(4, step))), text)
}
