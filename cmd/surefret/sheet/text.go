package sheet

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/report"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/tablature"
	"surefret/drills/gig"
)

// Text writes the page as text in lines of at most width columns; from 40 on it
// stays readable.
func (page Page) Text(w io.Writer, width int, look ink.Look) error {
	t := text{width: width, look: look}
	t.head("", fmt.Sprintf("%s, %s", page.Name, Day(page.Day)))
	if r := page.Readiness; r != nil {
		t.folded("", r.say())
	}
	if page.Note != "" {
		t.folded("", "Note: "+page.Note)
	}
	if len(page.Songs) == 0 {
		t.folded("", fmt.Sprintf("No songs yet: surefret song add FILE, then surefret gig song %q TITLE --called KEY", page.Name))
	}
	for i, s := range page.Songs {
		t.line("")
		t.song(s, fmt.Sprintf("song %d of %d; ", i+1, len(page.Songs)))
	}
	if len(page.Songs) > 0 {
		t.line("")
		t.head("", "Before the gig")
	}
	for _, s := range page.Songs {
		t.practise(s)
	}
	_, err := io.WriteString(w, t.String())
	return err
}

// Text writes one song for a quick look, minutes before playing.
func (s Song) Text(w io.Writer, width int, look ink.Look) error {
	t := text{width: width, look: look}
	t.song(s, "")
	t.practise(s)
	_, err := io.WriteString(w, t.String())
	return err
}

// A text is a page in the making.
type text struct {
	strings.Builder
	width int
	look  ink.Look
}

func (t *text) line(format string, args ...any) { fmt.Fprintf(t, format+"\n", args...) }

// folded adds text in lines that fit, each behind indent; lines after the first
// stand two columns further in.
func (t *text) folded(indent, text string) {
	for _, line := range report.Fold(indent, indent+"  ", text, t.width) {
		t.line("%s", line)
	}
}

// head adds a head, as folded does.
func (t *text) head(indent, text string) {
	for _, line := range report.Fold(indent, indent+"  ", text, t.width) {
		words := strings.TrimLeft(line, " ")
		t.line("%s%s", line[:len(line)-len(words)], t.look.Paint(ink.Strong, words))
	}
}

// song adds a song as it lies on the stand: chart, roots, what breaks, tablature, walks,
// shapes; on a bass a walking line below the chart. The facts below its title begin with which of its gig it is.
func (t *text) song(s Song, which string) {
	facts := which + s.shift() + "; " + s.Signature
	if s.Tempo > 0 {
		facts += fmt.Sprintf("; %g beats a minute", s.Tempo)
	}
	t.head("", s.Title+": "+s.Called)
	t.folded("", facts)
	t.chart(s.Chart)
	for _, section := range s.Walking {
		t.folded("  ", section.title())
		t.systems(s.walkedSystems(section))
	}
	t.roots(s)
	for _, line := range s.broken(t.width - 2) {
		t.folded("  ", line)
	}
	for _, p := range s.Parts {
		if p.Fault == "" {
			t.head("  ", p.Name+", "+p.Moved)
			t.systems(p.Systems)
		}
	}
	for i, w := range s.Walks {
		if i == 0 {
			t.head("  ", "Walks")
		}
		for _, l := range s.walkTab(w) {
			t.line("    %s", l)
		}
	}
	t.shapes(s)
}

// chart adds the bars of each section in columns that stand below each other, as many in a
// row as fit: four, two or one.
func (t *text) chart(c Chart) {
	wide := 0
	for _, s := range c.Sections {
		for _, b := range s.Bars {
			for _, row := range b.rows(t.look.ASCII) {
				wide = max(wide, utf8.RuneCountInString(row)+1)
			}
		}
	}
	each := 4
	for each > 1 && 4+each*wide > t.width {
		each /= 2
	}
	for _, s := range c.Sections {
		if head := s.head(); head != "" {
			t.head("  ", head)
		}
		if s.Recalled {
			continue
		}
		for bars := range slices.Chunk(s.Bars, each) {
			var rows [2]string
			for _, b := range bars {
				for i, row := range b.rows(t.look.ASCII) {
					rows[i] += row + strings.Repeat(" ", wide-utf8.RuneCountInString(row))
				}
			}
			t.line("    %s|", rows[0])
			t.line("    %s|", rows[1])
		}
	}
}

// roots draws the roots on one neck, or lists them where there is no room for one.
func (t *text) roots(s Song) {
	n := s.roots(1, rootsEnd)
	n.Look, n.Columns = t.look, min(t.width, 80)-2
	switch _, last := n.Span(); {
	case n.Strings == nil:
	case last < n.Frets[1]:
		t.head("  ", "Roots, string/fret")
		for _, c := range s.Chords {
			t.line("    %-8s%s", c.Chord, fretboard.WritePlaces(c.Roots))
		}
	default:
		t.head("  ", "Roots")
		for _, l := range n.Draw().Lines {
			t.line("  %s", l)
		}
	}
}

// systems adds tablature, as many bars beside each other as fit.
func (t *text) systems(all []tablature.System) {
	for _, sys := range all {
		for _, text := range sys.Text {
			t.folded("    ", text)
		}
		var rows []string
		flush := func() {
			for _, row := range rows {
				t.line("    %s", strings.TrimRight(row, " "))
			}
			rows = nil
		}
		for _, bar := range sys.Bars {
			if rows != nil && 4+tabWidth(rows)+tabWidth(bar) > t.width {
				flush()
			}
			if rows == nil {
				rows = make([]string, len(bar))
			}
			for i, l := range bar {
				rows[i] += l
			}
		}
		flush()
	}
}

// shapes adds where each shape lands, fret by fret from the lowest string.
func (t *text) shapes(s Song) {
	wide := 6
	for _, sh := range s.landed() {
		wide = max(wide, utf8.RuneCountInString(sh.Chord))
	}
	shape := ""
	for _, sh := range s.landed() {
		if sh.Shape != shape {
			shape = sh.Shape
			t.head("  ", shape+", low string first")
		}
		t.line("    %-*s%s%s", wide+2, sh.Chord, sh.Frets, sayFor(sh))
	}
	for _, kept := range s.Kept {
		t.head("  ", kept.Words)
		for _, c := range kept.Chords {
			t.line("    %-*s%s", wide+2, c.Chord, c.Frets)
		}
	}
}

// practise adds how ready the player is for a song.
func (t *text) practise(s Song) {
	t.folded("  ", s.Title+": "+strings.Join(s.practise(), " "))
}

// sayFor says which other chords a shape stands for: ", for Ebmaj7".
func sayFor(sh gig.SheetShape) string {
	if len(sh.For) == 0 {
		return ""
	}
	return ", for " + strings.Join(sh.For, ", ")
}
