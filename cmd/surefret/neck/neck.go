// Package neck draws the instrument: one picture of it for practice, the map, shapes,
// keys and pages, so that a place looks the same wherever it is shown.
package neck

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
	"surefret/drills/fretboard"
)

// A Neck is a picture of the instrument lying before the player, as landscape
// fret diagrams and tablature have it: string 1 on top, the nut at the left, or
// at the right for a left-handed player. Frets narrow towards the body as far
// as the columns allow, inlays lie between the middle strings, wound strings
// are heavier than plain ones; so a place is told by eye as it is on the wood.
//
// Where the columns do not hold all frets, at three a fret, a window of them is
// drawn that holds the marks; the open strings are always there.
type Neck struct {
	Board      fretboard.Fretboard
	LeftHanded bool
	Look       ink.Look
	Columns    int      // to draw in
	Rows       int      // to draw in; with enough of them the strings stand apart
	String     int      // the string to point out, 0 for none
	From       int      // the lowest fret to draw where not all have room; 0 holds the marks
	Marks      []Mark   // drawn in this order, so a later one covers an earlier
	Names      []string // of the open strings, string 1 first; nil leaves them out
}

// A Mark is something drawn at a place.
type Mark struct {
	At    fretboard.Position
	Label string
	Kind  Kind
}

// Kind says what a mark stands for. Each has a colour where there are colours, and
// signs of its own about its label where the fret is wide enough. A mark keeps between
// the wires of its fret, so that neighbours never share a column.
type Kind uint8

// The kinds of marks. A Heat mark has a digit for a label, 0 to 9, which also
// picks its colour.
const (
	Asked   Kind = iota // [?]
	Told                // (G)
	Wrong               // >x<
	Shown               // (5)
	Picked              // (1)
	Pointer             // { }
	Was                 // a ring on the string: where the shape lay before the answer
	Heat                // 7
)

var markSigns = [Heat + 1]struct {
	left, right string
	p           ink.Paint
}{
	Asked: {"[", "]", ink.Asked}, Told: {"(", ")", ink.Right}, Wrong: {">", "<", ink.Wrong}, Shown: {"(", ")", ink.Shown},
	Picked: {"(", ")", ink.Picked}, Pointer: {"{", "}", ink.Hand},
}

// The columns left of the first fret: a sign for the string that is asked, its
// number, four for what is at the open string, the nut.
const (
	openAt     = 3
	nutAt      = 7
	narrowest  = 3 // columns of a fret with its wire
	widestFret = 9
)

// A Drawing is a neck drawn to size.
type Drawing struct {
	Lines []string
	Wide  int // columns

	n     Neck
	First int   // lowest fret drawn, from 1
	wires []int // columns, right-handed: the nut, then the wire that ends each fret
	tall  bool
}

// Rows returns how many rows a neck of that many strings is drawn in, standing
// apart or close together.
func Rows(strs int, tall bool) int {
	if tall {
		return 2 * strs
	}
	return strs + 1
}

// Draw draws the neck.
func (n Neck) Draw() Drawing {
	d := Drawing{n: n, First: 1}
	strs, last := n.Board.Tuning.Strings(), 0
	d.tall = n.Rows >= Rows(strs, true)
	room := max(n.Columns-nutAt-1, narrowest)
	d.First, last = n.Span()
	count := last - d.First + 1
	d.wires = []int{nutAt}
	for _, w := range taper(room, d.First, count) {
		d.wires = append(d.wires, d.wires[len(d.wires)-1]+w)
	}
	d.Wide = d.wires[count] + 1

	c := ink.NewCanvas(n.Look, d.Wide, Rows(strs, d.tall))
	for s := 1; s <= strs; s++ {
		d.drawString(c, s)
		if d.tall && s < strs {
			d.drawGap(c, s)
		}
	}
	d.drawInlays(c)
	for _, m := range n.Marks {
		d.drawMark(c, m)
	}
	d.Lines = c.Lines()
	return d
}

// Span returns the lowest and the highest fret that there is room to draw.
func (n Neck) Span() (first, last int) {
	count := min(n.Board.Last(), max(n.Columns-nutAt-1, narrowest)/narrowest)
	first = n.window(count)
	return first, first + count - 1
}

