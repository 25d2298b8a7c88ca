package sheet

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"surefret/cmd/surefret/report"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
)

// Text writes the page as text in lines of at most width columns; from 40 on it
// stays readable. Where the terminal has no signs beyond ASCII, ascii says so.
func (page Page) Text(w io.Writer, width int, ascii bool) error {
	t := text{width: width, ascii: ascii}
	t.folded("", fmt.Sprintf("%s, %s", page.Name, Day(page.Day)))
	if r := page.Readiness; r != nil {
		t.folded("", r.say())
	}
	if page.Note != "" {
		t.folded("", "Note: "+page.Note)
	}
	if len(page.Songs) == 0 {
		t.folded("", fmt.Sprintf("No songs yet: surefret song add FILE, then surefret gig song %q TITLE --called KEY", page.Name))
	}
	for _, s := range page.Songs {
		t.line("")
		t.song(s)
	}
	_, err := io.WriteString(w, t.String())
	return err
}

// Text writes one song for a quick look, minutes before playing.
func (s Song) Text(w io.Writer, width int, ascii bool) error {
	t := text{width: width, ascii: ascii}
	t.song(s)
	_, err := io.WriteString(w, t.String())
	return err
}

// A text is a page in the making.
type text struct {
	strings.Builder
	width int
	ascii bool
}

func (t *text) line(format string, args ...any) { fmt.Fprintf(t, format+"\n", args...) }

// folded adds text in lines that fit, each behind indent; lines after the first
// stand two columns further in.
func (t *text) folded(indent, text string) {
	for _, line := range report.Fold(indent, indent+"  ", text, t.width) {
		t.line("%s", line)
	}
}

// song adds a song: what to play first, then what to watch. Places are written
// string/fret.
func (t *text) song(s Song) {
	t.folded("", s.Title+": "+s.Called)
	t.folded("", strings.Join(s.facts(), "; "))
	for _, sec := range s.Sections {
		t.folded("  ", sectionName(sec.Name)+": "+strings.Join(sec.Chords, " "))
		t.folded("    ", "("+strings.Join(raised(sec.Numbers, t.ascii), " ")+")")
	}
	t.line("  Roots, string/fret:")
	wide := 6
	for _, c := range s.Chords {
		wide = max(wide, utf8.RuneCountInString(c.Chord))
	}
	for _, c := range s.Chords {
		t.line("    %-*s%s", wide+2, c.Chord, fretboard.WritePlaces(c.Roots))
	}
	shape := ""
	for _, sh := range s.Landed() {
		if sh.Shape != shape {
			shape = sh.Shape
			t.line("  %s, low string first:", shape)
		}
		t.line("    %-*s%s%s", wide+2, sh.Chord, sh.Frets, sayFor(sh))
	}
	if len(s.Walks) > 0 {
		t.line("  Walks, string/fret:")
	}
	for _, walk := range s.Walks {
		t.folded("    ", fmt.Sprintf("%s to %s: %s", walk.From, walk.To, strings.Join(walk.Notes, " ")))
		t.folded("      ", fretboard.WritePlaces(walk.Path))
	}
	for _, line := range s.Watch() {
		t.folded("  ", line)
	}
}

// raised sets the figures of chords by number above the line where the terminal
// can, "5⁷", so that a 5 with a seventh is not read as 57.
func raised(numbers []string, ascii bool) []string {
	raise := raise
	if ascii {
		raise = func(figures string) string { return "(" + figures + ")" }
	}
	return figured(numbers, raise)
}

var superscripts = []rune("⁰¹²³⁴⁵⁶⁷⁸⁹")

// raise writes figures above the line.
func raise(figures string) string {
	return strings.Map(func(r rune) rune { return superscripts[r-'0'] }, figures)
}

// figured puts the figures that come right after the degree of each number through
// raise: those of 57 and b713, not those of 2-7.
func figured(numbers []string, raise func(figures string) string) []string {
	all := make([]string, len(numbers))
	for i, n := range numbers {
		degree := 1 + strings.IndexAny(n, "1234567")
		rest := strings.TrimLeft(n[degree:], "0123456789")
		figures := n[degree : len(n)-len(rest)]
		if all[i] = n; figures != "" {
			all[i] = n[:degree] + raise(figures) + rest
		}
	}
	return all
}

// sayFor says which other chords a shape stands for: ", for Ebmaj7".
func sayFor(sh gig.SheetShape) string {
	if len(sh.For) == 0 {
		return ""
	}
	return ", for " + strings.Join(sh.For, ", ")
}
