package screen

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"surefret/cmd/surefret/practice"
	"surefret/drills/theory"
)

// copier is the exercise on a bench.
func copier(names theory.Names) (*calibration, *clock) {
	c := &clock{begun}
	m := newCalibration(CalibrateOptions{Rand: rand.New(rand.NewPCG(1, 2)), Now: func() time.Time { return c.now }, Names: names})
	m.Update(tea.WindowSizeMsg{Width: 60, Height: 18})
	return m, c
}

func TestCopyingMeasuresTheHand(t *testing.T) {
	for _, names := range []theory.Names{{}, {System: theory.Solfege}, {System: theory.German}} {
		m, c := copier(names)
		took := [copyKinds]time.Duration{400 * time.Millisecond, 500 * time.Millisecond, 300 * time.Millisecond}
		for i := 0; !m.done(); i++ {
			m.Update(keyNamed("x")) // nothing is shown yet
			m.Update(appear{m.at})
			m.Update(keyNamed("x")) // typed ahead
			task := m.tasks[m.at]
			switch i % copiesEach {
			case 1:
				c.after(5 * time.Second) // an interruption
			case 3:
				c.after(time.Second)
				m.Update(keyNamed("z")) // a slip
				if !strings.Contains(m.View(), `That was "z", not `+task.text) && !m.done() {
					t.Errorf("a slip is not told:\n%s", m.View())
				}
				continue
			default:
				c.after(took[task.kind])
			}
			m.Update(keyNamed(task.key))
			if task.other != "" {
				c.after(took[task.kind] / 2)
				m.Update(keyNamed(task.other))
			}
		}
		want := practice.Typing{Letters: took[letters], Digits: took[digits], Pointer: took[directions]}
		for kind, gap := range map[int]*practice.Gap{letters: &want.Sign, digits: &want.Digit} {
			if kind == digits || names.System != theory.Solfege { // whose notes are several keys anyway
				*gap = practice.GapOf(slices.Repeat([]time.Duration{took[kind] / 2}, 3)) // the fourth is a slip
			}
		}
		if got := m.typing(); got != want {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
}

func TestWhoCopiesNothingIsNotMeasured(t *testing.T) {
	m, c := copier(theory.Names{})
	for !m.done() {
		m.Update(appear{m.at})
		c.after(time.Second)
		m.Update(keyNamed("z"))
	}
	if got := m.typing(); got != (practice.Typing{}) {
		t.Errorf("%+v", got)
	}
}

func TestTheExerciseCanBeLeft(t *testing.T) {
	m, _ := copier(theory.Names{})
	if _, cmd := m.Update(keyNamed("esc")); !quits(cmd) || m.done() {
		t.Error("Esc does not leave")
	}
}

func TestGoldenScreensOfCopying(t *testing.T) {
	for _, w := range windows {
		m, _ := copier(w.o.Names)
		m.layout.look = w.o.Look
		m.Update(tea.WindowSizeMsg{Width: w.width, Height: w.height})
		w.golden(t, "copy-waits", m.View())
		for m.tasks[m.at].kind != directions {
			m.at++
		}
		m.Update(appear{m.at})
		w.golden(t, "copy-arrow", m.View())
	}
}
