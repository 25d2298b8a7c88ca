package screen

import (
	"reflect"
	"strings"
	"testing"
	"testing/synctest"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/huh"
	"github.com/google/go-cmp/cmp"

	"surefret/cmd/surefret/settings"
)

// sequence opens bubbletea's own slice of commands that run one by one.
func sequence(msg tea.Msg) (cmds []tea.Cmd) {
	v := reflect.ValueOf(msg)
	for i := range v.Len() {
		cmds = append(cmds, v.Index(i).Interface().(tea.Cmd))
	}
	return cmds
}

// through presses Enter until the form is complete.
func through(t *testing.T, f *formBench) settings.Settings {
	t.Helper()
	for range 30 {
		if f.form.State == huh.StateCompleted {
			break
		}
		f.keys("enter")
	}
	if f.form.State != huh.StateCompleted || !f.quit {
		t.Fatalf("not complete:\n%s", f.View())
	}
	s, err := f.chosen()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestAFormLeftAsItIsChangesNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := settings.Settings{
			Tuning: "C2 G2 D3 A3 E4", Frets: 24, Capo: 3, LeftHanded: true, Names: "german", Flats: true, SixFlats: true,
			Aim: 1.5, Stretch: 5, Minutes: 20, MoveOn: 0, KeyWait: 0.8, Sound: false, Volume: -6.5, ReferenceA: 442, Drawing: "ascii",
		}
		for _, all := range []bool{true, false} {
			if diff := cmp.Diff(s, through(t, newFormBench(s, SetupOptions{All: all}, 80, 24))); diff != "" {
				t.Errorf("all %v: %s", all, diff)
			}
		}
	})
}

func TestTheFormSetsWhatIsPickedAndTyped(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFormBench(settings.Default(), SetupOptions{}, 60, 18)
		f.keys("up") // round to the last: another tuning
		f.keys("enter")
		f.keys("c", "2", " ", "g", "2", " ", "d", "3", "enter")
		f.keys("backspace", "backspace", "2", "4", "enter", "down")
		got := through(t, f)
		want := settings.Default()
		want.Tuning, want.Frets, want.LeftHanded = "C2 G2 D3", 24, true
		if diff := cmp.Diff(want, got); diff != "" {
			t.Error(diff)
		}
	})
}

func TestTheFormRefusesInOneSentenceAndStays(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFormBench(settings.Default(), SetupOptions{}, 60, 18)
		f.keys("enter", "9", "enter")
		if f.form.State != huh.StateNormal || f.form.GetFocusedField().Error() == nil {
			t.Errorf("%s", f.View())
		}
	})
}

func TestEscLeavesTheForm(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFormBench(settings.Default(), SetupOptions{}, 60, 18)
		f.keys("enter", "esc")
		if !f.quit || f.form.State == huh.StateCompleted {
			t.Error("Esc does not leave")
		}
	})
}

// A list that scrolls by itself hides what is before the answer.
func TestEveryAnswerOfAShortListIsSeen(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFormBench(settings.Default(), SetupOptions{All: true}, 60, 18)
		seen := ""
		for range 30 {
			if f.form.State == huh.StateCompleted {
				break
			}
			seen += f.View()
			f.keys("enter")
		}
		for _, field := range settings.Fields {
			for _, o := range field.Options {
				if !strings.Contains(seen, o.Label) {
					t.Errorf("%s: %q is not to be seen", field.Ask, o.Label)
				}
			}
		}
	})
}
