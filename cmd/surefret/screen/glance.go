package screen

import (
	"fmt"
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/neck"
	"surefret/cmd/surefret/report"
)

// A glance at the map of the neck, as it was when the player sat down and as it
// is now. It opens from the feedback, the pause and the summary by m, and from a
// question to which no answer begins so. The question is hidden meanwhile, and not
// timed.

// glanceable reports whether there is a map to look at.
func (m *sittingView) glanceable() bool { return m.o.Map != nil && len(m.first.Places) > 0 }

// glance opens the map.
func (m *sittingView) glance() {
	m.latest, m.old = m.o.Map(), false
	m.show(glancing)
}

// glanceKey takes a key while the map is on the screen.
func (m *sittingView) glanceKey(k tea.KeyMsg) (leave bool) {
	if k.String() == "m" {
		m.old = !m.old
		return false
	}
	return true
}

// mapKeys is the footer's entry for the map.
func (m *sittingView) mapKeys() []string {
	if !m.glanceable() {
		return nil
	}
	return []string{"m", "map"}
}

func (m *sittingView) glanceKeys() []string {
	other := "as you began"
	if m.old {
		other = "now"
	}
	return m.keys("m", other, "any key", "go on")
}

// glancePage draws one of the two maps and says what changed between them.
func (m *sittingView) glancePage(rows int) []string {
	shown, when := m.latest, "The map now"
	if m.old {
		shown, when = m.first, "The map as you began"
	}
	page := m.indent(m.look.Paint(ink.Strong, when), "")
	drawn := neck.Neck{Board: m.o.Neck, LeftHanded: m.o.LeftHanded, Look: m.look, Columns: m.measure(), Frets: [2]int{1, min(11, m.o.Neck.Last())}, Label: 1, Marks: shown.Marks()}
	told := wrap(m.changed(), m.measure())
	legend := shown.Legend(m.measure(), m.look)
	drawn.Rows = rows - len(page) - len(told) - len(legend) - 2
	for _, l := range drawn.Draw().Lines {
		page = append(page, m.indent(l)...)
	}
	page = append(page, "")
	page = append(page, m.indent(told...)...)
	return append(page, m.indent(legend...)...)
}

// mostChanges is how many changed places are named.
const mostChanges = 3

// changed says which places of the first twelve frets are surer than they were,
// which less, and which were asked for the first time.
func (m *sittingView) changed() string {
	type change struct {
		place report.Place
		by    float64
	}
	var surer, less, met []change
	for i, now := range m.latest.Places {
		if i >= len(m.first.Places) || now.Fret >= 12 {
			continue
		}
		was := m.first.Places[i]
		switch d := now.Fluency - was.Fluency; {
		case now.Level != report.Unmet && was.Level == report.Unmet:
			met = append(met, change{now, 0})
		case now.Figure() > was.Figure():
			surer = append(surer, change{now, d})
		case now.Figure() < was.Figure():
			less = append(less, change{now, d})
		}
	}
	if len(surer)+len(less)+len(met) == 0 {
		return "No fret has gone up or down since you began."
	}
	text := fmt.Sprintf("Since you began: %d up, %d down, %d asked for the first time.", len(surer), len(less), len(met))
	slices.SortStableFunc(surer, func(a, b change) int {
		if a.by > b.by {
			return -1
		}
		return 1
	})
	for i, c := range surer[:min(mostChanges, len(surer))] {
		word := "; "
		if i == 0 {
			word = " Most gained: "
		}
		text += word + c.place.Say()
	}
	if len(surer) > 0 {
		text += "."
	}
	return text
}
