package report

import (
	"fmt"
	"html"
	"strings"
)

// levels are the colours of the map in five steps of fluency, from unsure to
// sure, and of the figures written on them. They are steps of cividis (Nuñez,
// Anderton and Renslow 2018, PLoS ONE 13(7) e0199239), which colour-blind eyes
// tell apart; the figure says the same without colour.
var levels = [steps]struct{ fill, ink string }{
	{"#002051", "#ffffff"}, {"#3c4d6e", "#ffffff"}, {"#7f7c75", "#000000"}, {"#bbaf71", "#000000"}, {"#fdea45", "#000000"},
}

// Measures of the picture, in SVG user units.
const (
	cellWide, cellHigh = 34, 30
	marginLeft         = 70
	marginTop          = 50
	lineHigh           = 20
)

// SVG draws the map as one picture that needs nothing else: string 1 on top
// as in the text, the nut at the left, or at the right for a left-handed
// player.
func (m Map) SVG() string {
	count := m.Frets[1] - m.Frets[0] + 1
	rows := len(m.Places) / count
	width := max(marginLeft+count*cellWide+20, 560)
	bottom := marginTop + rows*cellHigh
	height := bottom + 70 + lineHigh*len(m.Weakest)
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" role="img" aria-labelledby="title desc" font-family="sans-serif">`+"\n",
		width, height, width, height)
	fmt.Fprintf(&b, "<title id=\"title\">The neck on %s</title>\n<desc id=\"desc\">%s</desc>\n", m.Day, html.EscapeString(m.describe()))
	fmt.Fprintf(&b, `<rect width="%d" height="%d" fill="#ffffff"/>`+"\n", width, height)
	fmt.Fprintf(&b, `<text x="10" y="28" font-size="15" fill="#000000">The neck on %s: tenths of answers that would be right in time</text>`+"\n", m.Day)
	for i, p := range m.Places {
		y := marginTop + i/count*cellHigh
		if i%count == 0 {
			fmt.Fprintf(&b, `<text x="10" y="%d" font-size="13" fill="#000000">string %d</text>`+"\n", y+20, p.String)
		}
		m.cell(&b, p, m.column(p.Fret), y)
	}
	for f := m.Frets[0]; f <= m.Frets[1]; f++ {
		if label := strings.TrimSpace(fretLabel(f, 2)); label != "" {
			fmt.Fprintf(&b, `<text x="%d" y="%d" font-size="12" text-anchor="middle" fill="#000000">%s</text>`+"\n",
				m.column(f)+cellWide/2, bottom+18, label)
		}
	}
	legend(&b, bottom+36)
	for i, r := range m.Weakest {
		fmt.Fprintf(&b, `<text x="10" y="%d" font-size="13" fill="#000000">weak: %s, %.0f %%</text>`+"\n",
			bottom+36+lineHigh*(i+2), html.EscapeString(r.Words), 100*r.Fluency)
	}
	b.WriteString("</svg>\n")
	return b.String()
}

// column is where a fret begins.
func (m Map) column(fret int) int {
	i := fret - m.Frets[0]
	if m.LeftHanded {
		i = m.Frets[1] - fret
	}
	return marginLeft + i*cellWide
}

// cell draws one place. What is sure has a ring round its sign, what was never
// asked a broken frame, so that both are told without colour.
func (m Map) cell(b *strings.Builder, p Place, x, y int) {
	title := fmt.Sprintf("%s, %s: ", p.Say(), p.Note)
	if p.Level == Unmet {
		fmt.Fprintf(b, `<rect x="%d" y="%d" width="%d" height="%d" fill="#ffffff" stroke="#767676" stroke-dasharray="2 3"><title>%s</title></rect>`+"\n",
			x+2, y+2, cellWide-4, cellHigh-4, html.EscapeString(title+Unmet))
		return
	}
	l := levels[step(p.Fluency)]
	fmt.Fprintf(b, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s"><title>%s</title></rect>`,
		x+1, y+1, cellWide-2, cellHigh-2, l.fill, html.EscapeString(fmt.Sprintf("%s%.0f %%", title, 100*p.Fluency)))
	if p.Level == Sure {
		fmt.Fprintf(b, `<circle cx="%d" cy="%d" r="11" fill="none" stroke="%s" stroke-width="2"/>`, x+cellWide/2, y+cellHigh/2, l.ink)
	}
	fmt.Fprintf(b, `<text x="%d" y="%d" font-size="14" text-anchor="middle" fill="%s">%d</text>`+"\n",
		x+cellWide/2, y+20, l.ink, min(9, int(p.Fluency*10)))
}

// legend explains the steps, the ring and the broken frame.
func legend(b *strings.Builder, y int) {
	at := 10
	say := func(text string, room int) {
		fmt.Fprintf(b, `<text x="%d" y="%d" font-size="12" fill="#000000">%s</text>`+"\n", at+5, y+14, text)
		at += room
	}
	for i, l := range levels {
		fmt.Fprintf(b, `<rect x="%d" y="%d" width="24" height="20" fill="%s"/><text x="%d" y="%d" font-size="12" text-anchor="middle" fill="%s">%d</text>`+"\n",
			at, y, l.fill, at+12, y+14, l.ink, 2*i)
		at += 26
	}
	say("unsure to sure", 105)
	fmt.Fprintf(b, `<circle cx="%d" cy="%d" r="9" fill="none" stroke="#000000" stroke-width="2"/>`, at+10, y+10)
	at += 20
	say("sure, 8 or more", 115)
	fmt.Fprintf(b, `<rect x="%d" y="%d" width="22" height="18" fill="#ffffff" stroke="#767676" stroke-dasharray="2 3"/>`, at, y+1)
	at += 24
	say("never asked", 0)
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
