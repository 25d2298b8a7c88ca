// Package neck draws the instrument: one picture of it for practice, the map, shapes,
// keys and pages, on a terminal and as SVG, so that a place looks the same wherever it
// is shown; and beside it a path of notes as tablature.
//
// Marks keep between the wires of their fret, so that two never share a column. The
// string lies over the frets. Nothing here knows what a mark means to the player: who
// draws says which places are marked, and as what.
package neck

import (
	"math"
	"slices"
	"strconv"

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
// Where the columns do not hold all frets a window of them is drawn that holds the
// marks; the open strings are always there.
type Neck struct {
	Board      fretboard.Fretboard
	LeftHanded bool
	Look       ink.Look
	Columns    int    // to draw in
	Rows       int    // to draw in; with enough of them the strings stand apart
	Strings    []int  // to draw, rising; nil for all
	String     int    // the string to point out, 0 for none
	Frets      [2]int // the lowest and the highest fret to draw, zero for all
	From       int    // the lowest fret to draw where not all have room; 0 holds the marks
	Label      int    // the columns that a label needs, 0 for two
	Marks      []Mark // drawn in this order, so a later one covers an earlier
	Barres     []fretboard.Barre
	Small      bool // in SVG: strings close together, and not numbered
	Names      []string
	// Names are those of the open strings, string 1 first; nil leaves them out.
}

// A Mark is something drawn at a place.
type Mark struct {
	At    fretboard.Position
	Label string
	Kind  Kind
}

// figure is what the label of a Heat mark says.
func (m Mark) figure() int {
	n, _ := strconv.Atoi(m.Label)
	return n
}

// Kind says what a mark stands for. Each has a colour where there are colours, and
// signs of its own about its label where the fret is wide enough.
type Kind uint8

// The kinds of marks. A Heat mark has a figure for a label, 0 to 9, which also
// picks its colour; the label of a Struck one is how the string is drawn.
const (
	Asked   Kind = iota // [?]
	Told                // (G)
	Wrong               // >x<
	Slow                // ~G~
	Shown               // (5)
	Picked              // (1)
	Pointer             // { }
	Was                 // a ring on the string: where the shape lay before the answer
	Heat                // 7
	Struck              // the string sounds from here to the bridge
)

var markSigns = [Pointer + 1]struct {
	left, right string
	p           ink.Paint
}{
	Asked: {"[", "]", ink.Asked}, Told: {"(", ")", ink.Right}, Wrong: {">", "<", ink.Wrong}, Slow: {"~", "~", ink.Slow},
	Shown: {"(", ")", ink.Shown}, Picked: {"(", ")", ink.Picked}, Pointer: {"{", "}", ink.Hand},
}

// The columns left of the first fret: a sign for the string that is asked, its
// number, four for what is at the open string, the nut.
const (
	openAt     = 3
	nutAt      = 7
	usualLabel = 2
	widestFret = 9
	widestBold = 14 // in high contrast
)

// Rows returns how many rows that many strings are drawn in, so many rows from one
// string to the next, the numbers of the frets among them.
func Rows(strs, pitch int) int { return pitch*(strs-1) + 2 }

// widestPitch is how many rows a string has at most.
const widestPitch = 3

// Pitch returns how many rows a string can have where so many rows are free.
func Pitch(strs, rows int) int {
	pitch := widestPitch
	for pitch > 1 && Rows(strs, pitch) > rows {
		pitch--
	}
	return pitch
}

// strings lists the strings that are drawn.
func (n Neck) strings() []int {
	if n.Strings != nil {
		return n.Strings
	}
	all := make([]int, n.Board.Tuning.Strings())
	for i := range all {
		all[i] = i + 1
	}
	return all
}

// narrowest is how many columns a fret has at least with its wire.
func (n Neck) narrowest() int {
	if n.Label > 0 {
		return n.Label + 1
	}
	return usualLabel + 1
}

// Columns returns how many columns so many frets need for labels of a width.
func Columns(frets, label int) int { return nutAt + 1 + frets*(label+1) }

// Span returns the lowest and the highest fret that there is room to draw.
func (n Neck) Span() (first, last int) {
	low, high := max(1, n.Frets[0]), n.Board.Last()
	if n.Frets[1] > 0 {
		high = min(high, n.Frets[1])
	}
	count := max(1, min(high-low+1, (n.Columns-nutAt-1)/n.narrowest()))
	first = n.window(low, high, count)
	return first, first + count - 1
}

// window returns the lowest fret to draw so that count frets of those between low and
// high hold the marks: the first ones where they do, else the last ones where they do,
// else those that begin a fret below the lowest mark.
func (n Neck) window(low, high, count int) int {
	last := high - count + 1
	if n.From > 0 {
		return max(low, min(n.From, last))
	}
	lowest, highest := high, low
	for _, m := range n.Marks {
		if m.At.Fret > 0 && m.Kind != Struck {
			lowest, highest = min(lowest, m.At.Fret), max(highest, m.At.Fret)
		}
	}
	switch {
	case highest < low+count:
		return low
	case lowest >= last:
		return last
	}
	return max(low, min(last, lowest-1))
}

// wires returns the columns of the wires, right-handed: the nut, then the wire that
// ends each fret from first to last.
func (n Neck) wires(first, last int) []int {
	at := []int{nutAt}
	widest := widestFret
	if n.Look.Contrast {
		widest = widestBold
	}
	for _, w := range taper(max(n.Columns-nutAt-1, n.narrowest()), first, last-first+1, n.narrowest(), widest) {
		at = append(at, at[len(at)-1]+w)
	}
	return at
}

// taper shares room columns among count frets from the first: at least the narrowest
// each, at most the widest, and more for the lower ones, as a string length that shrinks
// by the twelfth root of two a fret has it.
func taper(room, first, count, narrowest, widest int) []int {
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
			if widths[i] < widest && (most < 0 || ideal[i]-float64(widths[i]) > ideal[most]-float64(widths[most])) {
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

// wound reports whether a string is wound: all but the three highest of a guitar, however
// it is tuned, since a set of strings is bought by its gauges; all of a bass; and on other
// instruments those below F3. Common practice, no source.
func (n Neck) wound(str int) bool {
	switch t := n.Board.Tuning; {
	case t.Bass():
		return true
	case t.Strings() >= fretboard.Standard.Strings():
		return str > 3
	default:
		return t.Open[str-1].MIDI() < 53
	}
}

// A spot is where a mark is drawn: its row, its columns from the nut outwards, and the
// text that fills them.
type spot struct {
	y, from int
	text    string
}

// wide is how many columns the text takes.
func (s spot) wide() int { return ansi.StringWidth(s.text) }

// spots lays the marks out: where each is drawn, an empty text for one that has no place
// of its own in the window. One beyond the window is told at its edge, by its fret, where
// nothing is marked.
func (d Drawing) spots() []spot {
	all := make([]spot, len(d.n.Marks))
	taken := map[[2]int]bool{}
	for _, inside := range []bool{true, false} {
		for i, m := range slices.Backward(d.n.Marks) {
			y := d.Row(m.At.String)
			at := m.At.Fret - d.First + 1 // which of the frets drawn, from 1; the open string has 0
			if m.At.Fret == 0 {
				at = 0
			}
			beyond := m.At.Fret > 0 && (at < 1 || at >= len(d.wires))
			if y < 0 || m.Kind == Struck || !d.n.Board.Has(m.At) || beyond == inside || beyond && m.Kind >= Was {
				continue
			}
			told := m.Label
			if beyond {
				told = d.beyond(m.At.Fret)
				at = max(0, min(at, len(d.wires)-1))
				if m.At.Fret < d.First {
					at = 0
				}
				if taken[[2]int{y, at}] {
					continue
				}
			}
			taken[[2]int{y, at}] = true
			all[i] = d.spot(m, y, at, told, beyond)
		}
	}
	return all
}

// beyond says by its fret what lies outside of the window, with a sign that points
// there.
func (d Drawing) beyond(fret int) string {
	left, right := "‹", "›"
	if d.n.Look.ASCII {
		left, right = "<", ">"
	}
	if bridge := fret >= d.First; bridge != d.n.LeftHanded {
		return strconv.Itoa(fret) + right
	}
	return left + strconv.Itoa(fret)
}

// spot lays out the text of a mark in the at-th fret drawn, 0 for the open string. A
// label too long for it takes the wires as well, where the neighbour on that side has no
// mark.
func (d Drawing) spot(m Mark, y, at int, label string, beyond bool) spot {
	from, to := openAt-1, nutAt // the columns beside it
	if at > 0 {
		from, to = d.wires[at-1], d.wires[at]
	}
	inner := to - from - 1
	if m.Kind == Was {
		ring := middle(d.n.Look.Ring(), min(inner, 3)) // apart from the string that it lies on
		return spot{y, from + 1 + (inner-ansi.StringWidth(ring))/2, ring}
	}
	if long := ansi.StringWidth(label); long > inner && at > 0 {
		if !d.marked(m.At.String, d.First+at) && at < len(d.wires)-1 {
			inner++
		}
		if long > inner && !d.marked(m.At.String, d.First+at-2) {
			from, inner = from-1, inner+1
		}
	}
	label = ansi.Truncate(label, inner, "")
	if m.Kind < Was && !beyond && ansi.StringWidth(label) <= inner-2 {
		signs := markSigns[m.Kind]
		label = signs.left + middle(label, max(ansi.StringWidth(label), 1)) + signs.right
	}
	return spot{y, from + 1, middle(label, inner)}
}

// marked reports whether there is a mark at a place.
func (d Drawing) marked(str, fret int) bool {
	return slices.ContainsFunc(d.n.Marks, func(m Mark) bool {
		return m.At == (fretboard.Position{String: str, Fret: fret}) && m.Kind != Struck
	})
}
