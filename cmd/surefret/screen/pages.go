package screen

import (
	"fmt"
	"strings"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/neck"
	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/drills/theory"
	"surefret/scheduler"
)

// pausePage hides the question, so that a pause gives no time to work it out.
func (m *sittingView) pausePage() []string {
	page := append(m.indent(m.header()), "")
	page = append(page, m.indent(m.look.Paint(ink.Strong, "Paused."), "")...)
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
		m.look.Paint(ink.Strong, "How to answer"),
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
		page = append(page, m.indent(report.Fold("", "  ", m.look.Paint(ink.Strong, t.Word)+"  "+t.Means, m.measure())...)...)
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

// closingPage is the summary: the sitting drawn, as much of it as there is room for, and
// said in sentences. Where the window is low its blank rows go first, then its end.
func (m *sittingView) closingPage(rows int) []string {
	page := append(m.indent(m.look.Paint(ink.Strong, "Done.")), "")
	var told, tight []string
	for _, l := range m.summary.Lines() {
		lines := m.indent(wrap(l, min(m.measure(), 76))...)
		told = append(append(told, lines...), "")
		tight = append(tight, lines...)
	}
	for _, drawing := range [][]string{append(m.trail(), m.today()...), m.trail()} {
		if len(page)+len(drawing)+len(tight) <= rows {
			page = append(page, drawing...)
			break
		}
	}
	switch {
	case len(page)+len(told)-1 <= rows:
		return append(page, told[:len(told)-1]...)
	case len(page)+len(tight) <= rows:
		return append(page, tight...)
	}
	return append(append(page, tight[:rows-1-len(page)]...), m.indent("More in 'surefret progress'.")...)
}

// How the sitting is drawn: so many of its last answers, and the thinking times in so
// many columns, the aim in the middle as on the ruler.
const (
	trailLong = 40
	heights   = "▁▂▃▄▅▆▇█"
)

// trail draws how the answers went, one after another, and how long they took.
func (m *sittingView) trail() (rows []string) {
	steps := m.summary.Trail
	if len(steps) == 0 {
		return nil
	}
	signs := []string{"●", "○", "×", "·"}
	if m.look.ASCII {
		signs = []string{"*", "o", "x", "."}
	}
	counts, times, most := [4]int{}, [rulerWide]int{}, 0
	var line strings.Builder
	for i, s := range steps {
		how := 0
		switch {
		case s.Outcome == scheduler.Missed:
			how = 2
		case s.Share == 0:
			how = 3
		case s.Outcome == scheduler.Slow:
			how = 1
		}
		counts[how]++
		if i >= len(steps)-trailLong {
			line.WriteString(m.look.Paint([]ink.Paint{ink.Right, ink.Slow, ink.Wrong, ink.Right}[how], signs[how]))
		}
		if s.Share > 0 && s.Outcome != scheduler.Missed {
			at := min(int(s.Share*(rulerWide/2)), rulerWide-1)
			times[at]++
			most = max(most, times[at])
		}
	}
	var legend []string
	for i, word := range []string{"in time", "slow", "missed", "right, not timed"} {
		if timing := i < 2; !(timing && m.summary.Untimed || i == 3 && counts[i] == 0) {
			legend = append(legend, fmt.Sprintf("%s %d %s", signs[i], counts[i], word))
		}
	}
	rows = m.indent(strings.Join(legend, "   "), line.String())
	if most > 0 {
		rows = append(rows, m.indent(m.histogram(times[:], most))...)
	}
	return append(rows, "")
}

// histogram draws how many right answers took how long.
func (m *sittingView) histogram(times []int, most int) string {
	bars, aim := []rune(heights), "┊"
	if m.look.ASCII {
		bars, aim = []rune(".:-=+*#@"), ":"
	}
	line := ""
	for i, n := range times {
		bar := " "
		if n > 0 {
			bar = string(bars[(n*len(bars)-1)/most])
		}
		if i == len(times)/2 {
			line += aim
		}
		line += bar
	}
	return "0 s " + line + " twice the aim; " + aim + " is the aim"
}

// today draws the neck with the places that were asked, by how they went the last time.
func (m *sittingView) today() []string {
	n := neck.Neck{Board: m.o.Neck, LeftHanded: m.o.LeftHanded, Look: m.look, Columns: m.measure()}
	for _, s := range m.summary.Trail {
		kind := map[scheduler.Outcome]neck.Kind{scheduler.Missed: neck.Wrong, scheduler.Slow: neck.Shown}[s.Outcome]
		if s.Outcome.Fluent() {
			kind = neck.Told
		}
		for _, mark := range s.Marks {
			n.Marks = append(n.Marks, neck.Mark{At: mark.At, Label: mark.Label, Kind: kind})
		}
	}
	if len(n.Marks) == 0 {
		return nil
	}
	return append(m.indent(n.Draw().Lines...), "")
}
