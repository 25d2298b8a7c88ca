package sheet

import (
	"fmt"
	"html"
	"html/template"
	"slices"
	"strings"

	"surefret/cmd/surefret/neck"
	"surefret/cmd/surefret/spoken"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/theory"
)

// The neck of roots ends at a fret, and so does the first half of it, which is as wide as
// a phone: so many columns, of [neck.Unit] points here.
const (
	rootsHalf = 6
	rootsEnd  = 12
	rootsWide = 32
)

// A picture is a drawing and its size on paper.
type picture struct {
	SVG        template.HTML
	Wide, High int // points
}

// roots is the stretch of the neck from one fret to another with the roots of the song's
// chords on the low strings, each place once; the tonic stands out.
func (s Song) roots(first, last int) neck.Neck {
	n := neck.Neck{Board: s.neck, LeftHanded: s.left, Label: 3, Frets: [2]int{first, min(last, s.neck.Last())}}
	for _, c := range s.Chords {
		kind := neck.Shown
		if c.Notes[0] == s.tonic {
			kind = neck.Told
		}
		for _, at := range c.Roots {
			m := neck.Mark{At: at, Label: c.Notes[0], Kind: kind}
			if open := at.Fret == 0 && first == 1; (open || at.Fret >= first && at.Fret <= last) && !slices.Contains(n.Marks, m) {
				n.Marks = append(n.Marks, m)
			}
			if !slices.Contains(n.Strings, at.String) {
				n.Strings = append(n.Strings, at.String)
			}
		}
	}
	slices.Sort(n.Strings)
	return n
}

// rootsNeck draws the roots on the low strings in two halves that stand side by side,
// the nut in the first.
func (s Song) rootsNeck() (halves []picture) {
	for _, n := range []neck.Neck{s.roots(1, rootsHalf), s.roots(rootsHalf+1, rootsEnd)} {
		if n.Strings == nil {
			return nil
		}
		var said []string
		for _, m := range n.Marks {
			said = append(said, m.Label+" on "+spoken.Place(m.At))
		}
		n.Columns = rootsWide
		drawn, wide, high := n.SVG(0, 0, nil)
		b := newDrawing(wide, high, fmt.Sprintf("Roots up to fret %d: %s", n.Frets[1], orNone(said)))
		b.WriteString(drawn)
		halves = append(halves, b.picture())
	}
	return halves
}

// The picture of a shape, in points: the strings stand, the lowest at the left, or at
// the right for a left hand; the nut or the lowest fret is on top.
const (
	stringWide = 14
	scaleWide  = 22 // two digits fit between strings
	fretHigh   = 18
	shapeTop   = 15
	shapeLeft  = 26 // the number of the first fret
	shapeEnd   = 10
	fewestRows = 4
)

// shapePicture draws a shape where it is held, with its fingers, or degrees for a scale.
func (s Song) shapePicture(sh gig.SheetShape) picture {
	held := sh.Held
	low, high := 0, 0
	for _, n := range held.Notes {
		if n.Fret > 0 && (low == 0 || n.Fret < low) {
			low = n.Fret
		}
		high = max(high, n.Fret)
	}
	if high <= fewestRows { // from the nut
		low = 1
	}
	strs, rows := s.neck.Tuning.Strings(), max(high-low+1, fewestRows)
	apart := stringWide
	if held.Recipe.Kind == fretboard.KindScale {
		apart = scaleWide
	}
	b := newDrawing(shapeLeft+(strs-1)*apart+shapeEnd, shapeTop+rows*fretHigh+2, s.sayShape(sh))
	x := func(str int) int {
		if s.left {
			return shapeLeft + (str-1)*apart
		}
		return shapeLeft + (strs-str)*apart
	}
	y := func(fret int) int { return shapeTop + (fret-low)*fretHigh + fretHigh/2 }
	for str := 1; str <= strs; str++ {
		b.line("string", x(str), shapeTop, x(str), shapeTop+rows*fretHigh)
	}
	for row := range rows + 1 {
		b.line(wire(low-1+row), min(x(1), x(strs)), shapeTop+row*fretHigh, max(x(1), x(strs)), shapeTop+row*fretHigh)
	}
	if low > 1 {
		b.text("small", 8, y(low), fmt.Sprint(low))
	}
	for _, str := range held.Muted {
		b.text("small", x(str), shapeTop/2, "x")
	}
	for _, bar := range held.Barres {
		b.line("barre", x(bar.From), y(bar.Fret), x(bar.To), y(bar.Fret))
	}
	for _, n := range held.Notes {
		if n.Fret == 0 {
			b.text("small", x(n.String), shapeTop/2, "o")
			continue
		}
		what := ""
		if held.Recipe.Kind == fretboard.KindScale {
			what = theory.DegreeOf(n.Above).String()
		} else if n.Finger > 0 {
			what = fmt.Sprint(n.Finger)
		}
		b.note(n.String == held.Recipe.Root && n.Fret == held.Fret, x(n.String), y(n.Fret), apart+1, what)
	}
	return b.picture()
}

// sayShape says a shape's frets and fingers for who does not see it.
func (s Song) sayShape(sh gig.SheetShape) string {
	var said []string
	for _, n := range sh.Held.Notes {
		at := fmt.Sprintf("string %d %s", n.String, fretWord(n.Fret))
		if n.Finger > 0 {
			at += fmt.Sprintf(" with finger %d", n.Finger)
		}
		said = append(said, at)
	}
	return sh.Chord + ": " + strings.Join(said, ", ")
}

func fretWord(fret int) string {
	if fret == 0 {
		return "open"
	}
	return fmt.Sprintf("fret %d", fret)
}

func orNone(words []string) string {
	if len(words) == 0 {
		return "none"
	}
	return strings.Join(words, "; ")
}

func leftOr(left bool, a, b int) int {
	if left {
		return a
	}
	return b
}

// wire is the class of the line at the end of a fret: the nut is thick.
func wire(fret int) string {
	if fret == 0 {
		return "nut"
	}
	return "wire"
}

// A drawing is a picture in the making. Its colours are classes, so that it follows
// the page into the dark.
type drawing struct {
	strings.Builder
	wide, high int
}

func newDrawing(wide, high int, said string) *drawing {
	b := &drawing{wide: wide, high: high}
	fmt.Fprintf(b, `<svg viewBox="0 0 %d %d" style="width:%dpt" role="img" aria-label="%s">`, wide, high, wide, html.EscapeString(said))
	return b
}

func (b *drawing) line(class string, x1, y1, x2, y2 int) {
	fmt.Fprintf(b, `<path class="%s" d="M%d %dL%d %d"/>`, class, x1, y1, x2, y2)
}

// text sets text with its middle at x and y.
func (b *drawing) text(class string, x, y int, what string) {
	fmt.Fprintf(b, `<text class="%s" x="%d" y="%d" dy=".36em">%s</text>`, class, x, y, html.EscapeString(what))
}

// note draws a note at most so wide: a root filled, the others on white.
func (b *drawing) note(root bool, x, y, wide int, what string) {
	class, high := "tone", min(wide, 22)
	if root {
		class = "root"
	}
	fmt.Fprintf(b, `<rect class="%s" x="%d" y="%d" width="%d" height="%d" rx="%d"/>`, class, x-wide/2, y-high/2, wide, high, high/2)
	b.text(class+" small", x, y, what)
}

func (b *drawing) picture() picture {
	b.WriteString("</svg>")
	return picture{template.HTML(b.String()), b.wide, b.high} // escaped above
}
