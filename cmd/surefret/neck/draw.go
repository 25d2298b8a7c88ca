package neck

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
	"surefret/drills/fretboard"
)

// A Drawing is a neck drawn to size.
type Drawing struct {
	Lines []string
	Wide  int // columns
	First int // lowest fret drawn, from 1
	Last  int // the highest

	n     Neck
	strs  []int
	wires []int // columns, right-handed: the nut, then the wire that ends each fret
	pitch int   // rows from a string to the next
}

// Draw draws the neck.
func (n Neck) Draw() Drawing {
	d := n.layout()
	c := ink.NewCanvas(n.Look, d.Wide, Rows(len(d.strs), d.pitch))
	for i, s := range d.strs {
		d.drawString(c, s)
		for y := d.Row(s) + 1; y < d.Row(s)+d.pitch && i < len(d.strs)-1; y++ {
			d.drawGap(c, y)
		}
	}
	d.drawInlays(c)
	for i, s := range d.spots() {
		d.drawMark(c, n.Marks[i], s)
	}
	d.Lines = c.Lines()
	return d
}

// Of reports whether it is the drawing of n.
func (d Drawing) Of(n Neck) bool { return d.Lines != nil && reflect.DeepEqual(d.n, n) }

// layout measures the neck.
func (n Neck) layout() Drawing {
	d := Drawing{n: n, strs: n.strings()}
	d.pitch = Pitch(len(d.strs), n.Rows)
	d.First, d.Last = n.Span()
	d.wires = n.wires(d.First, d.Last)
	d.Wide = d.wires[len(d.wires)-1] + 1
	return d
}

// Row returns the row of a string, below zero for one that is not drawn.
func (d Drawing) Row(str int) int {
	if d.n.Strings == nil {
		return d.pitch * (str - 1)
	}
	i := slices.Index(d.strs, str)
	if i < 0 {
		return -1
	}
	return d.pitch * i
}

// put writes at a right-handed column and mirrors it for a left-handed player;
// the text itself is never mirrored.
func (d Drawing) put(c *ink.Canvas, x, y int, p ink.Paint, text string) {
	if d.n.LeftHanded {
		x = d.Wide - x - ansi.StringWidth(text)
	}
	c.Put(x, y, p, text)
}

// fill writes one sign between the wires of the i-th fret drawn.
func (d Drawing) fill(c *ink.Canvas, i, y int, p ink.Paint, sign string) {
	from, n := d.wires[i-1]+1, d.wires[i]-d.wires[i-1]-1
	if d.n.LeftHanded {
		from = d.Wide - from - n
	}
	c.Fill(from, y, p, sign, n)
}

// band reports whether a fret is painted as inlaid: where there is no wood between the
// strings for dots.
func (d Drawing) band(fret int) bool { return d.pitch == 1 && fret > 0 && d.n.Board.Inlays(fret) > 0 }

// stringPaint is what a string is painted with at a place.
func (d Drawing) stringPaint(at fretboard.Position) ink.Paint {
	inlaid := d.band(at.Fret)
	switch wound := d.n.wound(at.String); {
	case d.struck(at) != "":
		return ink.Ringing
	case at.String == d.n.String && wound:
		return ink.BronzeWanted
	case at.String == d.n.String:
		return ink.SteelWanted
	case wound && inlaid:
		return ink.BronzeInlaid
	case wound:
		return ink.Bronze
	case inlaid:
		return ink.SteelInlaid
	}
	return ink.Steel
}

// struck is the sign of a string that sounds at a place, between where it was struck and
// the bridge, and "" for one that does not.
func (d Drawing) struck(at fretboard.Position) string {
	for _, m := range d.n.Marks {
		if m.Kind == Struck && m.At.String == at.String && at.Fret > m.At.Fret {
			if d.n.Look.ASCII {
				return "~"
			}
			return m.Label
		}
	}
	return ""
}

// drawString draws one string with its number and the nut. It lies over the wires, so
// a crossing has its colour.
func (d Drawing) drawString(c *ink.Canvas, str int) {
	y, n := d.Row(str), d.n
	along, across := "─", "┼"
	if n.wound(str) {
		along, across = "━", "┿"
	}
	if n.Look.ASCII {
		along, across = "-", "+"
		if n.wound(str) {
			along = "="
		}
	}
	if str == n.String {
		d.put(c, 0, y, ink.Strong, d.pick(">", "<"))
	}
	number := strconv.Itoa(str)
	d.put(c, openAt-1-len(number), y, ink.Strong, number)
	if n.Names != nil {
		d.putOpen(c, y, ink.Plain, n.Names[str-1])
	}
	d.put(c, nutAt, y, ink.Bone, d.nut())
	for i := 1; i < len(d.wires); i++ {
		at := fretboard.Position{String: str, Fret: d.First + i - 1}
		p, sign := d.stringPaint(at), cmp.Or(d.struck(at), along)
		d.fill(c, i, y, p, sign)
		d.put(c, d.wires[i], y, p, across)
	}
}

