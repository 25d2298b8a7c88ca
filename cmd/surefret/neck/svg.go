package neck

import (
	"fmt"
	"html"
	"strings"
)

// Units of a drawn neck in SVG: of a column of the terminal, which measures the frets
// here too, and from one string to the next.
const (
	Unit    = 8
	apart   = 26
	figures = 20 // below the last string, for the numbers of the frets
)

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
	d := n.layout()
	var b strings.Builder
	b.WriteString(`<g class="neck" font-size="13">`)
	row := func(str int) int { return y + apart/2 + apart*d.Row(str)/d.pitch }
	at := func(column float64) float64 {
		if n.LeftHanded {
			column = float64(d.Wide) - 1 - column
		}
		return float64(x) + Unit*(column+0.5)
	}
	top, bottom := row(d.strs[0]), row(d.strs[len(d.strs)-1])
	for i, w := range d.wires {
		class := "wire"
		if i == 0 && d.First == 1 {
			class = "nut"
		}
		fmt.Fprintf(&b, `<path class="%s" d="M%.0f,%dV%d"/>`, class, at(float64(w)), top, bottom)
	}
	for i := 1; i < len(d.wires); i++ {
		fret := d.First + i - 1
		if n.Board.Inlays(fret) == 0 {
			continue
		}
		centre := at(float64(d.wires[i-1]+d.wires[i]) / 2)
		for _, gap := range d.inlays(fret) {
			fmt.Fprintf(&b, `<circle class="inlay" cx="%.1f" cy="%d" r="4"/>`, centre, top+apart*gap+apart/2)
		}
		fmt.Fprintf(&b, `<text x="%.1f" y="%d" text-anchor="middle">%d</text>`, centre, bottom+figures+8, fret)
	}
	for _, s := range d.strs {
		thick := 1
		if n.wound(s) {
			thick = 2
		}
		fmt.Fprintf(&b, `<path class="string" stroke-width="%d" d="M%.0f,%dH%.0f"/>`, thick, at(nutAt), row(s), at(float64(d.wires[len(d.wires)-1])))
		fmt.Fprintf(&b, `<text class="number" x="%.1f" y="%d" text-anchor="middle">%d</text>`, at(1), row(s)+5, s)
		if n.Names != nil {
			fmt.Fprintf(&b, `<text x="%.1f" y="%d" text-anchor="middle">%s</text>`, at(openAt+1), row(s)+5, html.EscapeString(n.Names[s-1]))
		}
	}
	b.WriteByte('\n')
	for i, s := range d.spots() {
		if m := n.Marks[i]; s.text != "" {
			title := ""
			if say != nil {
				title = say(m)
			}
			b.WriteString(m.svg(at(float64(s.from)+float64(s.wide()-1)/2), row(m.At.String), Unit*s.wide()-2, title))
		}
	}
	b.WriteString("</g>\n")
	return b.String(), Unit * d.Wide, bottom - y + figures + apart/2
}

// svg draws a mark of so many units about a centre.
func (m Mark) svg(x float64, y, wide int, title string) string {
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
		class, x-float64(wide)/2, y-apart/2+2, wide, apart-4, title, text, x, y+5, html.EscapeString(m.Label))
}
