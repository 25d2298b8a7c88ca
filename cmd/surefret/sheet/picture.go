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
)

// The neck of roots ends at a fret, and so does the first half of it, which is as wide as
// a phone.
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
		halves = append(halves, pictured(drawn, wide, high, fmt.Sprintf("Roots up to fret %d: %s", n.Frets[1], orNone(said))))
	}
	return halves
}

// shapePicture draws a shape on its stretch of the neck, with its fingers, or degrees for a
// scale; beside a string at the nut o says that it rings open, and x that it must not.
func (s Song) shapePicture(sh gig.SheetShape) picture {
	n := onNeck(sh.Held, s.neck, s.names)
	n.LeftHanded, n.Small, n.Barres = s.left, true, sh.Held.Barres
	for i, name := range n.Names {
		_, n.Names[i], _ = strings.Cut(name, " ")
	}
	n.Label = 2
	if sh.Held.Recipe.Kind == fretboard.KindScale {
		n.Label = 3
	}
	n.Columns = neck.Columns(n.Frets[1]-n.Frets[0]+1, n.Label)
	drawn, wide, high := n.SVG(0, 0, nil)
	return pictured(drawn, wide, high, s.sayShape(sh))
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

// pictured is a drawing as a picture of the page, with what is read out in its place.
func pictured(drawn string, wide, high int, said string) picture {
	return picture{template.HTML(fmt.Sprintf(`<svg viewBox="0 0 %d %d" style="width:%[1]dpt" role="img" aria-label="%[3]s">%[4]s</svg>`,
		wide, high, html.EscapeString(said), drawn)), wide, high}
}
