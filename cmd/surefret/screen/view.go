package screen

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/neck"
	"surefret/cmd/surefret/practice"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/scheduler"
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
		body, foot = m.pausePage(), m.keys(append(append([]string{"any key", "go on"}, m.mapKeys()...), "Esc", "stop")...)
	case helping:
		body, foot = m.helpPage(), m.keys("any key", "go on")
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
		foot = m.questionKeys()
		body = m.questionPage(m.height - len(foot))
	}
	return m.page(body, foot)
}

// questionPage draws question and feedback into rows. Rows for feedback are
// always kept free, so that nothing moves when it comes.
func (m *sittingView) questionPage(rows int) []string {
	text, choices, told := m.question(), m.choices(), m.feedback()
	if m.phase == showing {
		text, choices, told = m.taught()
	}
	strs := m.o.Neck.Tuning.Strings()

	const kept = 4 // rows of feedback
	spare := rows - 1 - max(len(text), 2) - len(choices) - kept
	neckHigh := neck.Rows(strs, neck.Pitch(strs, spare))
	spare -= neckHigh
	gap := func() []string { // a blank row, where there is one to spare
		if spare--; spare < 0 {
			return nil
		}
		return []string{""}
	}

	page := m.indent(m.header())
	page = append(page, gap()...)
	for _, l := range text {
		page = append(page, m.indent(l)...)
	}
	if len(text) < 2 {
		page = append(page, "") // kept for it
	} else {
		page = append(page, gap()...)
	}
	page = append(page, m.indent(choices...)...)
	m.drawNeck(neckHigh)
	m.neckX, m.neckY = max(0, (m.width-m.neck.Wide)/2), len(page)
	for _, l := range m.neck.Lines {
		page = append(page, strings.TrimRight(blanks(m.neckX)+l, " "))
	}
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
// same where the neck shows it, and what becomes of it.
func (m *sittingView) taught() (text, choices, told []string) {
	l := m.lesson
	then := "It is asked in a while."
	switch {
	case l.Item == "":
		then = "Your first notes come now, each shown before it is asked."
	case m.turn.Lesson == nil:
		then = "It counts as missed, and comes back soon."
	}
	text = append([]string{m.look.Paint(ink.Strong, clip(strings.TrimSuffix(sentence(l.Title), "."), m.measure()))}, wrap(sentence(l.Pattern), m.measure())...)
	told = wrap(sentence(l.Here), m.measure())
	return text, nil, append(told, then)
}

// sentence begins a text with a capital and ends it with a full stop.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:] + "."
}

// header tells how long is left, in whole minutes and as a string that is wound
// as far as there is time, and why this question was picked.
func (m *sittingView) header() string {
	left := m.o.Sitting.Left(m.o.Now())
	if m.phase == helping || m.phase == pausing {
		left = m.o.Sitting.Left(m.left)
	}
	clock := "last question"
	switch minutes := int((left + 59*time.Second) / time.Minute); {
	case left >= time.Minute:
		clock = fmt.Sprintf("%d min left", minutes)
	case left > 0:
		clock = "a minute left"
	}
	long := time.Duration(24)
	if m.measure() < 78 {
		long = 12 // so that the reason has room
	}
	wound := 0
	if m.whole > 0 {
		wound = int(min(long, (long*left+m.whole-1)/m.whole))
	}
	along, light := "━", "─"
	if m.look.ASCII {
		along, light = "=", "-"
	}
	head := fmt.Sprintf("%-13s  %s%s", clock, strings.Repeat(along, wound), strings.Repeat(light, int(long)-wound))
	why := fmt.Sprintf("question %d, %s", m.count, clip(m.turn.Why.Reason.String(), 30))
	switch {
	case m.turn.Lesson != nil && m.turn.Lesson.Item == "":
		why = "before the first question"
	case m.turn.Lesson != nil:
		why = "shown first, then asked"
	}
	if free := m.measure() - ansi.StringWidth(head) - ansi.StringWidth(why); free >= 2 {
		return head + blanks(free) + why
	}
	return head
}

// choices lists what can be chosen, by number, on as few rows as hold them.
func (m *sittingView) choices() []string {
	var items []string
	for i, c := range m.turn.Question.Choices {
		items = append(items, fmt.Sprintf("%d %s", i+1, c))
	}
	return m.flow(items)
}