// window returns the lowest fret to draw so that count frets hold the marks:
// the first ones where they do, else the last ones where they do, else those
// that begin a fret below the lowest mark.
func (n Neck) window(count int) int {
	if n.From > 0 {
		return min(n.From, n.Board.Last()-count+1)
	}
	low, high := n.Board.Last(), 1
	for _, m := range n.Marks {
		if m.At.Fret > 0 {
			low, high = min(low, m.At.Fret), max(high, m.At.Fret)
		}
	}
	from := n.Board.Last() - count + 1
	switch {
	case high <= count:
		return 1
	case low >= from:
		return from
	}
	return max(1, min(from, low-1))
}

// taper shares room columns among count frets from the first: at least three
// each, and more for the lower ones, as a string length that shrinks by the
// twelfth root of two a fret has it.
func taper(room, first, count int) []int {
	ideal, widths := make([]float64, count), make([]int, count)
	var sum float64
	for i := range ideal {
		ideal[i] = math.Exp2(-float64(first+i) / 12)
		sum += ideal[i]
	}
	for i := range widths {
		ideal[i] *= float64(room) / sum
		widths[i] = narrowest
	}
	for range room - narrowest*count {
		most := -1
		for i := range widths {
			if widths[i] < widestFret && (most < 0 || ideal[i]-float64(widths[i]) > ideal[most]-float64(widths[most])) {
				most = i
			}
		}
		if most < 0 {
			break
		}
		widths[most]++
	}
	return widths
}

// wound reports whether a string is wound: those below G3 are, on the usual
// sets (common practice, no source).
func (n Neck) wound(str int) bool { return n.Board.Tuning.Open[str-1].MIDI() < 55 }

// Row returns the row of a string.
func (d Drawing) Row(str int) int {
	if d.tall {
		return 2 * (str - 1)
	}
	return str - 1
}

// put writes at a right-handed column and mirrors it for a left-handed player;
// the text itself is never mirrored.
func (d Drawing) put(c *ink.Canvas, x, y int, p ink.Paint, text string) {
	if d.n.LeftHanded {
		x = d.Wide - x - ansi.StringWidth(text)
	}
	c.Put(x, y, p, text)
}

