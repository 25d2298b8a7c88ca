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
var levels = [...]struct{ fill, ink string }{
	{"#002051", "#ffffff"}, {"#3c4d6e", "#ffffff"}, {"#7f7c75", "#000000"}, {"#bbaf71", "#000000"}, {"#fdea45", "#000000"},
}

// Measures of the picture, in SVG user units.
const (
	cellWide, cellHigh = 34, 30
	marginLeft         = 60
	marginTop          = 50
)

// SVG draws the map as one picture that needs nothing else: string 1 on top as in
// tablature, the nut at the left, or at the right for a left-handed player.
func (m Map) SVG(leftHanded bool) string {
	rows := map[int]int{}
	high := 0
	for _, p := range m.Places {
		high = max(high, p.String)
	}
	row := 0
	for str := 1; str <= high; str++ {
		for _, p := range m.Places {
			if p.String == str {
				rows[str] = row
				row++
				break
			}
		}
	}
	count := m.Frets[1] - m.Frets[0] + 1
	width := marginLeft + count*cellWide + 20
	height := marginTop + len(rows)*cellHigh + 70
	x := func(fret int) int {
		i := fret - m.Frets[0]
		if leftHanded {
			i = count - 1 - i
		}
		return marginLeft + i*cellWide
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" role="img" aria-labelledby="title desc" font-family="sans-serif">`+"\n",
		width, height, width, height)
	fmt.Fprintf(&b, "<title id=\"title\">The neck on %s</title>\n<desc id=\"desc\">%s</desc>\n", m.Day, html.EscapeString(m.describe()))
	fmt.Fprintf(&b, `<rect width="%d" height="%d" fill="#ffffff"/>`+"\n", width, height)
	fmt.Fprintf(&b, `<text x="%d" y="24" font-size="15" fill="#000000">The neck on %s: tenths of answers that would be right in time</text>`+"\n", marginLeft, m.Day)
	for str, r := range rowsInOrder(rows) {
		fmt.Fprintf(&b, `<text x="10" y="%d" font-size="13" fill="#000000">string %d</text>`+"\n", marginTop+r*cellHigh+20, str)
	}
	for _, p := range m.Places {
		y := marginTop + rows[p.String]*cellHigh
		if p.Level == Unmet {
			fmt.Fprintf(&b, `<rect x="%d" y="%d" width="%d" height="%d" fill="#ffffff" stroke="#767676" stroke-dasharray="2 3"/>`+"\n",
				x(p.Fret)+1, y+1, cellWide-2, cellHigh-2)
			continue
		}
		l := levels[min(len(levels)-1, int(p.Fluency*float64(len(levels))))]
		fmt.Fprintf(&b, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s"><title>string %d, fret %d, %s: %.0f %%</title></rect>`+"\n",
			x(p.Fret)+1, y+1, cellWide-2, cellHigh-2, l.fill, p.String, p.Fret, html.EscapeString(p.Note), 100*p.Fluency)
		fmt.Fprintf(&b, `<text x="%d" y="%d" font-size="14" text-anchor="middle" fill="%s">%s</text>`+"\n",
			x(p.Fret)+cellWide/2, y+20, l.ink, p.figure())
	}
	for f := m.Frets[0]; f <= m.Frets[1]; f++ {
		if label := strings.TrimSpace(fretLabel(f, 2)); label != "" {
			fmt.Fprintf(&b, `<text x="%d" y="%d" font-size="12" text-anchor="middle" fill="#000000">%s</text>`+"\n",
				x(f)+cellWide/2, marginTop+len(rows)*cellHigh+18, label)
		}
	}
	legend(&b, marginTop+len(rows)*cellHigh+36)
	b.WriteString("</svg>\n")
	return b.String()
}

// legend explains the steps and the dashed boxes.
func legend(b *strings.Builder, y int) {
	at := marginLeft
	for i, l := range levels {
		fmt.Fprintf(b, `<rect x="%d" y="%d" width="22" height="18" fill="%s"/><text x="%d" y="%d" font-size="12" text-anchor="middle" fill="%s">%d</text>`+"\n",
			at, y, l.fill, at+11, y+13, l.ink, 2*i)
		at += 24
	}
	fmt.Fprintf(b, `<text x="%d" y="%d" font-size="12" fill="#000000">unsure to sure</text>`+"\n", at+6, y+13)
	fmt.Fprintf(b, `<rect x="%d" y="%d" width="22" height="18" fill="#ffffff" stroke="#767676" stroke-dasharray="2 3"/><text x="%d" y="%d" font-size="12" fill="#000000">never asked</text>`+"\n",
		at+110, y, at+138, y+13)
}

// rowsInOrder yields the strings with their rows, string 1 first.
func rowsInOrder(rows map[int]int) func(func(int, int) bool) {
	return func(yield func(int, int) bool) {
		for str := 1; str <= 10; str++ {
			if r, ok := rows[str]; ok && !yield(str, r) {
				return
			}
		}
	}
}

// describe says the map in a sentence or two.
func (m Map) describe() string {
	n := map[string]int{}
	for _, p := range m.Places {
		n[p.Level]++
	}
	text := fmt.Sprintf("%d places sure, %d unsure, %d never asked.", n[Sure], n[Unsure], n[Unmet])
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
