package report

import (
	"fmt"
	"html"
	"html/template"
	"strings"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/neck"
)

// cividis are the colours of the map on white paper by figure, two figures each, the
// weakest first, and of the figures written on them. They are steps of cividis (Nuñez,
// Anderton and Renslow 2018, PLoS ONE 13(7) e0199239), which colour-blind eyes tell
// apart; the figure says the same without colour. What is weak stands off the paper and
// what is sure sinks into it, so on a dark page their order turns round.
var cividis = [5]struct{ fill, ink string }{
	{"#002051", "#ffffff"}, {"#3c4d6e", "#ffffff"}, {"#7f7c75", "#000000"}, {"#bbaf71", "#000000"}, {"#fdea45", "#000000"},
}

// heatStyle are the rules of the figures' classes, for light paper or a dark page.
func heatStyle(dark bool) string {
	var b strings.Builder
	for i, t := range cividis {
		n := i
		if dark {
			n = len(cividis) - 1 - i
		}
		fmt.Fprintf(&b, ".h%d{fill:%s}.neck text.on%d{fill:%s}", n, t.fill, n, t.ink)
	}
	return b.String()
}

// tones are the rules of a neck in the style of a page, which gives --paper, --ink and
// --soft their colours: Style on any ground, Light and Dark for the figures.
type tones struct{ Style, Light, Dark template.CSS }

var pageTones = tones{template.CSS(`.string{stroke:var(--ink)}.wire,.nut{stroke:var(--soft)}.nut{stroke-width:4}.inlay{fill:var(--rule)}.neck text{fill:var(--ink)}.weak{stroke:var(--ink);stroke-width:2}`),
	template.CSS(heatStyle(false)), template.CSS(heatStyle(true))}

// Measures of the picture, in SVG user units.
const (
	pictureColumns = 110 // of the neck, as on a terminal
	marginTop      = 46
	lineHigh       = 20
)

// SVG draws the map as one picture that needs nothing else, in black on white.
func (m Map) SVG() string {
	var b strings.Builder
	drawn, wide, high := m.neckSVG(10, marginTop)
	y := marginTop + high + 10
	wide = max(wide+20, 620)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%[1]d" height="%[2]d" role="img" aria-labelledby="title desc" font-family="sans-serif" font-size="13">`+"\n",
		wide, y+lineHigh*(len(m.Weakest)+3))
	fmt.Fprintf(&b, "<title id=\"title\">The neck on %s</title>\n<desc id=\"desc\">%s</desc>\n", long(m.Day), html.EscapeString(m.describe()))
	fmt.Fprintf(&b, "<style>%s%s.weak{stroke:#000;stroke-width:2}</style>\n", neck.Style, heatStyle(false))
	fmt.Fprintf(&b, "<rect width=\"100%%\" height=\"100%%\" fill=\"#ffffff\"/>\n<text x=\"18\" y=\"28\" font-size=\"16\" font-weight=\"bold\">The neck on %s</text>\n%s", long(m.Day), drawn)
	x := 18
	say := func(text string, room int) {
		fmt.Fprintf(&b, `<text x="%d" y="%d">%s</text>`, x, y+15, text)
		x += room
	}
	say("right and in time, of ten:", 165)
	for i := range cividis {
		fmt.Fprintf(&b, `<g class="neck"><rect class="h%d" x="%d" y="%d" width="30" height="20" rx="4"/><text class="on%[1]d" x="%[4]d" y="%[5]d" text-anchor="middle">%[6]d-%[7]d</text></g>`,
			i, x, y, x+15, y+15, 2*i, 2*i+1)
		x += 34
	}
	say("weak to sure; a bare string was not asked yet", 0)
	y += lineHigh
	for _, r := range m.Weakest {
		y += lineHigh
		fmt.Fprintf(&b, "\n"+`<text x="18" y="%d">practise next: %s, %d %%</text>`, y+14, html.EscapeString(r.Words), percent(r.Fluency))
	}
	b.WriteString("\n</svg>\n")
	return b.String()
}

// neckSVG draws the neck alone, as the inside of a picture.
func (m Map) neckSVG(x, y int) (drawn string, wide, high int) {
	if len(m.Places) == 0 {
		return "", 0, 0
	}
	said := map[neck.Mark]string{}
	marks := m.Marks()
	for _, p := range m.Places {
		for _, mark := range marks {
			if mark.At == p.Position {
				said[mark] = fmt.Sprintf("%s, %s: %d %%", p.Say(), p.Note, percent(p.Fluency))
			}
		}
	}
	return m.picture(pictureColumns, ink.Look{}).SVG(x, y, func(mark neck.Mark) string { return said[mark] })
}

// pagePicture draws the neck as a picture of a page, in the page's own tones.
func (m Map) pagePicture() template.HTML {
	drawn, wide, high := m.neckSVG(0, 0)
	return template.HTML(fmt.Sprintf("<svg viewBox=\"0 0 %d %d\" role=\"img\" aria-label=\"%s\">\n%s</svg>", wide, high, html.EscapeString(m.describe()), drawn))
}

// describe says the map in a sentence or two.
func (m Map) describe() string {
	n := map[string]int{}
	for _, p := range m.Places {
		n[p.Level]++
	}
	text := fmt.Sprintf("String 1 is on top, as in tablature. %d places sure, %d unsure, %d never asked.", n[Sure], n[Unsure], n[Unmet])
	for i, r := range m.Weakest {
		if i == 0 {
			text += " Weakest: "
		} else {
			text += "; "
		}
		text += r.Words
	}
	return text
}