// stringPaint is what a string is painted with at a place.
func (d Drawing) stringPaint(at fretboard.Position) ink.Paint {
	inlaid := at.Fret > 0 && d.n.Board.Inlays(at.Fret) > 0
	switch wound := d.n.wound(at.String); {
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

// drawString draws one string with its number and the nut. It lies over the wires, so
// a crossing has its colour.
func (d Drawing) drawString(c *ink.Canvas, str int) {
	y, n := d.Row(str), d.n
	along, across, nut := "─", "┼", "║"
	if n.wound(str) {
		along, across = "━", "┿"
	}
	if n.Look.ASCII {
		along, across, nut = "-", "+", "H"
		if n.wound(str) {
			along = "="
		}
	}
	if d.First > 1 {
		nut = ":"
	}
	if str == n.String {
		d.put(c, 0, y, ink.Strong, d.pick(">", "<"))
	}
	number := strconv.Itoa(str)
	d.put(c, openAt-1-len(number), y, ink.Strong, number)
	if n.Names != nil {
		d.putOpen(c, y, ink.Plain, n.Names[str-1])
	}
	d.put(c, nutAt, y, ink.Bone, nut)
	for i := 1; i < len(d.wires); i++ {
		ink := d.stringPaint(fretboard.Position{String: str, Fret: d.First + i - 1})
		for x := d.wires[i-1] + 1; x < d.wires[i]; x++ {
			d.put(c, x, y, ink, along)
		}
		d.put(c, d.wires[i], y, ink, across)
	}
}

// drawGap draws the wood between a string and the next.
func (d Drawing) drawGap(c *ink.Canvas, str int) {
	y := d.Row(str) + 1
	wire, nut := "│", "║"
	if d.n.Look.ASCII {
		wire, nut = "|", "H"
	}
	if d.First > 1 {
		nut = ":"
	}
	d.put(c, nutAt, y, ink.Bone, nut)
	for i := 1; i < len(d.wires); i++ {
		p := ink.Board
		if d.n.Board.Inlays(d.First+i-1) > 0 {
			p = ink.Inlaid
		}
		for x := d.wires[i-1] + 1; x < d.wires[i]; x++ {
			d.put(c, x, y, p, " ")
		}
		d.put(c, d.wires[i], y, p, wire)
	}
}

// drawInlays sets the dots into the wood, where there is wood between the
// strings, and numbers their frets below.
func (d Drawing) drawInlays(c *ink.Canvas) {
	strs := d.n.Board.Tuning.Strings()
	middle := 2*(strs/2) - 1 // the gap below string strs/2
	dot := d.n.Look.Dot()
	for i := 1; i < len(d.wires); i++ {
		fret := d.First + i - 1
		dots := d.n.Board.Inlays(fret)
		if dots == 0 {
			continue
		}
		if d.tall && dots == 1 {
			d.put(c, d.centre(i, 1), middle, ink.Pearl, dot)
		}
		if d.tall && dots == 2 {
			d.put(c, d.centre(i, 1), max(middle-2, 1), ink.Pearl, dot)
			d.put(c, d.centre(i, 1), min(middle+2, 2*strs-3), ink.Pearl, dot)
		}
		number := strconv.Itoa(fret)
		d.put(c, d.centre(i, len(number)), d.Row(strs)+1, ink.Plain, number)
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

// drawMark draws a mark between the wires of its fret. A label too long for it takes
// the wires as well, where the neighbour on that side has no mark. One that has no room
// in the window is told at its edge, by its fret.
func (d Drawing) drawMark(c *ink.Canvas, m Mark) {
	if !d.n.Board.Has(m.At) {
		return
	}
	y, p := d.Row(m.At.String), markSigns[m.Kind].p
	from, to := openAt-1, nutAt // the columns beside it
	if m.At.Fret > 0 {
		switch i := m.At.Fret - d.First + 1; {
		case m.Kind >= Was && (i < 1 || i >= len(d.wires)):
			return
		case i < 1:
			d.putOpen(c, y, p, d.edge(false)+strconv.Itoa(m.At.Fret))
			return
		case i >= len(d.wires):
			d.put(c, d.wires[len(d.wires)-2]+1, y, p, middle(strconv.Itoa(m.At.Fret)+d.edge(true), narrowest))
			return
		default:
			from, to = d.wires[i-1], d.wires[i]
		}
	}
	inner := to - from - 1
	switch m.Kind {
	case Heat:
		step := 0
		if m.Label != "" && m.Label[0] >= '0' && m.Label[0] <= '9' {
			step = int(m.Label[0]-'0') / 2
		}
		d.put(c, from+1, y, ink.Heat0+ink.Paint(step), middle(m.Label, inner))
		return
	case Was:
		d.put(c, from+1+(inner-1)/2, y, d.stringPaint(m.At), d.n.Look.Ring())
		return
	}
	if ansi.StringWidth(m.Label) > inner && m.At.Fret > 0 {
		if !d.marked(m.At.String, m.At.Fret+1) {
			inner++
		}
		if ansi.StringWidth(m.Label) > inner && !d.marked(m.At.String, m.At.Fret-1) {
			from, inner = from-1, inner+1
		}
	}
	label := ansi.Truncate(m.Label, inner, "")
	if signs := markSigns[m.Kind]; ansi.StringWidth(label) <= inner-2 {
		wide := max(ansi.StringWidth(label), 1)
		label = d.pick(signs.left, signs.right) + middle(label, wide) + d.pick(signs.right, signs.left)
	}
	d.put(c, from+1, y, p, middle(label, inner))
}

// edge is the sign for what lies beyond an end of the window, toward the bridge or
// the nut.
func (d Drawing) edge(bridge bool) string {
	signs := []string{"‹", "›"}
	if d.n.Look.ASCII {
		signs = []string{"<", ">"}
	}
	if bridge != d.n.LeftHanded {
		return signs[1]
	}
	return signs[0]
}

// marked reports whether there is a mark at a place.
func (d Drawing) marked(str, fret int) bool {
	return slices.ContainsFunc(d.n.Marks, func(m Mark) bool { return m.At == (fretboard.Position{String: str, Fret: fret}) })
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
// there is one.
func (d Drawing) At(x, y int) (fretboard.Position, bool) {
	if d.n.LeftHanded {
		x = d.Wide - 1 - x
	}
	str := y + 1
	if d.tall {
		str = y/2 + 1
	}
	p := fretboard.Position{String: str}
	if x > nutAt {
		for i := 1; i < len(d.wires) && p.Fret == 0; i++ {
			if x <= d.wires[i] {
				p.Fret = d.First + i - 1
			}
		}
	}
	inside := x >= openAt && x < d.Wide && y >= 0
	return p, inside && d.n.Board.Has(p)
}
