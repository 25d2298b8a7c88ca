package screen

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/huh"
	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/neck"
)

// How a form is drawn: all its questions, the open one unfolded.

// View draws a header, the page of the form and the keys.
func (m *formPage) View() string {
	switch {
	case m.width == 0 || m.form.State != huh.StateNormal || m.begun:
		return ""
	case m.small():
		return m.tooSmall("The form", m.elsewhere)
	}
	foot := m.keys(m.footKeys()...)
	at, of := m.open()
	number := ""
	if m.asked.Begin == "" { // or there are few, and all to be seen
		number = fmt.Sprintf("%d of %d", at+1, len(of))
	}
	title := m.look.Paint(ink.Strong, m.asked.Title)
	page := m.indent(title+blanks(m.measure()-ansi.StringWidth(title)-len(number))+number, m.asked.Note, "")
	page = append(page, m.indent(m.questions(at, of, m.height-len(page)-len(foot)-1)...)...)
	return m.page(page, foot)
}

// open returns which of the questions that are asked is open, and those.
func (m *formPage) open() (at int, asked []*field) {
	focused := m.form.GetFocusedField()
	for _, a := range m.fields {
		mine := slices.Contains(a.inputs, focused)
		if !mine && a.question.Idle != nil && a.question.Idle() {
			continue
		}
		if mine {
			at = len(asked)
		}
		asked = append(asked, a)
	}
	return at, asked
}

// questions draws all questions in so many rows, the one at hand unfolded, the others a
// row each with their answers; where not all have room, those next to it.
func (m *formPage) questions(at int, asked []*field, rows int) []string {
	open := m.unfolded(asked[at])
	free := max(0, rows-len(open))
	before := min(at, free/2)
	after := min(len(asked)-at-1, free-before)
	before = min(at, free-after)
	wide := 0
	for _, a := range asked {
		wide = max(wide, ansi.StringWidth(a.question.Ask))
	}
	wide = min(wide, m.measure()*3/5)
	var page []string
	for i := at - before; i <= at+after; i++ {
		if i == at {
			page = append(page, open...)
			continue
		}
		ask := m.clip(asked[i].question.Ask, wide)
		page = append(page, m.clip("  "+ask+blanks(wide-ansi.StringWidth(ask)+2)+asked[i].said(), m.measure()))
	}
	return page
}

// usualField is how many columns a question has at least where a neck is drawn beside
// it, and shortNeck how many the neck needs.
const (
	usualField = 48
	shortNeck  = 26
)

// unfolded draws the open question, with why its answer is refused below it and the neck
// that it is about beside it.
func (m *formPage) unfolded(a *field) []string {
	input := m.form.GetFocusedField()
	page := strings.Split(strings.TrimRight(input.View(), "\n"), "\n")
	for i := range page {
		page[i] = strings.TrimRight(page[i], " ")
	}
	if err := input.Error(); err != nil {
		for _, l := range wrap(err.Error()+".", m.measure()-4) {
			page = append(page, "  "+m.look.Paint(ink.Wrong, " "+l+" "))
		}
	}
	wide := usualField
	for _, l := range page {
		wide = max(wide, ansi.StringWidth(l)+1)
	}
	columns := m.measure() - wide
	if a.question.Neck == nil || columns < shortNeck {
		return page
	}
	held, ok := a.question.Neck(a.text())
	if !ok {
		return page
	}
	n := neck.Neck{Board: held.Neck, LeftHanded: held.LeftHanded, Look: m.look, Columns: min(columns, 44), Frets: [2]int{1, min(7, held.Neck.Last())}, Label: 2}
	for _, open := range held.Neck.Tuning.Open {
		n.Names = append(n.Names, held.Names.Note(open.Note))
	}
	for i, l := range n.Draw().Lines {
		if i == len(page) {
			page = append(page, "")
		}
		page[i] += blanks(wide-ansi.StringWidth(page[i])) + l
	}
	return page
}

// said is the answer as it stands, for the row of a question that is not open.
func (a *field) said() string {
	words := strings.Split(a.text(), ",")
	if len(a.question.Options) == 0 {
		return a.text()
	}
	for i, w := range words {
		if o, ok := a.question.Option(w); ok && w != "" {
			words[i] = o.Label
		}
	}
	return strings.Join(words, ", ")
}

// footKeys are the keys of the field in hand.
func (m *formPage) footKeys() []string {
	leave := m.asked.Leave
	if m.leaving {
		leave = "again: " + leave
	}
	move := []string{"Up Down", "pick", "Enter", "next"}
	if at, _ := m.open(); at > 0 {
		move = append(move, "Shift+Tab", "back")
	}
	if _, list := m.form.GetFocusedField().(*huh.Select[string]); list && m.asked.Begin != "" {
		move = append([]string{"Space", m.asked.Begin}, move...)
	}
	list, several := m.form.GetFocusedField().(*huh.MultiSelect[string])
	switch {
	case several && m.searching():
		return []string{"Enter", "to what was found"}
	case several && list == m.long && m.found:
		return append(append([]string{"/", "search", "Space", "take"}, move...), "Esc", "all of them again")
	case several && list == m.long:
		move = append([]string{"/", "search", "Space", "take"}, move...)
	case several:
		move = append([]string{"Space", "take"}, move...)
	}
	return append(move, "Esc", leave)
}
