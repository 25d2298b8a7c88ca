package screen

import (
	"strconv"
	"strings"

	"surefret/cmd/surefret/ink"
	"surefret/drills/rehearse"
)

// tablature writes the phrase that is played and the next one side by side, each note
// where it comes in its bar, and below where the run is.
func (m *rehearsalView) tablature(now, next int) []string {
	const label = 3
	strs := m.o.Neck.Tuning.Strings()
	wide := (m.measure() - label - 3) / 2
	bars := [2][]string{dashes(strs, wide), dashes(strs, wide)}
	place := m.r.Run.At(m.painted())
	playing := m.painted() >= m.begun() && now >= 0 && m.r.Run.BarAt(place) == m.r.Run.Changes[now].Bar
	if playing {
		bars[0] = m.phraseTab(m.r.Run.Changes[now], strs, wide)
	}
	if next < len(m.r.Run.Changes) {
		bars[1] = m.phraseTab(m.r.Run.Changes[next], strs, wide)
	}
	var lines []string
	for s := range strs {
		name := m.o.Names.Note(m.o.Neck.Tuning.Open[s].Note)
		lines = append(lines, fit(name, label)+"|"+m.look.Paint(ink.Strong, bars[0][s])+"|"+bars[1][s]+"|")
	}
	at := blanks(label + 1 + wide + 1)
	if playing {
		at = blanks(label+1+m.column(m.r.Run.Bars[m.r.Run.Changes[now].Bar], place, wide)) + "^"
	}
	return append(lines, at)
}

// dashes are the strings of an empty bar.
func dashes(strs, wide int) (lines []string) {
	for range strs {
		lines = append(lines, strings.Repeat("-", wide))
	}
	return lines
}

// column is where a place in a bar stands.
func (m *rehearsalView) column(b rehearse.Bar, place float64, wide int) int {
	return max(0, min(wide-2, 1+int((place-b.Start)/b.Length*float64(wide-2))))
}

// phraseTab writes one phrase on its strings.
func (m *rehearsalView) phraseTab(c rehearse.Change, strs, wide int) []string {
	rows := make([][]byte, strs)
	for i, line := range dashes(strs, wide) {
		rows[i] = []byte(line)
	}
	free := 0
	for _, s := range append(rehearse.Steps{c.Main}, c.Then...) {
		at := max(free, m.column(m.r.Run.Bars[c.Bar], s.At, wide))
		for _, p := range s.Places {
			fret := strconv.Itoa(p.Fret)
			if p.String <= strs && at+len(fret) < wide {
				copy(rows[p.String-1][at:], fret)
				free = max(free, at+len(fret)+1)
			}
		}
	}
	var lines []string
	for _, row := range rows {
		lines = append(lines, string(row))
	}
	return lines
}
