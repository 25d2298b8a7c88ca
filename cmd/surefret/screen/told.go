package screen

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/practice"
	"surefret/drills"
	"surefret/drills/theory"
	"surefret/scheduler"
)

// What stands under the picture: the answer as it is typed, and what came of it.

// toldRows are the rows under the neck that are always kept free for it.
const toldRows = 4

// feedback draws the rows under the neck: the answer as it is typed, or what
// came of it.
func (m *sittingView) feedback() []string {
	if m.phase != telling {
		rows := []string{m.typed()}
		return append(rows, m.noted()...)
	}
	v := m.result.Verdict
	badge, head := m.look.Paint(ink.Right, " right "), v.Want
	switch {
	case !v.Right:
		badge = m.look.Paint(ink.Wrong, " wrong ")
	case m.result.Outcome == scheduler.Slow && m.result.Thinking > 0:
		badge, head = m.look.Paint(ink.Slow, " slow  "), "right: "+head
	}
	if v.Note != "" {
		head += " (" + v.Note + ")"
	}
	if !v.Right {
		head += ", not " + v.Given
	}
	rows := slices.Concat([]string{badge + "  " + head}, wrap(v.Explanation(), m.measure()), m.noted())
	if m.result.Thinking == 0 {
		return rows
	}
	ruler := func(line string) string { return line + blanks(m.rulerAt()-ansi.StringWidth(line)) + m.ruler() }
	switch {
	case ansi.StringWidth(rows[0]) < m.rulerAt():
		rows[0] = ruler(rows[0])
	case len(rows) < toldRows: // a row of its own
		rows = slices.Insert(rows, 1, ruler(""))
	default:
		rows[0] += "  " + practice.Seconds(m.result.Thinking)
	}
	return rows
}

// noted lays out what is said besides, no row where nothing is.
func (m *sittingView) noted() []string {
	if m.notice == "" {
		return nil
	}
	return wrap(m.notice, m.measure())
}

// The ruler of thinking time: so many columns, at the right edge of the page in any
// window, with the aim in the middle.
const (
	rulerWide  = 13
	tenth      = 100 * time.Millisecond
	rulerWords = len(" 10.0 s, aim 2.0")
)

func (m *sittingView) rulerAt() int { return min(m.measure(), 80) - rulerWide - rulerWords }

// ruler draws how long the answer took against the aim, which is always in the same
// place: what is slow lies beyond it.
func (m *sittingView) ruler() string {
	scale, more := m.look.Scale(), "▶"
	if m.look.ASCII {
		more = ">"
	}
	took, middle, dot := m.result.Thinking, rulerWide/2, scale.Dot
	cells := slices.Repeat([]string{scale.Line}, rulerWide)
	cells[middle] = scale.Aim
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
	if over := took - m.result.Aim; over > 0 && over < tenth/2 && m.result.Outcome == scheduler.Slow {
		took = m.result.Aim + tenth // it is not the aim that was over it
	}
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
	hint := m.hint()
	if m.o.Ear != nil && m.ear.unsure < practice.MostUnsure {
		if playing, ok := m.turn.Question.Playing(); ok {
			hint = playing.How
		}
	}
	return "> " + cursor + "  " + hint
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
		order := " in any order"
		if q.Count == 1 {
			order = ""
		}
		return howMany(q.Count, "place") + order + ", like 6/3, or arrows and Space"
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
	if len(q.Choices) == 2 {
		return "1 or 2"
	}
	return fmt.Sprintf("a number, 1 to %d", len(q.Choices))
}

func howMany(n int, thing string) string {
	if n <= 1 {
		return "one " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
