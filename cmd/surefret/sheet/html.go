package sheet

import (
	_ "embed"
	"html/template"
	"io"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/gig"
)

//go:embed gig.html.tmpl
var gigHTML string

var gigTemplate = template.Must(template.New("gig").Funcs(template.FuncMap{
	"day":     Day,
	"section": sectionName,
	"ready":   (*Readiness).say,
	"join":    func(words []string) string { return strings.Join(words, " ") },
	"places":  fretboard.WritePlaces,
	"pairs":   pairs,
	"figures": func(number string) string { return figured([]string{number}, raise)[0] },
}).Parse(gigHTML))

// HTML writes the gig as one page that needs nothing else: no network, no
// script. It reads from a music stand in light and dark, and prints a page a song
// on A4 and Letter.
func (page Page) HTML(w io.Writer) error { return gigTemplate.Execute(w, page) }

// A pair is a chord of a section with its number.
type pair struct{ Chord, Number string }

func pairs(sec gig.SheetSection) []pair {
	all := make([]pair, len(sec.Chords))
	for i, number := range figured(sec.Numbers, raise) {
		all[i] = pair{sec.Chords[i], number}
	}
	return all
}

// Facts are the short facts under the title.
func (s Song) Facts() string { return strings.Join(s.facts(), "; ") }

// Landed lists the shapes that can be held.
func (s Song) Landed() []gig.SheetShape {
	var landed []gig.SheetShape
	for _, sh := range s.Shapes {
		if sh.Frets != "" {
			landed = append(landed, sh)
		}
	}
	return landed
}

// RootStrings lists the strings that roots are looked for on.
func (s Song) RootStrings() []int {
	var strs []int
	if len(s.Chords) > 0 {
		for _, at := range s.Chords[0].Roots {
			strs = append(strs, at.String)
		}
	}
	return strs
}

// Room names how much there is to print on one page, so that the type is as
// large as fits. The weights are lines of the largest type, measured on Letter
// paper, the shorter of the two.
func (s Song) Room() string {
	lines := 5.0
	for _, sec := range s.Sections {
		lines += 1 + 2.6*float64(1+len(sec.Chords)/9)
	}
	half := 4 + 1.2*float64(len(s.Chords)+len(s.Landed())) + 2*float64(len(s.Walks))
	for _, line := range s.Watch() {
		half += 0.9 * float64(1+len(line)/44)
	}
	lines += half / 2
	switch {
	case lines <= 34:
		return "airy"
	case lines <= 48:
		return "full"
	case lines <= 68:
		return "fuller"
	}
	return "fullest"
}
