package screen

import (
	"slices"
	"strconv"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/neck"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/scheduler"
)

// What is drawn of a question: the neck, or in its place the numbers of a key, and a
// walk as tablature. It has the same rows before the answer and after.

// picture draws the question in so many rows, and keeps where the neck stands among
// them.
func (m *sittingView) picture(high int) []string {
	q := m.turn.Question
	page := m.numbers()
	if len(q.Walk) > 0 {
		page = append(page, m.walk()...)
	}
	strs := []int(nil)
	if on := m.walkOn(); q.Expect == drills.ExpectPath && high < len(on)+1+m.lowNeck() {
		strs = on
	} else if len(page) > 0 {
		page = append(page, "")
	}
	m.neck, m.neckY = neck.Drawing{}, len(page)
	if drawn := high - len(page); (strs != nil || drawn >= m.lowNeck()) && m.pointless() {
		m.drawNeck(drawn, strs)
		if x := max(0, (m.width-m.neck.Wide)/2); m.set == nil || x != m.neckX {
			m.neckX, m.set = x, make([]string, 0, len(m.neck.Lines))
			for _, l := range m.neck.Lines {
				m.set = append(m.set, strings.TrimRight(blanks(x)+l, " "))
			}
		}
		page = append(page, m.set...)
	}
	for len(page) < high {
		page = append(page, "")
	}
	return page[:high]
}

// lowNeck is how many rows the neck needs.
func (m *sittingView) lowNeck() int { return neck.Rows(m.o.Neck.Tuning.Strings(), 1) }

// high is how many rows the picture has where so many are free: those of a neck with a
// blank row above it and below, and of a walk that is to be found its tablature too.
func (m *sittingView) high(free int) int {
	strs := m.o.Neck.Tuning.Strings()
	high := neck.Rows(strs, neck.Pitch(strs, free-2))
	if m.turn.Question.Expect != drills.ExpectPath {
		return high
	}
	on := len(m.walkOn())
	if whole := on + 1 + neck.Rows(strs, neck.Pitch(strs, free-2-on)); whole <= free {
		return max(high, whole)
	}
	return max(high, on+neck.Rows(on, 1))
}

// pointless reports whether the neck says something now: before the answer it does
// where the question lies on it, and after it always.
func (m *sittingView) pointless() bool {
	q := m.turn.Question
	switch {
	case m.phase == telling:
		return len(m.told()) > 0 || len(q.Rows) == 0
	case m.phase == showing:
		return len(m.lesson.Marks) > 0
	}
	byName := len(q.Rows) > 0 || q.Family == "ear" && len(q.Marks) == 0
	return !byName && (len(q.Walk) == 0 || q.Expect == drills.ExpectPath)
}

// told are the places that the answer is told by. Of a key they are those that its
// lesson shows.
func (m *sittingView) told() []drills.Mark {
	marks := m.result.Verdict.Marks
	if m.turn.Question.Family == "key" && len(marks) == 0 {
		marks = m.turn.Question.Lesson().Marks
	}
	return marks
}

// numbers draws the rows of the question: each number, and what belongs to it where it
// is given, typed or told.
func (m *sittingView) numbers() (page []string) {
	told := m.phase == telling
	typed := strings.Fields(m.entry.display())
	for _, row := range m.turn.Question.Rows {
		if row.After && !told || m.phase == showing {
			continue
		}
		sum := 0
		for _, c := range row.Cells {
			sum += cellWide(c)
		}
		gap := max(0, min(4, (m.measure()-1-sum)/len(row.Cells)))
		above, below, open := " ", " ", 0
		for _, c := range row.Cells {
			wide := cellWide(c)
			name, p := "·", ink.Plain
			if m.look.ASCII {
				name = "."
			}
			switch {
			case told && c.Target:
				name, p = "("+c.Name+")", ink.Right
			case told || c.Given || row.After:
				name = c.Name
			case c.Open && open < len(typed):
				name, p = clip(typed[open], wide-1), ink.Picked
			case c.Open:
				name, p = "[?]", ink.Asked
			}
			if c.Open {
				open++
			}
			space := blanks(gap + wide - ansi.StringWidth(c.Number))
			above += m.look.Paint(ink.Strong, c.Number) + space
			below += m.look.Paint(p, name) + blanks(gap+wide-ansi.StringWidth(name))
		}
		if title := row.Title; title != "" && row.After {
			page = append(page, m.indent(" "+title)...)
		}
		page = append(page, m.indent(strings.TrimRight(above, " "), strings.TrimRight(below, " "))...)
	}
	return page
}

// cellWide is how many columns a number of a row takes: its name with a sign on either
// side where the answer is about it, and a blank.
func cellWide(c drills.Cell) int {
	name := ansi.StringWidth(c.Name)
	if c.Target || c.Open {
		name = max(name, 1) + 2
	}
	return max(name, ansi.StringWidth(c.Number)) + 1
}

