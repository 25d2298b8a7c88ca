package sheet

import (
	"fmt"
	"strings"

	"surefret/cmd/surefret/ink"
	"surefret/drills/theory"
)

// A gridChord is a chord of a bar: its note, with an m where it is minor, in the
// largest type, what follows smaller, and its number below.
type gridChord struct{ Note, Rest, Number string }

// A gridBar is a bar of the chart on the page.
type gridBar struct {
	Chords []gridChord
	Same   bool   // the bar before once more
	Opens  bool   // a repeat begins
	Ending string // "1."
	Closes string // a repeat ends: ":" or ":x3"
}

// A gridSection is a section on the page, so many bars a row.
type gridSection struct {
	Head string
	Bars []gridBar
	Rows int // of bars in a row: 4, or 2 or 1 where chords would not fit
}

// grid returns a section as bars of a grid whose chords are in type of a size in points.
func (s Song) grid(sec ChartSection, size float64) gridSection {
	g := gridSection{Head: sec.head(), Rows: 4}
	for _, b := range sec.Bars {
		g.Bars = append(g.Bars, s.gridBar(b))
	}
	for _, b := range g.Bars {
		for g.Rows > 1 && b.width(size) > paperWide/float64(g.Rows)-cellPad {
			g.Rows /= 2
		}
	}
	return g
}

// gridBar lays a bar out. Where its chords last equally long, their beats are left out.
func (s Song) gridBar(b ChartBar) gridBar {
	bar := gridBar{Same: b.Same, Opens: b.Opens}
	if b.Ending != "" {
		bar.Ending = b.Ending + "."
	}
	if b.Repeats > 1 {
		bar.Closes = ":"
	}
	if b.Repeats > 2 {
		bar.Closes = fmt.Sprintf(":x%d", b.Repeats)
	}
	if b.Same {
		return bar
	}
	even := evenBeats(b.Chords)
	numbers := b.Numbers
	if len(numbers) != len(b.Chords) {
		numbers = make([]string, len(b.Chords))
	}
	for i, number := range numbers {
		held := isHeld(b.Chords[i])
		if held && even {
			continue
		}
		c := gridChord{Number: ink.Raised(number, false)}
		if c.Note, c.Rest = s.splitChord(b.Chords[i]); held {
			c = gridChord{Rest: b.Chords[i]}
		}
		bar.Chords = append(bar.Chords, c)
	}
	return bar
}

func isHeld(beat string) bool { return beat == "." || beat == "/" }

// evenBeats reports whether the chords of a bar last equally long.
func evenBeats(beats []string) bool {
	var lasts []int
	for i, b := range beats {
		if i == 0 || !isHeld(b) {
			lasts = append(lasts, 0)
		}
		lasts[len(lasts)-1]++
	}
	for _, n := range lasts {
		if n != lasts[0] {
			return false
		}
	}
	return true
}

// splitChord parts a chord's note, with the signs before it and the m behind it, from
// what follows. What is no chord all follows.
func (s Song) splitChord(chord string) (note, rest string) {
	before := chord[:len(chord)-len(strings.TrimLeft(chord, "<^"))]
	for letter := theory.C; letter <= theory.B; letter++ {
		for alter := -2; alter <= 2; alter++ {
			n := s.names.Note(theory.Note{Letter: letter, Alter: alter})
			if strings.HasPrefix(chord[len(before):], n) && len(before+n) > len(note) {
				note = before + n
			}
		}
	}
	rest = chord[len(note):]
	if note != "" && strings.HasPrefix(rest, "m") && !strings.HasPrefix(rest, "maj") {
		note, rest = note+"m", rest[1:]
	}
	return note, rest
}

// width is how wide a bar is in points, its chords in type of a size.
func (b gridBar) width(size float64) float64 {
	wide := float64(max(len(b.Chords)-1, 0)) * size * chordGap
	for _, c := range b.Chords {
		letters := size*ems(c.Note) + restSize*size*ems(c.Rest)
		wide += max(letters, numberSize*ems(c.Number))
	}
	if b.Opens {
		wide += size * 0.4
	}
	return wide + 0.5*size*ems(b.Ending+b.Closes)
}

// ems is how wide a text is in bold letters of a family without serifs, in their size:
// about the advance widths of DejaVu Sans Bold, the widest that is common.
func ems(text string) float64 {
	wide := 0.0
	for _, r := range text {
		switch {
		case strings.ContainsRune("/ijl.,:'| ", r):
			wide += 0.37
		case r >= 'A' && r <= 'Z' || r == '#':
			wide += 0.8
		case r == 'm' || r == 'M':
			wide += 1.05
		default:
			wide += 0.7
		}
	}
	return wide
}
