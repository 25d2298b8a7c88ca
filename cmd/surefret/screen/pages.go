package screen

import (
	"strings"

	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/drills/theory"
)

// pausePage hides the question, so that a pause gives no time to work it out.
func (m *sittingView) pausePage() []string {
	page := append(m.indent(m.header()), "")
	page = append(page, m.indent(m.look.paint(strong, "Paused."), "")...)
	return append(page, m.indent(wrap("The clock is stopped. Shake out your hands; rest your eyes.", m.measure())...)...)
}

// helpPage tells the keys, and what practice should not cost.
func (m *sittingView) helpPage() []string {
	note := "a letter; then # s + for sharp, b f - for flat"
	if m.o.Names.System != theory.English {
		note = spelled(m.o.Names.System)
	}
	page := m.termsPage()
	page = append(page, m.indent(
		m.look.paint(strong, "How to answer"),
		"a note     "+note,
		"a fret     its number; the arrows and Enter; a click",
		"places     6/3 or 63; the arrows and Space; a click",
		"words      typed, then Enter",
		"",
		"The clock runs from the question to your first key.",
		"For fret 1 press Enter after the 1: it could be 12.",
		"In time is thought of within the aim. What you miss, or ask",
		"to be shown, comes again. u after an answer takes it back.",
		"",
	)...)
	return append(page, m.indent(wrap("Start with the volume low, lowest of all in headphones. Rest "+
		"every quarter of an hour. Stop when something hurts or tingles or your ears "+
		"ring, and ask a teacher, a doctor or an audiologist: no exercise is worth an "+
		"injured hand or ear.", min(m.measure(), 76))...)...)
}

// termsPage explains the words of the question that was left for the help.
func (m *sittingView) termsPage() (page []string) {
	for _, t := range m.turn.Question.Terms {
		page = append(page, m.indent(report.Fold("", "  ", m.look.paint(strong, t.Word)+"  "+t.Means, m.measure())...)...)
	}
	if len(page) > 0 {
		page = append(page, "")
	}
	return page
}

// explained says what terms mean, "" for none.
func explained(terms []drills.Term) string {
	var said []string
	for _, t := range terms {
		said = append(said, t.Word+" is "+t.Means)
	}
	if len(said) == 0 {
		return ""
	}
	return strings.Join(said, "; ") + "."
}

// closingPage is the summary. Where the window is low its blank rows go first,
// then its end.
func (m *sittingView) closingPage(rows int) []string {
	page := append(m.indent(m.look.paint(strong, "Done.")), "")
	tight := append([]string(nil), page...)
	for _, l := range m.summary.Lines() {
		lines := m.indent(wrap(l, min(m.measure(), 76))...)
		page = append(append(page, lines...), "")
		tight = append(tight, lines...)
	}
	switch {
	case len(page)-1 <= rows:
		return page[:len(page)-1]
	case len(tight) <= rows:
		return tight
	}
	return append(tight[:rows-1], m.indent("More in 'surefret progress'.")...)
}
