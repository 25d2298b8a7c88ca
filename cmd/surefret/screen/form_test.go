package screen

import (
	"fmt"
	"strings"
	"testing"
	"testing/synctest"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/huh"

	"surefret/cmd/surefret/form"
)

// songForm is a form with every kind of question.
func songForm(title, day, shapes, more *string) form.Form {
	return form.Form{
		Title: "Song 1 of Harbour Fair", Note: "As you learned it.", Leave: "leave, this song is not kept",
		Questions: []form.Question{
			{Ask: "What is its title?", Hint: "like Tin Umbrella", Value: title, Check: func(text string) error {
				if text == "" {
					return fmt.Errorf("the title is empty")
				}
				return nil
			}},
			{Ask: "Which day?", Hint: "like 2026-12-05", Value: day},
			{Ask: "Which shapes?", Hint: "names", Several: true, Value: shapes,
				Options: []form.Option{{Value: "a-form", Label: "A form"}, {Value: "e-form", Label: "E form"}}},
			{Ask: "Another song?", Value: more, Options: []form.Option{{Value: "yes", Label: "yes"}, {Value: "no", Label: "no"}}},
		},
	}
}

func askBench(f form.Form, look Look, width, height int) (*askedForm, *formBench) {
	m := newAsking(f, "'surefret gig add --line' asks in plain lines.", look)
	b := &formBench{setup: &setup{formPage: m.formPage}}
	b.do(b.Init())
	b.send(tea.WindowSizeMsg{Width: width, Height: height})
	return m, b
}

func TestAFormOfQuestionsTakesWhatIsTypedAndPicked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		title, day, shapes, more := "", "", "", "no"
		m, b := askBench(songForm(&title, &day, &shapes, &more), Look{}, 60, 18)
		b.keys("enter") // refused: there is no title yet
		if !strings.Contains(b.View(), "the title is empty.") {
			t.Errorf("not refused:\n%s", b.View())
		}
		b.keys("x", "y", "enter", "d", "enter")
		if !strings.Contains(b.View(), "Space take") {
			t.Errorf("the keys of a list are not told:\n%s", b.View())
		}
		b.send(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}})
		b.keys("down")
		b.send(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}})
		b.keys("enter", "up", "enter")
		if b.form.State != huh.StateCompleted || !b.quit {
			t.Fatalf("not complete:\n%s", b.View())
		}
		if err := m.take(); err != nil {
			t.Fatal(err)
		}
		if got := fmt.Sprint(title, " ", day, " ", shapes, " ", more); got != "xy d a-form,e-form yes" {
			t.Error(got)
		}
	})
}

func TestGoldenScreensOfAForm(t *testing.T) {
	for _, w := range []struct {
		name          string
		width, height int
		look          Look
	}{
		{"60x18", 60, 18, Look{}},
		{"80x24", 80, 24, Look{}},
		{"40x24", 40, 24, Look{}}, // a phone: where to turn
		{"ascii", 80, 24, Look{ASCII: true}},
		{"many-colours", 80, 24, Look{Colours: ManyColours}},
	} {
		synctest.Test(t, func(t *testing.T) {
			title, day, shapes, more := "Tin Umbrella", "", "e-form", "no"
			_, b := askBench(songForm(&title, &day, &shapes, &more), w.look, w.width, w.height)
			golden(t, "song-typed-"+w.name, w.width, w.height, w.look, b.View())
			b.keys("enter", "enter")
			golden(t, "song-picked-"+w.name, w.width, w.height, w.look, b.View())
			b.keys("enter")
			golden(t, "song-more-"+w.name, w.width, w.height, w.look, b.View())
		})
	}
}

func TestEscLeavesAFormOfQuestions(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		title, day, shapes, more := "", "", "", "no"
		_, b := askBench(songForm(&title, &day, &shapes, &more), Look{}, 60, 18)
		b.keys("x", "esc")
		if b.quit || !strings.Contains(b.View(), "Esc again: ") {
			t.Errorf("what was typed is dropped at once:\n%s", b.View())
		}
		b.keys("y", "esc", "esc")
		if !b.quit || b.form.State == huh.StateCompleted || title != "" {
			t.Errorf("Esc does not leave, or keeps %q", title)
		}
	})
}

// A slash searches a long list; while it does, Esc and letters are the search's.
func TestALongListIsSearched(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		title, day, shapes, more := "Tin Umbrella", "", "", "no"
		f := songForm(&title, &day, &shapes, &more)
		f.Questions[2].Options = nil
		for i := range 160 {
			f.Questions[2].Options = append(f.Questions[2].Options, form.Option{Value: fmt.Sprint("s", i), Label: fmt.Sprintf("shape-%d %s", i, strings.Repeat("x", 80))})
		}
		m, b := askBench(f, Look{}, 60, 18)
		b.keys("enter", "enter", "/", "-", "1", "5", "9")
		if view := b.View(); strings.Count(view, "shape-") != 1 || !strings.Contains(view, "shape-159 xx") {
			t.Errorf("searched for -159:\n%s", view)
		}
		for _, line := range strings.Split(b.View(), "\n") {
			if len([]rune(line)) > 60 {
				t.Errorf("%q is too wide", line)
			}
		}
		b.keys("esc")
		if b.quit || !strings.Contains(b.View(), "Esc all of them") {
			t.Errorf("Esc left the form out of the search:\n%s", b.View())
		}
		b.keys("esc")
		if view := b.View(); b.quit || strings.Count(view, "shape-") < 8 {
			t.Errorf("not all of them again:\n%s", view)
		}
		b.keys("/", "-", "1", "5", "9", "enter")
		b.send(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}})
		b.keys("enter", "enter")
		if b.form.State != huh.StateCompleted || m.take() != nil || shapes != "s159" {
			t.Errorf("picked %q", shapes)
		}
	})
}

func TestALongListSaysHowLongItIs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		for _, n := range []int{mostOptions, mostOptions + 1, 160} {
			title, day, shapes, more := "Tin Umbrella", "", "", "no"
			f := songForm(&title, &day, &shapes, &more)
			f.Questions[2].Options = nil
			for i := range n {
				f.Questions[2].Options = append(f.Questions[2].Options, form.Option{Value: fmt.Sprint(i), Label: fmt.Sprintf("shape-%d", i)})
			}
			_, b := askBench(f, Look{}, 80, 24)
			b.keys("enter", "enter")
			view := b.View()
			if said := strings.Contains(view, fmt.Sprintf("%d to choose from", n)); said != (n > mostOptions) {
				t.Errorf("%d options:\n%s", n, view)
			}
			if shown, want := strings.Count(view, "shape-"), min(n, 24-formAt-8); shown != want {
				t.Errorf("of %d options %d are seen, want %d:\n%s", n, shown, want, view)
			}
		}
	})
}