// walk draws the walk as tablature: its roots, or where places are asked its start and
// what was picked, and the rest with the answer.
func (m *sittingView) walk() []string {
	q := m.turn.Question
	path := slices.Clone(q.Walk)
	for i := range path {
		root := i == 0 || i == len(path)-1 && q.Expect != drills.ExpectPath
		switch {
		case m.phase == telling:
			if marks := m.result.Verdict.Marks; len(marks) == len(path) {
				path[i] = marks[i].At // his own way
			}
		case m.phase == showing:
		case q.Expect == drills.ExpectPath && i < len(m.entry.picks):
			path[i] = m.entry.picks[i]
		case !root:
			path[i] = fretboard.Position{}
		}
	}
	on := m.walkOn()
	return m.indent(neck.Tab(path, on[0], on[len(on)-1])...)
}

// walkOn are the strings of a walk: the three lowest, and of a walking line all.
func (m *sittingView) walkOn() (strs []int) {
	last := m.o.Neck.Tuning.Strings()
	first := max(1, last-2)
	if m.turn.Question.Family == "walking" {
		first = 1
	}
	for s := first; s <= last; s++ {
		strs = append(strs, s)
	}
	return strs
}

// drawNeck draws the neck, or so many of its strings, with what belongs on it now.
func (m *sittingView) drawNeck(rows int, strs []int) {
	n := neck.Neck{
		From:  m.window,
		Board: m.o.Neck, LeftHanded: m.o.LeftHanded, Look: m.look, Label: m.widestNote(),
		Columns: min(m.width, widestPage), Rows: rows, Strings: strs, String: m.turn.Question.String,
	}
	for _, mark := range m.turn.Question.Marks {
		kind, label := neck.Shown, mark.Label
		switch {
		case m.phase == telling: // the shape has gone from there
			kind = neck.Was
		case strings.HasPrefix(label, "?"):
			kind = neck.Asked
		case label == "":
			label = m.look.Dot()
		}
		n.Marks = append(n.Marks, neck.Mark{At: mark.At, Label: label, Kind: kind})
	}
	switch m.phase {
	case showing:
		n.Names, n.Marks, n.String = m.openNames(), nil, 0
		n.Marks = marked(n.Marks, m.lesson.Marks, neck.Told)
	case telling:
		n.Names = m.openNames()
		n.Marks = append(n.Marks, m.struck()...)
		others := neck.Shown
		if !m.result.Verdict.Right {
			others = neck.Wrong
		}
		n.Marks = marked(marked(n.Marks, m.result.Verdict.Others, others), m.told(), neck.Told)
		for _, at := range m.wrongPlaces() {
			n.Marks = append(n.Marks, neck.Mark{At: at, Label: "x", Kind: neck.Wrong})
		}
	default:
		n.Marks = append(n.Marks, m.entered()...)
	}
	if m.phase == asking { // it stays where it is for the feedback
		n.From = 0
	}
	if !m.drawn.Of(n) { // most frames change a word or the time left
		m.drawn, m.set = n.Draw(), nil
	}
	m.neck = m.drawn
	m.window = m.neck.First
}

// marked adds marks of one kind.
func marked(marks []neck.Mark, more []drills.Mark, kind neck.Kind) []neck.Mark {
	for _, mark := range more {
		marks = append(marks, neck.Mark{At: mark.At, Label: mark.Label, Kind: kind})
	}
	return marks
}

// widestNote is how many columns the longest usual note name takes.
func (m *sittingView) widestNote() int {
	return []int{theory.English: 2, theory.German: 3, theory.Solfege: 4}[m.o.Names.System]
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

// struck are the strings that ring: those of a right answer, for two frames.
func (m *sittingView) struck() (marks []neck.Mark) {
	if m.ringing == 0 {
		return nil
	}
	for _, mark := range m.result.Verdict.Marks {
		marks = append(marks, neck.Mark{At: mark.At, Kind: neck.Struck, Label: []string{"", "~", "≈"}[m.ringing]})
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

// How an answer went, as the trail and the summary sign it.
const (
	inTime = iota
	wasSlow
	wasMissed
	notTimed
)

// signs are the marks of how an answer went.
func (l layout) signs() []string {
	scale := l.look.Scale()
	if l.look.ASCII {
		return []string{scale.Dot, scale.Ring, "x", "."}
	}
	return []string{scale.Dot, scale.Ring, "×", "·"}
}

// signed is the mark of an answer in its colour.
func (m *sittingView) signed(how int) string {
	return m.look.Paint([]ink.Paint{ink.Right, ink.Slow, ink.Wrong, ink.Right}[how], m.signs()[how])
}

// how tells how an answer went; timed reports whether its time was taken.
func how(outcome scheduler.Outcome, timed bool) int {
	switch {
	case outcome == scheduler.Missed:
		return wasMissed
	case !timed:
		return notTimed
	case outcome == scheduler.Slow:
		return wasSlow
	}
	return inTime
}

// trailLong is how many of the last answers are signed while practising.
const trailLong = 12

// trail signs the last answers, in a field that is always as wide.
func (m *sittingView) trail() string {
	last := m.went[max(0, len(m.went)-trailLong):]
	line := blanks(trailLong - len(last))
	for _, how := range last {
		line += m.signed(how)
	}
	return line
}
