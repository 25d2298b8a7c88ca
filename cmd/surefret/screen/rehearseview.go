package screen

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/neck"
	"surefret/drills/fretboard"
	"surefret/drills/rehearse"
	"surefret/drills/theory"
)

// View draws the screen.
func (m *rehearsalView) View() string {
	if m.width == 0 {
		return ""
	}
	if m.small() {
		return m.tooSmall("A rehearsal", "")
	}
	if m.phase == over {
		keys := []string{"Enter", "run that", "r", "this run again"}
		if m.o.After != "" {
			keys = append(keys, "n", "next song")
		}
		foot := m.keys(append(keys, "Esc", "leave")...)
		return m.layout.page(m.indent(m.told(m.height-len(foot)-1)...), foot)
	}
	pause := "pause"
	if m.phase == stopped {
		pause = "go on"
	}
	foot := m.keys("Space", pause, "b", "back two bars", "-", "slower", "+", "faster", "v", "show more or less", "k", "chords", "c", "louder click", "Esc", "stop")
	body := append(m.head(), "")
	below := m.below()
	rows := m.height - len(foot) - len(body) - len(below) - 1
	now := m.bar(m.painted())
	chart := m.chart(rows, now, func(bar int) (string, ink.Paint) {
		if bar == now {
			return ">", ink.Asked
		}
		return " ", ink.Plain
	})
	if spare := rows - len(chart); spare > 4 && len(m.rows()) <= rows/2 { // one page: the block stands a third down
		body = append(body, make([]string, spare/3)...)
		below = append([]string{""}, below...)
		below = append(below, make([]string, spare-spare/3)...)
	}
	body = append(body, chart...)
	for len(body) < m.height-len(foot)-len(below) {
		body = append(body, "")
	}
	return m.layout.page(m.indent(append(body, below...)...), foot)
}

// told lays the page after a run out in so many rows: where it did not hold, drawn in the
// chart where there is room, and in sentences.
func (m *rehearsalView) told(rows int) []string {
	head := []string{m.look.Paint(ink.Strong, m.o.Title+", "+m.o.Names.Key(m.r.Run.Key)), ""}
	var lines []string
	for _, l := range m.page.Lines(m.o.Names.Chord) {
		lines = append(append(lines, wrap(l, m.measure())...), "")
	}
	if m.o.After != "" {
		lines = append(lines, "Then: "+m.o.After+".")
	}
	const least = 2 // rows of a chart
	if rows-len(head)-len(lines)-1 < least {
		lines = compact(lines)
	}
	if free := rows - len(head) - len(lines) - 1; free >= least && len(m.page.Stalls) > 0 {
		head = append(append(head, m.chart(free, m.page.Stalls[0].Bar, m.stalled)...), "")
	}
	return append(head, lines...)
}

// stalled is the sign of a bar after the run, and its paint: what came late there, or not
// at all or wrong.
func (m *rehearsalView) stalled(bar int) (sign string, p ink.Paint) {
	sign = " "
	for _, s := range m.page.Stalls {
		switch {
		case s.Bar != bar:
		case s.Late < s.Missed:
			return m.signs()[wasMissed], ink.Wrong
		default:
			sign, p = m.signs()[wasSlow], ink.Slow
		}
	}
	return sign, p
}

// head is the line on top: what is played, and where it is.
func (m *rehearsalView) head() []string {
	bar := m.r.Run.BarAt(m.r.Run.At(m.painted()))
	where := "count-in"
	if bar >= m.from && m.painted() >= m.begun() {
		where = fmt.Sprintf("bar %d of %d", bar+1, len(m.r.Run.Bars))
		if s := m.r.Run.Bars[bar].Section; s != "" {
			where = s + ", " + where
		}
	}
	if m.phase == stopped {
		where = "paused at " + where
	}
	return []string{m.apart(m.o.Title+" in "+m.o.Names.Key(m.r.Run.Key), where)}
}

// apart sets what is strong to the left and the rest to the right, which is whole.
func (m *rehearsalView) apart(left, right string) string {
	free := m.measure() - ansi.StringWidth(right)
	return m.look.Paint(ink.Strong, fit(left, max(free-2, 0))) + "  " + clip(right, m.measure())
}

// across is how many bars stand in a row of the chart.
const across = 4

// rows are the bars of each row of the chart, from one to before another: a section begins
// a row.
func (m *rehearsalView) rows() (rows [][2]int) {
	for i, b := range m.r.Run.Bars {
		if last := len(rows) - 1; i == 0 || i-rows[last][0] == across || b.Section != m.r.Run.Bars[i-1].Section {
			rows = append(rows, [2]int{i, i + 1})
		} else {
			rows[last][1] = i + 1
		}
	}
	return rows
}

