package sheet

import (
	"fmt"
	"io"
	"strings"

	"surefret/cmd/surefret/ink"
	"surefret/drills/fretboard/fingering"
)

// mostProblems is how many problems of a moved part are printed one by one.
const mostProblems = 20

// Part writes a moved part: the first of the offers with its tablature, what breaks
// and the ways out, then the other offers with the flags that ask for them. Offers
// hold at least one.
func Part(w io.Writer, offers fingering.Offers, tab string, width int, look ink.Look) error {
	t := text{width: width, look: look}
	t.movedPart(offers[0], tab)
	if len(offers) > 1 {
		t.line("")
		t.head("", "Other ways to move it")
	}
	for i, m := range offers[1:] {
		flags := "--how " + string(m.How)
		if m.Semitones > 0 {
			flags = "--up " + flags
		} else if m.Semitones < 0 {
			flags = "--down " + flags
		}
		t.folded("  ", fmt.Sprintf("%d. %s: keeps %s; %s (%s)", i+1, m.Way(), m.Keeps(), m.Costs(), flags))
	}
	_, err := io.WriteString(w, t.String())
	return err
}

// kept says what a move keeps, and where a line comes to lie.
func kept(m fingering.Moved) string {
	said := "It keeps " + m.Keeps() + "."
	if register := m.Register(); register != "" {
		said += " The line lies " + register + "."
	}
	return said
}

// movedPart writes one way to move a part.
func (t *text) movedPart(m fingering.Moved, tab string) {
	t.folded("", m.Say()+".")
	t.folded("", kept(m))
	t.line("\n%s", strings.TrimSuffix(tab, "\n"))
	if len(m.Problems) == 0 {
		return
	}
	t.line("")
	t.head("", "What breaks or changes")
	told := m.Told()
	for i, problem := range told {
		if i == mostProblems {
			t.line("  and %d more like these: --json lists them all", len(told)-i)
			break
		}
		t.folded("  ", problem)
	}
	if len(m.Ways) == 0 {
		return
	}
	t.line("")
	t.head("", "Ways out, the best first")
	for i, w := range m.Ways {
		t.folded("  ", fmt.Sprintf("%d. %s", i+1, w.Message))
	}
}
