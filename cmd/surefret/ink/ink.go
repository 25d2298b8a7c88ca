// Package ink is what a terminal can show: how many colours, which characters, and what
// each stretch of text is painted with. Colours never say what a sign or a word does not
// say too. It writes escape codes into text and knows nothing of what the text is.
package ink

import (
	"runtime"
	"strings"
)

// A Look is what a terminal can show. The zero value is no escape codes and line
// characters.
type Look struct {
	Colours  Colours
	ASCII    bool // nothing outside of ASCII
	Contrast bool // high contrast: bright lines on black, thick marks
}

// Colours says how many a terminal has.
type Colours int

// The steps that make a difference to how things are painted.
const (
	NoEscapes   Colours = iota // no escape code at all: a file, a pipe, a dumb terminal
	NoColours                  // bold, reverse and underline alone, as NO_COLOR asks
	FewColours                 // the 16 whose tones the player's own theme sets
	ManyColours                // 256 with fixed tones
)

// LookFor finds out what the terminal can show from the environment and the
// setting "auto", "lines", "ascii" or "contrast". It asks the terminal nothing.
// NO_COLOR takes the colours and TERM=dumb all escape codes; a locale that does not
// name UTF-8 takes the line characters.
func LookFor(getenv func(string) string, drawing string) Look {
	term := getenv("TERM")
	l := Look{Contrast: drawing == "contrast"}
	switch {
	case term == "dumb" || term == "" && runtime.GOOS != "windows":
	case getenv("NO_COLOR") != "":
		l.Colours = NoColours
	case strings.Contains(term, "256color") || getenv("COLORTERM") != "" || getenv("WT_SESSION") != "":
		l.Colours = ManyColours
	default:
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
	Strong       // the question, the keys, the heads of a page
	Board        // wood and fret wires
	Inlaid       // the same under an inlay
	Steel        // plain strings
	SteelInlaid
	Bronze // wound strings
	BronzeInlaid
	SteelWanted // of the string that is asked
	BronzeWanted
	Ringing // a string that was just struck
	Pearl   // inlays
	Bone    // the nut
	Asked   // the place that the question is about
	Right   // the right answer
	Wrong   // a wrong one
	Slow    // a right one over the aim
	Shown   // a place that is only told
	Hand    // the pointer
	Picked
	heat
	paints = heat + 10
)

// Heat is the paint of a place in the map by its figure, 0 to 9: how many answers in
// ten would be right in time. What is weak stands off the wood, and what is sure sinks
// into it.
func Heat(figure int) Paint { return heat + Paint(max(0, min(9, figure))) }

// A brush holds the parameters of "select graphic rendition" for a paint, from ECMA-48
// with the usual extensions; empty leaves the terminal's own. Where there are few
// colours reverse stands for most, since its two tones are the pair that the player
// chose to read; black on the bright yellow and the bright cyan is read in every
// palette. In high contrast the last is taken, where it is not empty.
type brush struct{ none, few, many, contrast string }

var sgr = [paints]brush{
	Strong:       {"1", "1", "1", ""},
	Board:        {"", "", "38;5;245;48;5;235", "38;5;253;48;5;16"},
	Inlaid:       {"", "", "38;5;248;48;5;238", "38;5;253;48;5;237"},
	Steel:        {"", "", "38;5;252;48;5;235", "38;5;231;48;5;16"},
	SteelInlaid:  {"", "", "38;5;252;48;5;238", "38;5;231;48;5;237"},
	Bronze:       {"", "", "38;5;179;48;5;235", "38;5;222;48;5;16"},
	BronzeInlaid: {"", "", "38;5;179;48;5;238", "38;5;222;48;5;237"},
	SteelWanted:  {"1", "1", "1;38;5;231;48;5;241", "1;38;5;231;48;5;238"},
	BronzeWanted: {"1", "1", "1;38;5;223;48;5;241", "1;38;5;229;48;5;238"},
	Ringing:      {"1", "1", "1;38;5;231;48;5;25", ""},
	Pearl:        {"", "", "38;5;255;48;5;235", "38;5;231;48;5;16"},
	Bone:         {"", "1", "38;5;255;48;5;235", "38;5;231;48;5;16"},
	Asked:        {"7", "7", "1;38;5;16;48;5;227", ""},
	Right:        {"1;7", "1;7", "1;38;5;231;48;5;25", ""},
	Wrong:        {"4;7", "30;103", "38;5;16;48;5;208", ""},
	Slow:         {"7", "30;106", "1;38;5;16;48;5;152", ""},
	Shown:        {"7", "7", "38;5;16;48;5;252", ""},
	Hand:         {"7", "7", "1;38;5;16;48;5;255", ""},
	Picked:       {"7", "30;106", "1;38;5;16;48;5;117", ""},
}

// heats are the five tones of the map, two figures each, the weakest first. They stay
// apart for normal, protan, deutan, tritan and grey sight; measured in advance (smallest
// difference 14 in CIE 1976). On wood the bright one is loud and the dark one sinks.
var heats = [5]string{
	"38;5;16;48;5;227", "38;5;16;48;5;143", "38;5;16;48;5;102", "38;5;231;48;5;24", "38;5;231;48;5;17",
}

// brushes are the escape codes that begin a paint, by how many colours there
// are and whether in high contrast; "" changes nothing.
var brushes = func() (all [2][ManyColours + 1][paints]string) {
	for figure := range 10 {
		s := brush{many: heats[figure/2]}
		switch {
		case figure < 5:
			s.none, s.few = "7", "7"
		case figure < 8:
			s.none, s.few = "1", "1"
		}
		sgr[Heat(figure)] = s
	}
	for p, s := range sgr {
		for contrast := range all {
			for i, parameters := range []string{"", s.none, s.few, s.many} {
				if contrast == 1 && Colours(i) == ManyColours && s.contrast != "" {
					parameters = s.contrast
				}
				if parameters != "" {
					all[contrast][i][p] = "\x1b[" + parameters + "m"
				}
			}
		}
	}
	return all
}()

func (l Look) brush(p Paint) string {
	if l.Contrast {
		return brushes[1][l.Colours][p]
	}
	return brushes[0][l.Colours][p]
}

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
func (l Look) Ring() string { return l.Scale().Ring }

// A Scale is what times and pitches are drawn with: a line, what is aimed at, where
// something lies, and where it lay.
type Scale struct{ Line, Aim, Dot, Ring string }

// Scale returns the signs of scales, the same on every page.
func (l Look) Scale() Scale {
	if l.ASCII {
		return Scale{"-", ":", "*", "o"}
	}
	return Scale{"─", "┊", "●", "○"}
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

// Fill writes one sign into so many cells from one on to the right.
func (c *Canvas) Fill(x, y int, p Paint, sign string, n int) {
	for i := range n {
		c.Put(x+i, y, p, sign)
	}
}

// Lines reads the canvas off, without blanks at the end of a line.
func (c *Canvas) Lines() []string {
	out := make([]string, 0, len(c.cells)/max(c.wide, 1))
	var b strings.Builder    // of all lines, each a part of it
	b.Grow(4 * len(c.cells)) // most signs take three bytes
	for y := 0; y < len(c.cells); y += c.wide {
		row := c.cells[y : y+c.wide]
		for len(row) > 0 && row[len(row)-1] == (cell{' ', Plain}) {
			row = row[:len(row)-1]
		}
		from, open, last := b.Len(), "", Plain
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
		out = append(out, b.String()[from:])
	}
	return out
}
