package main

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"surefret/cmd/surefret/screen"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
)

// mostBroken is how much of what a part loses is printed one by one.
const mostBroken = 3

// printGig prints the page as text that stays readable in 40 columns.
func (p *program) printGig(page gigPage) {
	p.printFolded("", fmt.Sprintf("%s, %s", page.Name, sayDay(page.Day)))
	if r := page.Readiness; r != nil {
		p.printFolded("", r.say())
	}
	if page.Note != "" {
		p.printFolded("", "Note: "+page.Note)
	}
	if len(page.Songs) == 0 {
		p.printFolded("", fmt.Sprintf("No songs yet: surefret gig song %q TITLE --learned KEY --chords CHORDS", page.Name))
	}
	for _, s := range page.Songs {
		fmt.Fprintln(p.out)
		p.printSheet(s)
	}
}

// printSong prints one song for a quick look, minutes before playing.
func (p *program) printSong(pl *player, g gig.Gig, s gig.Song, asJSON bool) error {
	page, err := pl.songPage(s)
	if err != nil {
		return err
	}
	if i, ok := g.Song(s.Title); ok {
		_, each := pl.readiness(g)
		page.Readiness = each[i]
	}
	if asJSON {
		return p.printJSON(page)
	}
	p.printSheet(page)
	return nil
}

// printSheet prints a song: what to play first, then what to watch. Places are
// written string/fret.
func (p *program) printSheet(s songPage) {
	w := p.out
	p.printFolded("", s.Title+": "+s.Called)
	p.printFolded("", strings.Join(s.facts(), "; "))
	for _, sec := range s.Sections {
		p.printFolded("  ", sectionName(sec.Name)+": "+strings.Join(sec.Chords, " "))
		p.printFolded("    ", "("+strings.Join(p.raised(sec.Numbers), " ")+")")
	}
	fmt.Fprintln(w, "  Roots, string/fret:")
	wide := 6
	for _, c := range s.Chords {
		wide = max(wide, utf8.RuneCountInString(c.Chord))
	}
	for _, c := range s.Chords {
		fmt.Fprintf(w, "    %-*s%s\n", wide+2, c.Chord, writePlaces(c.Roots))
	}
	shape := ""
	for _, sh := range s.Shapes {
		if sh.Frets == "" {
			continue // among what breaks
		}
		if sh.Shape != shape {
			shape = sh.Shape
			fmt.Fprintf(w, "  %s, low string first:\n", shape)
		}
		fmt.Fprintf(w, "    %-*s%s%s\n", wide+2, sh.Chord, sh.Frets, sayFor(sh))
	}
	if len(s.Walks) > 0 {
		fmt.Fprintln(w, "  Walks, string/fret:")
	}
	for _, walk := range s.Walks {
		p.printFolded("    ", fmt.Sprintf("%s to %s: %s", walk.From, walk.To, strings.Join(walk.Notes, " ")))
		p.printFolded("      ", writePlaces(walk.Path))
	}
	for _, line := range s.watch() {
		p.printFolded("  ", line)
	}
}

// raised sets the figures of chords by number above the line where the terminal
// can, "5⁷", so that a 5 with a seventh is not read as 57.
func (p *program) raised(numbers []string) []string {
	raise := raise
	if screen.LookFor(p.getenv, "").ASCII {
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

// facts are the short ones under a title.
func (s songPage) facts() []string {
	facts := []string{s.Signature}
	if s.Semitones != 0 {
		facts = append(facts, fmt.Sprintf("learned in %s, now %s", s.Learned, sayShift(s.Semitones)))
	}
	if s.Tempo > 0 {
		facts = append(facts, fmt.Sprintf("%d beats a minute", s.Tempo))
	}
	if s.Shaky {
		facts = append(facts, "shaky last time")
	}
	return facts
}

// watch tells what tonight's key costs and what to do about it, a sentence a
// line: what breaks, what would save it, the parts, and what to practise.
func (s songPage) watch() []string {
	var lines []string
	if len(s.Shapeless) > 0 {
		lines = append(lines, "No shape of yours for "+sentence(strings.Join(s.Shapeless, ", ")))
	}
	for _, b := range s.Breaks {
		lines = append(lines, "Breaks: "+sentence(b))
	}
	for _, way := range s.Ways {
		lines = append(lines, "Way out: "+sentence(way.Words+": "+strings.Join(way.Chords, ", ")))
	}
	for _, part := range s.Parts {
		lines = append(lines, sayPart(part)...)
	}
	if r := s.Readiness; r != nil {
		lines = append(lines, r.short())
	} else {
		lines = append(lines, fmt.Sprintf("Fluent now: %.0f %%.", 100*s.Now))
	}
	if len(s.Weak) > 0 {
		lines = append(lines, "Practise: "+sentence(strings.Join(s.Weak, "; ")))
	}
	return lines
}

// sayPart tells how a part fares in tonight's key and the best way out.
func sayPart(part gig.SheetPart) []string {
	if part.Fault != "" {
		return []string{"Part " + sentence(part.Fault)}
	}
	lines := []string{"Part " + part.Name + ": " + sentence(part.Moved)}
	for i, problem := range part.Problems {
		if i == mostBroken {
			lines = append(lines, fmt.Sprintf("And %d more like these.", len(part.Problems)-i))
			break
		}
		lines = append(lines, sentence(problem))
	}
	switch {
	case len(part.Ways) > 0:
		lines = append(lines, "Best way out: "+sentence(part.Ways[0]))
	case part.Breaks > 0:
		lines = append(lines, "No other way breaks less.")
	}
	return lines
}

// sentence ends a text with a full stop.
func sentence(text string) string { return strings.TrimRight(text, ".") + "." }

// sectionName names a section that has no name.
func sectionName(name string) string {
	if name == "" {
		return "chords"
	}
	return name
}

// sayShift says how far a song has moved: "3 half steps down".
func sayShift(semitones int) string {
	if semitones < 0 {
		return fretboard.Steps(-semitones) + " down"
	}
	return fretboard.Steps(semitones) + " up"
}

func writePlaces(path []gig.Place) string {
	var words []string
	for _, p := range path {
		words = append(words, fmt.Sprintf("%d/%d", p.String, p.Fret))
	}
	return strings.Join(words, " ")
}