// chart draws the page of the chart that has a bar, each bar with its chords where they
// come and their numbers below, and as it is marked.
func (m *rehearsalView) chart(free, now int, mark func(bar int) (sign string, p ink.Paint)) (lines []string) {
	all := m.rows()
	apart := 3 // lines from one row to the next
	if apart*len(all) > free+1 {
		apart = 2
	}
	each := max(1, (free+1)/apart)
	first := slices.IndexFunc(all, func(row [2]int) bool { return now < row[1] }) / each * each
	wide := (m.measure() - 1) / across
	for _, row := range all[first:min(first+each, len(all))] {
		var chords, numbers strings.Builder
		for i := row[0]; i < row[1]; i++ {
			b := m.r.Run.Bars[i]
			top, under := m.cell(b, wide-2, func(c theory.Chord) string { return m.o.Names.Chord(c) }), m.cell(b, wide-2, m.number)
			if m.shows == numbersShown {
				top, under = under, ""
			}
			sign, paint := mark(i)
			chords.WriteString("|" + m.look.Paint(paint, sign+top))
			numbers.WriteString("|" + m.look.Paint(paint, " "+fit(under, wide-2)))
		}
		if name := m.r.Run.Bars[row[0]].Section; len(lines) > 0 && apart == 3 {
			if name == m.r.Run.Bars[row[0]-1].Section {
				name = ""
			}
			lines = append(lines, m.look.Paint(ink.Strong, name))
		}
		lines = append(lines, chords.String()+"|", numbers.String()+"|")
	}
	if rest := len(all) - min(first+each, len(all)); rest > 0 && len(lines) < free {
		lines = append(lines, m.look.Paint(ink.Strong, fmt.Sprintf("and %d more rows", rest)))
	}
	return lines
}

// cell sets the chords of a bar where they come.
func (m *rehearsalView) cell(b rehearse.Bar, wide int, name func(theory.Chord) string) string {
	cell := ""
	for _, s := range b.Chords {
		at := int((s.At - b.Start) / b.Length * float64(wide))
		text := "-"
		if !s.None {
			text = name(s.Chord)
		}
		if s.Pushed {
			text = "^" + text
		}
		if s.Short {
			text += "."
		}
		if used := ansi.StringWidth(cell); used > 0 {
			cell += blanks(max(at-used, 1))
		} else {
			cell = blanks(at)
		}
		cell += text
	}
	return fit(cell, wide)
}

// fit makes a text so many columns wide.
func fit(text string, wide int) string {
	text = clip(text, wide)
	return text + blanks(wide-ansi.StringWidth(text))
}

// below is what stands under the chart: the beat, what sounds and what comes next, the
// answer and what came of it.
func (m *rehearsalView) below() []string {
	place := m.r.Run.At(m.painted())
	i := m.r.Run.ChangeAt(place)
	if m.painted() < m.begun() {
		i = max(m.r.Run.ChangeAt(m.r.Run.At(m.begun()))-1, -1)
	}
	now, next := "", ""
	if i >= 0 && m.painted() >= m.begun() {
		now = m.sayChange(m.r.Run.Changes[i])
	}
	if i+1 < len(m.r.Run.Changes) {
		next = "then  " + m.sayChange(m.r.Run.Changes[i+1])
	}
	half := m.measure() / 2
	tempo := fmt.Sprintf("%g beats a minute", m.r.Run.Tempo)
	lines := []string{fit(m.beats(place), m.measure()-len(tempo)) + tempo, "", m.look.Paint(ink.Strong, fit(now, half)) + clip(next, m.measure()-half)}
	if m.shows == neckShown {
		return append(append(lines, ""), m.picture(i, i+1)...)
	}
	entry := ""
	if m.o.Listen != nil {
		entry = "listening  " + m.meter(m.o.Listen.Level())
	} else if _, open := m.r.Open(m.painted()); open && i >= 0 && m.shows != placesShown {
		c := m.r.Run.Changes[i]
		if entry = "which fret"; c.Phrase != (rehearse.Phrase{}) {
			entry = "begins at which fret"
		}
		entry += fmt.Sprintf(" on string %d?  > %s█", c.Place.String, m.typed)
		if m.look.ASCII {
			entry = strings.ReplaceAll(entry, "█", "_")
		}
	}
	said := m.said
	if m.last != nil && said != "" {
		paint := ink.Wrong
		if m.last.Right {
			paint = ink.Right
		}
		said = m.look.Paint(paint, " "+said+" ")
	}
	return append(lines, entry, said)
}

