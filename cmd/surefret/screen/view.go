package screen

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/practice"
)

// View draws the screen: the time left on top, the question, the neck, the
// answer and what came of it, the keys at the bottom.
func (m *sittingView) View() string {
	if m.phase == waitingForSize {
		return ""
	}
	if m.small() {
		return m.tooSmall("Practice", "")
	}
	var body, foot []string
	switch m.phase {
	case pausing:
		foot = m.keys(append(append([]string{"any key", "go on"}, m.mapKeys()...), "Esc", "stop")...)
		body = m.pausePage(m.height - len(foot))
	case helping:
		body, foot = m.helpPage(), m.keys("any key", "go on")
		if len(body) > m.height-len(foot) {
			body = compact(body)
		}
	case glancing:
		foot = m.glanceKeys()
		body = m.glancePage(m.height - len(foot))
	case closing:
		keys := m.mapKeys()
		if m.o.More != nil && len(m.summary.Trail) > 0 {
			keys = append(keys, moreKey, "two minutes of what is weak")
		}
		foot = m.keys(append(keys, "Enter", "leave")...)
		body = m.closingPage(m.height - len(foot))
	default:
		foot = m.questionKeys(asking)
		after := m.questionKeys(telling)
		// As many rows whichever keys there are, so that nothing moves with the answer.
		body = m.questionPage(m.height - max(len(foot), len(after)))
		if m.phase != asking {
			foot = after
		}
	}
	return m.page(body, foot)
}

// questionPage draws question and feedback into rows. Rows for feedback are
// always kept free, so that nothing moves when it comes.
func (m *sittingView) questionPage(rows int) []string {
	text, choices, told := m.question(), m.choices(), m.feedback()
	if m.phase == showing {
		text, told = m.taught()
		choices = nil
	}
	if len(choices) > 0 {
		choices = append(choices, "") // they stand apart from the strings
	}
	kept := toldRows
	if m.o.Ear != nil {
		told = append([]string{m.hearing()}, told...)
		kept++
	} else if m.ear.lost != "" {
		told = append(wrap(m.ear.lost, m.measure()), told...)
	}
	spare := rows - 1 - max(len(text), 2) - len(choices) - kept
	high := m.high(spare)
	if m.o.Ear != nil {
		high = min(max(spare-2, leastHeard), spare, mostHeard)
	}
	spare -= high
	gap := func() []string { // a blank row, where there is one to spare
		if spare--; spare < 0 {
			return nil
		}
		return []string{""}
	}

	page := m.indent(m.header())
	page = append(page, gap()...)
	if spare > 4 { // the block stands a third down
		page = append(page, make([]string, spare/3)...)
	}
	for _, l := range text {
		page = append(page, m.indent(l)...)
	}
	if len(text) < 2 {
		page = append(page, "") // kept for it
	} else {
		page = append(page, gap()...)
	}
	page = append(page, m.indent(choices...)...)
	var drawn []string
	if m.o.Ear != nil {
		drawn = m.heard(high)
	} else {
		drawn = m.picture(high)
	}
	m.neckY += len(page)
	page = append(page, drawn...)
	page = append(page, gap()...)
	return append(page, m.indent(told...)...)
}

// question lays the question out.
func (m *sittingView) question() []string {
	rows := wrap(m.turn.Question.Text, m.measure())
	for i, l := range rows {
		rows[i] = m.look.Paint(ink.Strong, l)
	}
	return rows
}

// taught lays a lesson out: what it is and its pattern over the neck, and below it the
// same where the neck shows it, and what becomes of it where the header does not say so.
func (m *sittingView) taught() (text, told []string) {
	l := m.lesson
	text = wrap(practice.Sentence(l.Pattern), m.measure())
	if heading := l.Heading(); heading != "" {
		text = slices.Insert(text, 0, strings.TrimSuffix(practice.Sentence(heading), "."))
	}
	text[0] = m.look.Paint(ink.Strong, clip(text[0], m.measure()))
	told = append(wrap(practice.Sentence(l.Here), m.measure()), m.noted()...)
	switch {
	case l.Item == "":
		told = append(told, "More notes come now, each shown before it is asked.")
	case m.turn.Lesson == nil:
		told = append(told, "It counts as missed, and comes back soon.")
	}
	return text, told
}

// header tells how long is left, in whole minutes and as a string that is wound
// as far as there is time, why this question was picked, where there is room, and how
// the last answers went.
func (m *sittingView) header() string {
	left, wound := m.clock()
	head := fmt.Sprintf("%-13s  %s", left, wound)
	number := fmt.Sprintf("question %d", m.count)
	why := number + ", " + clip(m.turn.Why.Reason.String(), 30)
	switch {
	case m.turn.Lesson != nil && m.turn.Lesson.Item == "":
		number, why = "the notes", "before the next question"
	case m.turn.Lesson != nil:
		number, why = "shown first", "shown first, then asked"
	}
	for _, said := range []string{why, number} {
		if free := m.measure() - ansi.StringWidth(head) - ansi.StringWidth(said) - trailLong - 2; free >= 2 {
			return head + blanks(free) + said + "  " + m.trail()
		}
	}
	return head
}

// clock says how long is left, in whole minutes and as a string wound as far.
func (m *sittingView) clock() (said, wound string) {
	left := m.o.Sitting.Left(m.o.Now())
	if m.phase == helping || m.phase == pausing {
		left = m.o.Sitting.Left(m.left)
	}
	said = "last question"
	switch minutes := int((left + 59*time.Second) / time.Minute); {
	case left >= time.Minute:
		said = fmt.Sprintf("%d min left", minutes)
	case left > 0:
		said = "a minute left"
	}
	long := time.Duration(24)
	if m.measure() < 78 {
		long = 10 // so that the rest has room
	}
	if m.whole == 0 {
		return said, m.layout.wound(0, int(long))
	}
	return said, m.layout.wound(int(min(long, (long*left+m.whole-1)/m.whole)), int(long))
}

// choices lists what can be chosen, by number, on as few rows as hold them.
func (m *sittingView) choices() []string {
	var items []string
	for i, c := range m.turn.Question.Choices {
		items = append(items, fmt.Sprintf("%d %s", i+1, c))
	}
	return m.flow(items)
}

// questionKeys is the footer while practising: every key that is no answer.
func (m *sittingView) questionKeys(p phase) []string {
	var keys []string
	if p != asking {
		keys = append(keys, "Space", "next")
		if m.turn.Lesson == nil {
			keys = append(append(keys, "u", "take back"), m.mapKeys()...)
		}
	}
	q := m.turn.Question
	if sounds := len(q.Heard) > 0 || p != asking && len(q.Target)+len(m.lesson.Heard) > 0; sounds && m.o.Sound != nil {
		keys = append(keys, "Tab", "sound")
	}
	keys = append(keys, "?", "help")
	if m.turn.Lesson == nil { // which is no question whose time runs
		keys = append(keys, ".", "pause")
	}
	if p == asking {
		keys = append(keys, showKey, "show me", setAsideKey, "set aside")
	}
	return m.keys(append(keys, "Esc", "stop")...)
}