// drawNeck draws the neck with what belongs on it now.
func (m *sittingView) drawNeck(rows int) {
	n := neck.Neck{
		From:  m.window,
		Board: m.o.Neck, LeftHanded: m.o.LeftHanded, Look: m.look,
		Columns: min(m.width, widestPage), Rows: rows, String: m.turn.Question.String,
	}
	for _, mark := range m.turn.Question.Marks {
		kind, label := neck.Shown, mark.Label
		switch {
		case strings.HasPrefix(label, "?"):
			kind = neck.Asked
		case label == "":
			label = m.look.Dot()
		}
		n.Marks = append(n.Marks, neck.Mark{At: mark.At, Label: label, Kind: kind})
	}
	if m.phase == telling { // the shape has gone from there
		for i := range n.Marks {
			n.Marks[i].Kind = neck.Was
		}
	}
	switch m.phase {
	case showing:
		n.Names, n.Marks, n.String = m.openNames(), nil, 0
		for _, mark := range m.lesson.Marks {
			n.Marks = append(n.Marks, neck.Mark{At: mark.At, Label: mark.Label, Kind: neck.Told})
		}
	case telling:
		n.Names = m.openNames()
		for _, mark := range m.result.Verdict.Marks {
			n.Marks = append(n.Marks, neck.Mark{At: mark.At, Label: mark.Label, Kind: neck.Told})
		}
		for _, at := range m.wrongPlaces() {
			n.Marks = append(n.Marks, neck.Mark{At: at, Label: "x", Kind: neck.Wrong})
		}
	default:
		n.Marks = append(n.Marks, m.entered()...)
	}
	if m.phase == asking { // it stays where it is for the feedback
		n.From = 0
	}
	m.neck = n.Draw()
	m.window = m.neck.First
}

// entered marks the places picked so far, and the pointer.
func (m *sittingView) entered() []neck.Mark {
	var marks []neck.Mark
	for i, at := range m.entry.picks {
		label := m.look.Dot()
		if m.entry.question.Expect == drills.ExpectPath {
			label = strconv.Itoa(i + 1)
		}
		marks = append(marks, neck.Mark{At: at, Label: label, Kind: neck.Picked})
	}
	if at := m.entry.pointer; at != nil {
		label := ""
		for _, mark := range marks {
			if mark.At == *at {
				label = mark.Label
			}
		}
		marks = append(marks, neck.Mark{At: *at, Label: label, Kind: neck.Pointer})
	}
	return marks
}

// openNames are the names of the open strings. They come with the feedback
// only: beside the question they would answer some.
func (m *sittingView) openNames() []string {
	var names []string
	for s := 1; s <= m.o.Neck.Tuning.Strings(); s++ {
		open := m.o.Neck.Tuning.Open[s-1].Note
		if m.o.Neck.Capo > 0 {
			open = m.o.Neck.Pitch(fretboard.Position{String: s}, open.Alter < 0).Note
		}
		names = append(names, m.o.Names.Note(open))
	}
	return names
}

// feedback draws the rows under the neck: the answer as it is typed, or what
// came of it.
func (m *sittingView) feedback() []string {
	if m.phase != telling {
		rows := []string{m.typed()}
		if m.notice != "" {
			rows = append(rows, wrap(m.notice, m.measure())...)
		}
		return rows
	}
	v := m.result.Verdict
	badge, head := m.look.Paint(ink.Right, " right "), v.Want
	switch {
	case !v.Right:
		badge = m.look.Paint(ink.Wrong, " wrong ")
	case m.result.Outcome == scheduler.Slow && m.result.Thinking > 0:
		badge = m.look.Paint(ink.Slow, " slow  ")
	}
	if v.Note != "" {
		head += " (" + v.Note + ")"
	}
	if !v.Right {
		head += ", not " + v.Given
	}
	rows := []string{badge + "  " + head}
	if free := m.rulerAt() - ansi.StringWidth(rows[0]); m.result.Thinking > 0 && free > 0 {
		rows[0] += blanks(free) + m.ruler()
	} else if m.result.Thinking > 0 {
		rows[0] += "  " + practice.Seconds(m.result.Thinking)
	}
	return append(rows, wrap(v.Explanation(), m.measure())...)
}

// The ruler of thinking time: so many columns, at the right edge of the page in any
// window, with the aim in the middle.
const (
	rulerWide  = 13
	rulerWords = len(" 10.0 s, aim 2.0")
)

