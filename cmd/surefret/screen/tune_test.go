package screen

import (
	"context"
	"errors"
	"io"
	"os"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
)

func TestGoldenScreensOfTheTuner(t *testing.T) {
	shown := Tuning{Large: "5 A 12 flat", Ask: "Now string 5.", Room: -52, Softest: -25, Lines: []string{
		"string 6, E2   ──────────●──────────  in tune",
		"string 5, A2   ────────●─┊──────────  12 flat",
	}}
	for _, w := range windows {
		if w.o.Look.ASCII {
			continue // who calls draws the lines
		}
		m := newTuneView(context.Background(), TuneOptions{Title: "Tuning: E2 A2 D3 G3 B3 E4", Hears: "microphone open", Level: func() float64 { return -30 }, Look: w.o.Look})
		m.Update(tea.WindowSizeMsg{Width: w.width, Height: w.height})
		m.Update(tuned{shown, nil})
		w.golden(t, "tune", m.View())
	}
}

// What is heard is shown until nothing more comes; an input that fails ends it, and so does
// a key.
func TestTheTunerShowsWhatIsHeard(t *testing.T) {
	lost := errors.New("the input was lost")
	for _, end := range []error{io.EOF, lost} {
		calls := 0
		m := newTuneView(t.Context(), TuneOptions{Level: func() float64 { return -30 }, Next: func(context.Context) (Tuning, error) {
			if calls++; calls > 1 {
				return Tuning{}, end
			}
			return Tuning{Large: "6 E in tune", Ask: "Now string 5."}, nil
		}})
		m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
		if !strings.Contains(m.View(), "Keep quiet for two seconds.") {
			t.Errorf("it begins with\n%s", m.View())
		}
		_, next := m.Update(m.next())
		if !strings.Contains(m.View(), "Now string 5.") {
			t.Errorf("after a string it shows\n%s", m.View())
		}
		_, cmd := m.Update(next())
		if end == io.EOF && (quits(cmd) || !strings.Contains(m.View(), "Nothing more is to be heard.")) || end == lost && (!quits(cmd) || m.err != lost) {
			t.Errorf("%v: %v\n%s", end, m.err, m.View())
		}
		if _, cmd := m.Update(tea.KeyMsg{Type: tea.KeyEsc}); !quits(cmd) {
			t.Error("Esc leaves it open")
		}
	}
}

// A terminal that cannot be used is told, and nobody listens any more.
func TestTheTunerTellsOfATerminalThatFails(t *testing.T) {
	closed, _, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	closed.Close()
	err = Tune(t.Context(), TuneOptions{In: closed, Out: io.Discard, Level: func() float64 { return -30 }, Next: func(ctx context.Context) (Tuning, error) {
		<-ctx.Done()
		return Tuning{}, ctx.Err()
	}})
	if err == nil || !strings.HasPrefix(err.Error(), "use the terminal: ") {
		t.Errorf("it ends with %v", err)
	}
}
