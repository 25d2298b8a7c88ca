package neck

import (
	"fmt"
	"html"
	"strings"
)

// A measure is what a neck in SVG is drawn by, in SVG user units: a column of the
// terminal, which measures the frets here too, the way from one string to the next, how
// high a mark is and how much wider than its columns, the radius of an inlay, and the way
// from the last string down to the foot of the numbers of the frets; and how many columns
// at the nut's end are left out.
type measure struct{ unit, apart, high, wider, inlay, foot, out int }

var (
	usual = measure{unit: 8, apart: 26, high: 22, wider: -2, inlay: 4, foot: 28}
	small = measure{unit: 7, apart: 14, high: 12, wider: 2, inlay: 3, foot: 18, out: openAt - 1}
)

const letters = 13 // the size of the text

// Style are the rules that a picture needs for its classes, in black on white. A page
// with tones of its own sets them by the same names.
const Style = `.string{stroke:#333}.wire,.nut{stroke:#767676}.nut{stroke-width:4}.inlay{fill:#c4c4c4}.neck text{fill:#000}` +
	`.told,.wrong,.slow,.picked{fill:#1a1a1a}.neck text.on{fill:#fff}.shown{fill:#fff;stroke:#1a1a1a;stroke-width:2}`

// classes name the marks in SVG, and whether their label is written light on dark.
var classes = [Heat + 1]struct {
	name  string
	light bool
}{Asked: {"shown", false}, Told: {"told", true}, Wrong: {"wrong", true}, Slow: {"slow", true}, Shown: {"shown", false}, Picked: {"picked", true}, Was: {"shown", false}}

// SVG draws the neck as the inside of an SVG picture with its top left corner at x and
// y, and returns how wide and how high it is, in SVG user units. Frets and marks are
// measured as on a terminal of so many columns; a Heat mark has the class h and its
// figure halved, h0 to h4. Say gives each mark its title, "" for none; it may be nil.
func (n Neck) SVG(x, y int, say func(Mark) string) (picture string, wide, high int) {
	d, by := n.layout(), usual
	if n.Small {
		by = small
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<g class="neck" font-size="%d">`, letters)
	row := func(str int) int { return y + by.apart/2 + by.apart*d.Row(str)/d.pitch }
	at := func(column float64) float64 {
		if column -= float64(by.out); n.LeftHanded {
			column = float64(d.Wide-by.out) - 1 - column
		}
		return float64(x) + float64(by.unit)*(column+0.5)
	}
	foot := row(d.strs[len(d.strs)-1]) + by.foot
	d.svgBoard(&b, by, row, at, foot)
	for _, bar := range n.Barres {
		fmt.Fprintf(&b, `<path class="barre" d="M%.1f,%dV%d"/>`, at(float64(d.wires[bar.Fret-d.First]+d.wires[bar.Fret-d.First+1])/2), row(bar.To), row(bar.From))
	}
	b.WriteByte('\n')
	for i, s := range d.spots() {
		if m := n.Marks[i]; s.text != "" {
			title := ""
			if say != nil {
				title = say(m)
			}
			b.WriteString(m.svg(at(float64(s.from)+float64(s.wide()-1)/2), row(m.At.String), by.unit*s.wide()+by.wider, by.high, title))
		}
	}
	b.WriteString("</g>\n")
	return b.String(), by.unit * (d.Wide - by.out), foot + by.high/4 - y
}

// svgBoard draws the neck without its marks: wires, inlays with their numbers, strings.
func (d Drawing) svgBoard(b *strings.Builder, by measure, row func(str int) int, at func(column float64) float64, foot int) {
	top, bottom := row(d.strs[0]), row(d.strs[len(d.strs)-1])
	for i, w := range d.wires {
		class := "wire"
		if i == 0 && d.First == 1 {
			class = "nut"
		}
		fmt.Fprintf(b, `<path class="%s" d="M%.0f,%dV%d"/>`, class, at(float64(w)), top, bottom)
	}
	for i := 1; i < len(d.wires); i++ {
		fret := d.First + i - 1
		if d.n.Board.Inlays(fret) == 0 {
			continue
		}
		centre := at(float64(d.wires[i-1]+d.wires[i]) / 2)
		for _, gap := range d.inlays(fret) {
			fmt.Fprintf(b, `<circle class="inlay" cx="%.1f" cy="%d" r="%d"/>`, centre, top+by.apart*gap+by.apart/2, by.inlay)
		}
		fmt.Fprintf(b, `<text x="%.1f" y="%d" text-anchor="middle">%d</text>`, centre, foot, fret)
	}
	for _, s := range d.strs {
		thick := 1
		if d.n.wound(s) {
			thick = 2
		}
		fmt.Fprintf(b, `<path class="string" stroke-width="%d" d="M%.0f,%dH%.0f"/>`, thick, at(nutAt), row(s), at(float64(d.wires[len(d.wires)-1])))
		if by.out == 0 {
			fmt.Fprintf(b, `<text class="number" x="%.1f" y="%d" text-anchor="middle">%d</text>`, at(1), row(s)+5, s)
		}
		if d.n.Names != nil {
			fmt.Fprintf(b, `<text x="%.1f" y="%d" text-anchor="middle">%s</text>`, at(openAt+1), row(s)+5, html.EscapeString(d.n.Names[s-1]))
		}
	}
}

// svg draws a mark of so many units about a centre.
func (m Mark) svg(x float64, y, wide, high int, title string) string {
	if title != "" {
		title = "<title>" + html.EscapeString(title) + "</title>"
	}
	class, text := classes[m.Kind].name, ""
	switch {
	case m.Kind == Heat:
		figure := m.figure()
		class, text = fmt.Sprintf("h%d", figure/2), fmt.Sprintf(` class="on%d"`, figure/2)
		if figure < 5 {
			class += " weak"
		}
	case classes[m.Kind].light:
		text = ` class="on"`
	}
	return fmt.Sprintf(`<rect class="%s" x="%.1f" y="%d" width="%d" height="%d" rx="4">%s</rect><text%s x="%.1f" y="%d" text-anchor="middle">%s</text>`+"\n",
		class, x-float64(wide)/2, y-high/2, wide, high, title, text, x, y+5, html.EscapeString(m.Label))
}
