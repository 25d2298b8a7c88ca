package screen

import (
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
)

// The keys of a rehearsal, while it runs and on the page after it.

// key takes a key.
func (m *rehearsalView) key(msg tea.KeyMsg) tea.Cmd {
	k := msg.String()
	switch {
	case k == "ctrl+c":
		m.interrupted = true
		return tea.Quit
	case m.phase == over:
		return m.pageKey(k)
	}
	switch k {
	case "esc":
		m.finish()
		if m.page.Asked == 0 {
			return tea.Quit
		}
	case " ":
		if m.phase == running {
			m.phase = stopped
			m.o.Stop()
		} else {
			m.start(m.bar(m.at))
		}
	case "b":
		m.start(m.bar(m.at) - 2)
	case "+", "-":
		step := 4.0
		if k == "-" {
			step = -step
		}
		m.startAt(m.bar(m.at), m.r.Run.Tempo+step)
	case "v":
		m.shows = (m.shows + 1) % details
		m.last, m.said = nil, shown[m.shows]
		if m.o.Listen != nil { // who plays types nothing
			m.said, _, _ = strings.Cut(m.said, ": the fret")
		}
	case "k":
		m.back = !m.back
		m.start(m.bar(m.at))
	case "c":
		switch {
		case !m.back && !m.shows.given(): // nothing sounds beside it
			m.o.Louder()
		case m.click < mostLouder:
			m.click++
			m.last, m.said = nil, "the click is louder in a moment"
			if m.phase == running {
				m.o.Exchange(m.sounds())
			}
		}
	case "enter":
		if m.typed != "" {
			m.commit()
		}
	case "backspace":
		m.typed = ""
	default:
		m.digit(k)
	}
	return nil
}

// digit takes a digit of a fret. Roots lie below fret 12: after another digit than 1 no
// second one follows.
func (m *rehearsalView) digit(k string) {
	if m.phase != running || m.o.Listen != nil || m.shows.given() || len(k) != 1 || k < "0" || k > "9" {
		return
	}
	m.sync()
	if m.typed == "" {
		if _, open := m.r.Open(m.at); !open {
			return
		}
		m.first = m.at
	}
	m.typed += k
	if n, _ := strconv.Atoi(m.typed); len(m.typed) == 2 || n != 1 {
		m.commit()
	}
}

// pageKey takes a key on the page after a run.
func (m *rehearsalView) pageKey(k string) tea.Cmd {
	switch k {
	case "esc", "q":
		return tea.Quit
	case "n":
		if m.o.After != "" {
			m.onward = true
			return tea.Quit
		}
	case "r":
		m.take(m.r.Run, m.loop, m.part)
	case "enter":
		next := m.page.Next
		whole := m.o.Run
		whole.Tempo = next.Tempo
		if next.Whole {
			m.take(whole, false, false)
		} else {
			run := m.r.Run
			run.Tempo = next.Tempo
			m.take(run.Part(next.From, next.To), true, true)
		}
	}
	return nil
}