func (m *sittingView) rulerAt() int { return min(m.measure(), 80) - rulerWide - rulerWords }

// ruler draws how long the answer took against the aim, which is always in the same
// place: what is slow lies beyond it.
func (m *sittingView) ruler() string {
	line, aim, dot, more := "─", "┊", "●", "▶"
	if m.look.ASCII {
		line, aim, dot, more = "-", ":", "o", ">"
	}
	took, middle := m.result.Thinking, rulerWide/2
	cells := slices.Repeat([]string{line}, rulerWide)
	cells[middle] = aim
	at := int(took * time.Duration(middle) / max(m.result.Aim, time.Millisecond))
	switch over := m.result.Outcome == scheduler.Slow; {
	case at >= rulerWide:
		at, dot = rulerWide-1, more
	case over && at <= middle:
		at = middle + 1
	case !over && m.result.Verdict.Right && at >= middle:
		at = middle - 1
	}
	cells[at] = dot
	return fmt.Sprintf("%s %s, aim %.3g", strings.Join(cells, ""), practice.Seconds(took), m.result.Aim.Seconds())
}

// typed shows the answer so far, or how to give one.
func (m *sittingView) typed() string {
	e := &m.entry
	cursor := "█"
	if m.look.ASCII {
		cursor = "_"
	}
	text := e.display()
	if e.places() && len(e.picks) > 0 {
		text = strings.TrimSpace(e.answer() + " " + e.text)
	}
	if e.pointer != nil && e.text == "" && len(e.picks) == 0 {
		text = e.pointer.Say()
	}
	if text != "" {
		return "> " + m.look.Paint(ink.Strong, text) + cursor
	}
	return "> " + cursor + "  " + m.hint()
}

// spelled says how a note is typed.
func spelled(names theory.System) string {
	switch names {
	case theory.Solfege:
		return "do to si, then # or b"
	case theory.German:
		return "c to h, then is or es"
	}
	return "a letter, then # or b (or s, f), as in Bb"
}

// hint says in a few words how this question is answered.
func (m *sittingView) hint() string {
	q := m.turn.Question
	switch q.Expect {
	case drills.ExpectNote:
		return spelled(m.o.Names.System)
	case drills.ExpectFret:
		return fmt.Sprintf("a fret number, 0 to %d, or use the arrows and Enter", m.o.Neck.Last())
	case drills.ExpectPlaces:
		if n := len(q.On); n > 1 {
			return fmt.Sprintf("%d frets, string %d first, or use the arrows and Space", n, q.On[0])
		}
		return howMany(q.Count, "place") + " in any order, like 6/3, or arrows and Space"
	case drills.ExpectPath:
		return howMany(q.Count, "place") + " in order, like 6/3, or arrows and Space"
	case drills.ExpectNotes:
		return howMany(q.Count, "note") + " with spaces between, then Enter"
	case drills.ExpectInterval:
		return "an interval, like m3 or P5, then Enter"
	case drills.ExpectChord:
		if q.Count > 1 {
			return howMany(q.Count, "chord") + " with spaces between, then Enter"
		}
		return "a chord, like Bm7, then Enter"
	case drills.ExpectKey:
		return "a key, like Eb or F#m, then Enter"
	case drills.ExpectNumber:
		return "a number, like 4, 6- or b7, then Enter"
	case drills.ExpectSignature:
		return "sharps or flats, like 3b or 2#, then Enter"
	}
	return fmt.Sprintf("a number, 1 to %d", len(q.Choices))
}

func howMany(n int, thing string) string {
	if n <= 1 {
		return "one " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// questionKeys is the footer while practising: every key that is no answer.
func (m *sittingView) questionKeys() []string {
	var keys []string
	if m.phase != asking {
		keys = append(keys, "Space", "next")
		if m.turn.Lesson == nil {
			keys = append(keys, "u", "take back")
		}
		keys = append(keys, m.mapKeys()...)
	}
	if len(m.audible()) > 0 && m.o.Sound != nil {
		keys = append(keys, "Tab", "sound")
	}
	keys = append(keys, "?", "help", ".", "pause")
	if m.phase == asking {
		keys = append(keys, showKey, "show me", setAsideKey, "set aside")
	}
	return m.keys(append(keys, "Esc", "stop")...)
}
