package screen

import (
	"fmt"
	"slices"
	"strings"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/neck"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/drills/theory"
	"surefret/scheduler"
)

// pausePage hides the question, so that a pause gives no time to work it out.
func (m *sittingView) pausePage(rows int) []string {
	left, wound := m.clock()
	page := append([]string{m.look.Paint(ink.Strong, "Paused"), ""}, m.large(left)...)
	page = append(page, "", wound, "", "The clock is stopped.", "Shake out your hands; rest your eyes.", "")
	if m.ear.hushed {
		page[0] = m.look.Paint(ink.Strong, "Paused: nothing was heard for half a minute")
		return m.centred(append(page, "Any note goes on with the question, and any key."), rows)
	}
	next := "Any key goes on with the question."
	if m.glanceable() {
		next = "Any key goes on with the question; m shows the map."
	}
	return m.centred(append(page, next), rows)
}

// helpPage tells the keys, those of the open question first, and what practice should
// not cost.
func (m *sittingView) helpPage() []string {
	note := "a letter; then # s + sharp or b f - flat: Bb"
	if m.o.Names.System != theory.English {
		note = spelled(m.o.Names.System)
	}
	page := m.termsPage()
	row := func(word, text string) {
		page = append(page, m.indent(m.look.Paint(ink.Strong, fmt.Sprintf("%-10s", word))+" "+text)...)
	}
	for i, l := range wrap(m.hint(), m.measure()-11) {
		row([]string{"now", ""}[min(i, 1)], l)
	}
	page = append(page, "")
	row("a note", note)
	row("a fret", "its number: 7; the arrows and Enter; a click")
	row("places", "6/3 or 63; the arrows and Space; a click")
	row("words", "typed, then Enter: 6-  3b  Bm7  m3")
	page = append(page, "")
	signs := m.signs()
	row("time", m.timed())
	row("slow", "is right, but took longer than the aim")
	row(strings.Join(signs[:notTimed], " "), "in time, slow, missed; the last at the right")
	row("the neck", "[ ] asked  ( ) right  > < wrong  "+m.look.Ring()+" where it lay")
	row("fret 1", fmt.Sprintf("ends with Enter, or after %s: it could be 12", practice.Seconds(m.graceOf(drills.Question{Expect: drills.ExpectFret}))))
	row("missed", "or asked to be shown: it comes again")
	row("u", "takes an answer back; "+setAsideKey+" sets a question aside")
	page = append(page, "")
	return append(page, m.indent(wrap("Start with the volume low, lowest of all in headphones. Rest "+
		"every quarter of an hour. Stop when something hurts or tingles or your ears "+
		"ring, and ask a teacher, a doctor or an audiologist: no exercise is worth an "+
		"injured hand or ear.", min(m.measure(), 76))...)...)
}

// timed says what of an answer is timed.
func (m *sittingView) timed() string {
	hand := m.o.Sitting.Typing().Letters
	if hand == 0 {
		return "runs from the question to your first key"
	}
	return fmt.Sprintf("runs to your first key, less %s for your hand", practice.Seconds(hand))
}

// termsPage explains the words of the question that was left for the help.
func (m *sittingView) termsPage() (page []string) {
	for _, t := range m.turn.Question.Terms() {
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
// said in sentences. Where the window is low the strings go that were not asked, then
// blank rows, then its end.
func (m *sittingView) closingPage(rows int) []string {
	done := m.indent(m.look.Paint(ink.Strong, "Done."))
	var told, tight []string
	for _, l := range m.summary.Lines() {
		lines := m.indent(wrap(l, min(m.measure(), 76))...)
		told = append(append(told, lines...), "")
		tight = append(tight, lines...)
	}
	told = told[:max(0, len(told)-1)]
	course, asked := m.course(), m.today(m.stringsAsked(), 0)
	whole := m.today(nil, rows-len(done)-len(course)-len(told)-3)
	for _, page := range [][]string{
		slices.Concat(done, []string{""}, course, whole, told),
		slices.Concat(done, []string{""}, course, asked, told),
		slices.Concat(done, []string{""}, course, asked, tight),
	} {
		if len(page) < rows { // a blank row above the keys
			return page
		}
	}
	// The drawings say what is first told in words too.
	page := slices.Concat(compact(course), compact(asked), tight)
	if len(page) > rows {
		page = append(page[:rows-1], m.indent("More in 'surefret progress'.")...)
	}
	return page
}

// compact leaves out blank rows.
func compact(rows []string) []string {
	return slices.DeleteFunc(slices.Clone(rows), func(l string) bool { return l == "" })
}

// How the sitting is drawn: so many of its last answers, and the thinking times in so
// many columns, the aim in the middle as on the ruler.
const (
	wholeTrail = 40
	heights    = "▁▂▃▄▅▆▇█"
)

// course draws how the answers went, one after another, and how long they took.
func (m *sittingView) course() (rows []string) {
	steps := m.summary.Trail
	if len(steps) == 0 {
		return nil
	}
	counts, times, most := [4]int{}, [rulerWide]int{}, 0
	var line strings.Builder
	for i, s := range steps {
		went := how(s.Outcome, s.Share > 0)
		counts[went]++
		if i >= len(steps)-wholeTrail {
			line.WriteString(m.signed(went))
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
			legend = append(legend, fmt.Sprintf("%s %d %s", m.signs()[i], counts[i], word))
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
	bars, aim := []rune(heights), m.look.Scale().Aim
	if m.look.ASCII {
		bars = []rune(".:-=+*#@")
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

// today draws the neck, or so many of its strings, with the places that were asked, by how
// they went the last time; with so many rows its strings stand apart.
func (m *sittingView) today(strs []int, rows int) []string {
	n := neck.Neck{Board: m.o.Neck, LeftHanded: m.o.LeftHanded, Look: m.look, Columns: m.measure(), Rows: rows, Strings: strs}
	for _, s := range m.summary.Trail {
		kind := map[scheduler.Outcome]neck.Kind{scheduler.Missed: neck.Wrong, scheduler.Slow: neck.Slow}[s.Outcome]
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

// stringsAsked are the strings on which places were asked.
func (m *sittingView) stringsAsked() (strs []int) {
	for _, s := range m.summary.Trail {
		for _, mark := range s.Marks {
			strs = append(strs, mark.At.String)
		}
	}
	slices.Sort(strs)
	return slices.Compact(strs)
}