// nut is the sign for the nut, or for where the neck is cut.
func (d Drawing) nut() string {
	switch {
	case d.First > 1:
		return ":"
	case d.n.Look.ASCII:
		return "H"
	}
	return "║"
}

// drawGap draws a row of wood between two strings.
func (d Drawing) drawGap(c *ink.Canvas, y int) {
	wire := "│"
	if d.n.Look.ASCII {
		wire = "|"
	}
	d.put(c, nutAt, y, ink.Bone, d.nut())
	for i := 1; i < len(d.wires); i++ {
		d.fill(c, i, y, ink.Board, " ")
		d.put(c, d.wires[i], y, ink.Board, wire)
	}
}

// inlays are the gaps between strings in which the dots of a fret lie, counted from 0
// below the top string.
func (d Drawing) inlays(fret int) []int {
	gaps := len(d.strs) - 1
	middle := max(len(d.strs)/2-1, 0)
	switch dots := d.n.Board.Inlays(fret); {
	case dots == 0 || gaps < 1:
		return nil
	case dots == 1 || gaps < 3:
		return []int{middle}
	}
	return []int{middle - 1, min(middle+1, gaps-1)}
}

// drawInlays sets the dots into the wood, where there is wood between the
// strings, and numbers their frets below, and the first fret where the neck is cut.
func (d Drawing) drawInlays(c *ink.Canvas) {
	below := Rows(len(d.strs), d.pitch) - 1
	for i := 1; i < len(d.wires); i++ {
		fret := d.First + i - 1
		if d.n.Board.Inlays(fret) == 0 {
			continue
		}
		for _, gap := range d.inlays(fret) {
			if d.pitch > 1 {
				d.put(c, d.centre(i, 1), gap*d.pitch+1, ink.Pearl, d.n.Look.Dot())
			}
		}
		number := strconv.Itoa(fret)
		d.put(c, d.centre(i, len(number)), below, ink.Plain, number)
	}
	if d.First > 1 {
		from := fmt.Sprintf("from %d", d.First)
		d.put(c, nutAt-len(from), below, ink.Plain, from)
	}
}

// centre returns the column where text of a width stands in the middle of the
// i-th fret drawn.
func (d Drawing) centre(i, width int) int {
	inner := d.wires[i] - d.wires[i-1] - 1
	return d.wires[i-1] + 1 + (inner-width)/2
}

// putOpen writes in the middle of the four columns of an open string.
func (d Drawing) putOpen(c *ink.Canvas, y int, p ink.Paint, text string) {
	text = ansi.Truncate(text, 4, "")
	d.put(c, openAt+(4-ansi.StringWidth(text))/2, y, p, text)
}

// drawMark draws a mark at its spot. In high contrast, where strings stand far apart, it
// is as high as a string has room.
func (d Drawing) drawMark(c *ink.Canvas, m Mark, s spot) {
	if s.text == "" {
		return
	}
	p := ink.Plain
	switch m.Kind {
	case Heat:
		p = ink.Heat(m.figure())
	case Was:
		if p = ink.Pearl; m.At.String == d.n.String {
			p = ink.SteelWanted
		}
	default:
		p = markSigns[m.Kind].p
	}
	if d.n.Look.Contrast && d.pitch == widestPitch && m.Kind != Was {
		blank := strings.Repeat(" ", s.wide())
		if s.y > 0 {
			d.put(c, s.from, s.y-1, p, blank)
		}
		if s.y < d.Row(d.strs[len(d.strs)-1]) { // below it are the numbers
			d.put(c, s.from, s.y+1, p, blank)
		}
	}
	d.put(c, s.from, s.y, p, s.text)
}

// pick returns right for a right-handed neck, else left.
func (d Drawing) pick(right, left string) string {
	if d.n.LeftHanded {
		return left
	}
	return right
}

// middle pads text with blanks on both sides to a width.
func middle(text string, width int) string {
	free := max(width-ansi.StringWidth(text), 0)
	return strings.Repeat(" ", free/2) + text + strings.Repeat(" ", free-free/2)
}

// At returns the place at a column and row of the drawing, and reports whether
// there is one. On a neck that was not drawn there is none.
func (d Drawing) At(x, y int) (fretboard.Position, bool) {
	if d.n.LeftHanded {
		x = d.Wide - 1 - x
	}
	if d.pitch == 0 {
		return fretboard.Position{}, false
	}
	i := y / d.pitch
	if d.pitch == widestPitch {
		i = (y + 1) / d.pitch
	}
	if x < openAt || x >= d.Wide || y < 0 || i >= len(d.strs) {
		return fretboard.Position{}, false
	}
	p := fretboard.Position{String: d.strs[i]}
	if x > nutAt {
		for i := 1; i < len(d.wires) && p.Fret == 0; i++ {
			if x <= d.wires[i] {
				p.Fret = d.First + i - 1
			}
		}
	}
	return p, d.n.Board.Has(p)
}