// sayChange says a change as much as is shown of it.
func (m *rehearsalView) sayChange(c rehearse.Change) string {
	if c.Phrase != (rehearse.Phrase{}) {
		switch m.shows {
		case placesShown:
			return fmt.Sprintf("%s  %s", c.Phrase, fretboard.WritePlaces(c.Hand))
		case neckShown: // the tablature says where
			return c.Phrase.String()
		}
		return fmt.Sprintf("%s  on string %d", c.Phrase, c.Place.String)
	}
	switch m.shows {
	case numbersShown:
		return fmt.Sprintf("%s  on string %d", m.number(c.Chord), c.Place.String)
	case placesShown, neckShown:
		return fmt.Sprintf("%s  %s", m.o.Names.Chord(c.Chord), m.sayHand(c))
	}
	return fmt.Sprintf("%s  on string %d", m.o.Names.Chord(c.Chord), c.Place.String)
}

// sayHand says what the hand plays for a change.
func (m *rehearsalView) sayHand(c rehearse.Change) string {
	switch {
	case c.Walk:
		return fretboard.WritePlaces(c.Hand)
	case len(c.Hand) > 1:
		return m.o.Neck.WriteFrets(c.Hand)
	}
	return c.Place.Say()
}

// picture draws what is played for a change and for the next one: on the neck, or as
// tablature where it is a phrase.
func (m *rehearsalView) picture(now, next int) []string {
	if m.r.Run.Changes[0].Phrase != (rehearse.Phrase{}) {
		return m.tablature(now, next)
	}
	return m.hands(now, next)
}

// besideNeck is how many rows there are above the chart, between it and the neck, and below.
const besideNeck = 14

// hands draws on the neck what is played for a change, and what comes next.
func (m *rehearsalView) hands(now, next int) []string {
	n := neck.Neck{Board: m.o.Neck, LeftHanded: m.o.LeftHanded, Look: m.look, Columns: m.measure(), Frets: [2]int{1, m.highest()}, Label: 2, Rows: m.height - 3*len(m.rows()) - besideNeck}
	if now >= 0 && m.painted() >= m.begun() { // in a count-in the hand waits
		c := m.r.Run.Changes[now]
		for _, p := range c.Hand {
			n.Marks = append(n.Marks, neck.Mark{At: p, Kind: neck.Told, Label: m.noteOf(c.Chord, p)})
		}
	}
	if next < len(m.r.Run.Changes) {
		c := m.r.Run.Changes[next]
		for _, p := range c.Hand {
			if !slices.ContainsFunc(n.Marks, func(o neck.Mark) bool { return o.At == p }) {
				n.Marks = append(n.Marks, neck.Mark{At: p, Kind: neck.Shown, Label: m.noteOf(c.Chord, p)})
			}
		}
	}
	return n.Draw().Lines
}

// highest is the last fret that is drawn: a little above what the song needs.
func (m *rehearsalView) highest() int {
	const least = 9
	highest := least
	for _, c := range m.o.Run.Changes {
		for _, p := range c.Hand {
			highest = max(highest, p.Fret+1)
		}
	}
	return min(highest, m.o.Neck.Last())
}

// noteOf names what sounds at a place as a chord spells it, or else by the key.
func (m *rehearsalView) noteOf(c theory.Chord, p fretboard.Position) string {
	for _, n := range append(c.Notes(), m.r.Run.Key.Scale()...) {
		if n.PitchClass() == m.o.Neck.MIDI(p)%12 {
			return m.o.Names.Note(n)
		}
	}
	return ""
}

// beats counts the beats of the bar.
func (m *rehearsalView) beats(place float64) string {
	bar := m.r.Run.BarAt(place)
	b := m.r.Run.Bars[max(bar, 0)]
	start := b.Start
	if m.painted() < m.begun() { // the count-in has the metre of the bar that it leads to
		b = m.r.Run.Bars[m.from]
		start = b.Start - b.Length
	}
	var line strings.Builder
	for i, at := range b.Clicks() {
		count := strconv.Itoa(i + 1)
		from, to := at-b.Start+start, at-b.Start+start+rehearse.Beat(b.Meter)
		if m.phase == running && place >= from-1e-9 && place < to-1e-9 {
			count = m.look.Paint(ink.Asked, "["+count+"]")
		} else {
			count = " " + count + " "
		}
		line.WriteString(count)
	}
	return line.String()
}

// number is how the chart says a chord by its number.
func (m *rehearsalView) number(c theory.Chord) string {
	return ink.Raised(m.r.Run.Key.Numeral(c).Number(), m.look.ASCII)
}
