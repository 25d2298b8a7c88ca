package sheet

import (
	"fmt"
	"html"
	"html/template"
	"slices"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/theory"
)

// A root is where a root of the song's chords lies.
type root struct {
	fretboard.Position
	note  string
	tonic bool
}

// roots lists the roots on the low strings, each place once, and these strings from
// the highest.
func (s Song) roots() (all []root, strs []int) {
	for _, c := range s.Chords {
		for _, at := range c.Roots {
			if !slices.ContainsFunc(all, func(o root) bool { return o.Position == at }) {
				all = append(all, root{at, c.Notes[0], c.Notes[0] == s.tonic})
			}
			if !slices.Contains(strs, at.String) {
				strs = append(strs, at.String)
			}
		}
	}
	slices.Sort(strs)
	return all, strs
}

// The neck of roots, in points: a cell for each fret and string, and room for the
// numbers of strings and frets. A half of it is as wide as a phone.
const (
	rootWide  = 34
	rootHigh  = 25
	rootLeft  = 18
	rootBelow = 19
	rootsEnd  = 12 // the last fret shown
	rootsHalf = 6  // the last fret of the first half
)

// A picture is a drawing and its size on paper.
type picture struct {
	SVG        template.HTML
	Wide, High int // points
}

// rootsNeck draws the roots on the low strings in two halves that stand side by side,
// the nut in the first.
func (s Song) rootsNeck() (halves []picture) {
	all, strs := s.roots()
	if len(all) == 0 {
		return nil
	}
	for _, half := range [][2]int{{0, rootsHalf}, {rootsHalf + 1, min(rootsEnd, s.neck.Last())}} {
		var said []string
		for _, r := range all {
			if r.Fret >= half[0] && r.Fret <= half[1] {
				said = append(said, fmt.Sprintf("%s on string %d, %s", r.note, r.String, fretWord(r.Fret)))
			}
		}
		frets := half[1] - half[0] + 1
		b := newDrawing(rootLeft+frets*rootWide+2, len(strs)*rootHigh+rootBelow,
			fmt.Sprintf("Roots from fret %d to %d: %s", half[0], half[1], orNone(said)))
		x := func(fret int) int { // where its cell begins
			if s.left {
				return 2 + (half[1]-fret)*rootWide
			}
			return rootLeft + (fret-half[0])*rootWide
		}
		label := 7
		if s.left {
			label = frets*rootWide + 11
		}
		for i, str := range strs {
			y := i*rootHigh + rootHigh/2
			b.line("string", x(half[0])+leftOr(s.left, rootWide, 0), y, x(half[1])+leftOr(s.left, 0, rootWide), y)
			b.text("small", label, y, fmt.Sprint(str))
		}
		bottom := len(strs) * rootHigh
		for fret := half[0]; fret <= half[1]; fret++ {
			b.line(wire(fret), x(fret)+leftOr(s.left, 0, rootWide), 3, x(fret)+leftOr(s.left, 0, rootWide), bottom-3)
			if s.neck.Inlays(fret) > 0 || fret == 0 || fret == rootsEnd {
				b.text("small", x(fret)+rootWide/2, bottom+9, fmt.Sprint(fret))
			}
		}
		for _, r := range all {
			if i := slices.Index(strs, r.String); r.Fret >= half[0] && r.Fret <= half[1] {
				b.note(r.tonic, x(r.Fret)+rootWide/2, i*rootHigh+rootHigh/2, rootWide-5, r.note)
			}
		}
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
