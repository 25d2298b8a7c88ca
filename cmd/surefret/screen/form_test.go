package screen

import (
	"errors"
	"fmt"
	"io"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/huh"
	"github.com/google/go-cmp/cmp"

	"surefret/cmd/surefret/form"
	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
)

// A formBench is a form that is shown; it runs the form's commands until nothing
// more happens.
type formBench struct {
	*formPage
	quit bool
}

func openForm(f form.Form, look ink.Look, width, height int) *formBench {
	b := &formBench{formPage: newFormPage(f, "'surefret gig add --line' asks in plain lines.", look)}
	b.do(b.Init())
	b.send(tea.WindowSizeMsg{Width: width, Height: height})
	return b
}

func (f *formBench) keys(names ...string) {
	for _, name := range names {
		f.send(keyNamed(name))
	}
}

func (f *formBench) send(msg tea.Msg) {
	_, cmd := f.Update(msg)
	f.do(cmd)
}

func (f *formBench) do(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	switch msg := cmd().(type) {
	case nil:
	case tea.QuitMsg:
		f.quit = true
	case tea.BatchMsg:
		for _, c := range msg {
			f.do(c)
		}
	default:
		// A sequence is a slice of commands too, of a type that is not exported; a
		// blinking cursor ticks for ever and is left alone.
		switch name := fmt.Sprintf("%T", msg); {
		case strings.HasSuffix(name, "sequenceMsg"):
			v := reflect.ValueOf(msg)
			for i := range v.Len() {
				f.do(v.Index(i).Interface().(tea.Cmd))
			}
		case strings.Contains(name, "link"), strings.HasSuffix(name, "windowSizeMsg"):
		default:
			f.send(msg)
		}
	}
}

// through presses Enter until the form is complete, takes its answers, and returns
// all that was seen.
func (f *formBench) through(t *testing.T) (seen string) {
	t.Helper()
	for range 40 {
		if f.form.State == huh.StateCompleted {
			break
		}
		seen += f.View()
		f.keys("enter")
	}
	if f.form.State != huh.StateCompleted || !f.quit {
		t.Fatalf("not complete:\n%s", f.View())
	}
	if err := f.take(); err != nil {
		t.Fatal(err)
	}
	return seen
}

// song is a form with every kind of question.
type song struct{ title, day, shapes, more string }

func (s *song) form(options int) form.Form {
	f := form.Form{
		Title: "Song 1 of Harbour Fair", Note: "As you learned it.", Leave: "leave, this song is not kept",
		Questions: []form.Question{
			{Ask: "What is its title?", Hint: "like Tin Umbrella", Value: &s.title, Check: func(text string) error {
				if text == "" {
					return fmt.Errorf("the title is empty")
				}
				return nil
			}},
			{Ask: "Which day?", Hint: "like 2026-12-05", Value: &s.day},
			{Ask: "Which shapes?", Hint: "names", Several: true, Value: &s.shapes,
				Options: []form.Option{{Value: "a-form", Label: "A form"}, {Value: "e-form", Label: "E form"}}},
			{Ask: "Another song?", Value: &s.more, Options: []form.Option{{Value: "yes", Label: "yes"}, {Value: "no", Label: "no"}}},
		},
	}
	if options > 0 {
		f.Questions[2].Options = nil
		for i := range options {
			label := fmt.Sprintf("shape-%d %s", i, strings.Repeat("x", 80))
			f.Questions[2].Options = append(f.Questions[2].Options, form.Option{Value: fmt.Sprint("s", i), Label: label})
		}
	}
	return f
}

func TestGoldenScreensOfForms(t *testing.T) {
	phone := window{"40x24", 40, 24, Options{}, "song-typed"} // says where to turn
	for _, w := range append(windows, phone) {
		synctest.Test(t, func(t *testing.T) { // the cursor blinks
			b := openForm((&song{"Tin Umbrella", "", "e-form", "no"}).form(0), w.o.Look, w.width, w.height)
			w.golden(t, "song-typed", b.View())
			b.keys("enter", "enter")
			w.golden(t, "song-picked", b.View())
			s := settings.Default()
			b = openForm(settings.Form(&s), w.o.Look, w.width, w.height)
			b.keys("enter")
			w.golden(t, "form-tuning", b.View())
			b.keys("enter", "backspace", "enter")
			w.golden(t, "form-refused", b.View())
			var proves bool
			w.golden(t, "begin", openForm(settings.FirstForm(&s, &proves, false), w.o.Look, w.width, w.height).View())
		})
	}
}

func TestAFormTakesWhatIsTypedAndPicked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := song{more: "no"}
		b := openForm(s.form(0), ink.Look{}, 60, 18)
		b.keys("enter") // refused: there is no title yet
		if !strings.Contains(b.View(), "the title is empty.") {
			t.Errorf("not refused:\n%s", b.View())
		}
		b.keys("x", "y", "enter", "d", "enter", " ", "down", " ", "enter", "n", "z", "y")
		b.through(t)
		if want := (song{"xy", "d", "a-form,e-form", "yes"}); s != want {
			t.Errorf("%+v, want %+v", s, want)
		}
	})
}

// Esc leaves; where something was typed, the second time.
func TestEscLeavesAForm(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := song{}
		b := openForm(s.form(0), ink.Look{}, 60, 18)
		b.keys("x", "esc")
		if b.quit || !strings.Contains(b.View(), "Esc again: ") {
			t.Errorf("what was typed is dropped at once:\n%s", b.View())
		}
		b.keys("y", "esc", "esc")
		if !b.quit || b.form.State == huh.StateCompleted || s.title != "" {
			t.Errorf("Esc does not leave, or keeps %q", s.title)
		}
		set := settings.Default()
		b = openForm(settings.Form(&set), ink.Look{}, 60, 18)
		if b.keys("enter", "esc"); !b.quit {
			t.Error("Esc asks again though nothing was typed")
		}
	})
}

func TestCtrlCIsAnInterruption(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		in, keys := io.Pipe()
		go keys.Write([]byte{3})
		answered, err := Ask(t.Context(), (&song{}).form(0), "", ink.Look{}, in, io.Discard)
		if answered || !errors.Is(err, ErrInterrupted) {
			t.Errorf("%v, %v, want it interrupted", answered, err)
		}
		keys.Close()
		time.Sleep(time.Minute) // what ticks in the program ends
	})
}

// A long list says how long it is, has the height of the window, and is searched;
// while it is, Esc and letters are the search's.
func TestALongListIsSearched(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		for _, n := range []int{mostOptions, mostOptions + 1, 160} {
			b := openForm((&song{title: "Tin Umbrella"}).form(n), ink.Look{}, 80, 24)
			b.keys("enter", "enter")
			view := b.View()
			if said := strings.Contains(view, fmt.Sprintf("%d to choose from", n)); said != (n > mostOptions) {
				t.Errorf("%d options:\n%s", n, view)
			}
			if shown, want := strings.Count(view, "shape-"), min(n, 24-formAt-8); shown != want {
				t.Errorf("of %d options %d are seen, want %d:\n%s", n, shown, want, view)
			}
		}
		s := song{title: "Tin Umbrella"}
		b := openForm(s.form(160), ink.Look{}, 60, 18)
		b.keys("enter", "enter", "/", "-", "1", "5", "9")
		if view := b.View(); strings.Count(view, "shape-") != 1 || !strings.Contains(view, "shape-159 xx") {
			t.Errorf("searched for -159:\n%s", view)
		}
		fits(t, b.View(), [2]int{60, 18})
		b.keys("esc")
		if b.quit || !strings.Contains(b.View(), "Esc all of them") {
			t.Errorf("Esc left the form out of the search:\n%s", b.View())
		}
		b.keys("esc")
		if view := b.View(); b.quit || strings.Count(view, "shape-") < 8 {
			t.Errorf("not all of them again:\n%s", view)
		}
		b.keys("/", "-", "1", "5", "9", "enter", " ")
		if b.through(t); s.shapes != "s159" {
			t.Errorf("picked %q", s.shapes)
		}
	})
}

// Settings that are only looked at stay as they are.
func TestSettingsLeftAsTheyAreStay(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		other := settings.Settings{
			Tuning: "C2 G2 D3 A3 E4", Frets: 24, Capo: 3, LeftHanded: true, Names: "german", Flats: true, SixFlats: true,
			Aim: 1.5, Stretch: 5, Highest: 15, Minutes: 20, MoveOn: 0, KeyWait: 0.8, ShownFirst: settings.ShowAll, Sound: false, Volume: -6.5, ReferenceA: 442, Guitar: settings.BrightGuitar, Drawing: "ascii", Knows: settings.OpenStrings,
		}
		for _, want := range []settings.Settings{other, settings.Default()} {
			got := want
			seen := openForm(settings.Form(&got), ink.Look{}, 60, 18).through(t)
			if diff := cmp.Diff(want, got); diff != "" {
				t.Error(diff)
			}
			if asked := strings.Contains(seen, "How loud?"); asked != want.Sound {
				t.Errorf("sound %v, asked how loud: %v", want.Sound, asked)
			}
		}
	})
}

// Two questions, and a letter picks; Space begins with what is shown.
func TestTheFirstFormIsShort(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		for _, c := range []struct {
			keys, knows, tuning string
			proves              bool
		}{
			{"n enter enter", settings.NoNotes, "standard", false},
			{"up space", settings.NoNotes, "standard", false},
			{"down enter b enter", settings.AllNotes, "bass", false},
			{"4 enter enter", settings.AllNotes, "standard", true},
			{"enter 3 enter down enter", settings.OpenStrings, "half step down", false},
			{"space", settings.OpenStrings, "standard", false},
		} {
			s, proves := settings.Default(), false
			b := openForm(settings.FirstForm(&s, &proves, false), ink.Look{}, 60, 18)
			if !strings.Contains(b.View(), "Space start now") {
				t.Error(b.View())
			}
			for key := range strings.FieldsSeq(c.keys) {
				b.keys(strings.ReplaceAll(key, "space", " "))
			}
			if !b.quit || b.take() != nil || proves != c.proves || s.Knows != c.knows || s.Tuning != c.tuning {
				t.Errorf("%s: ended %v, proves %v, %q, %q", c.keys, b.quit, proves, s.Knows, s.Tuning)
			}
		}
	})
}

// The first question is on the screen within 20 seconds of the first start, whatever the
// player says of himself, where he reads every word before it once, at 238 a minute
// (Brysbaert 2019, as in drills), and takes a second for each key. The neck is looked at.
func TestTheFirstQuestionComesWithinTwentySeconds(t *testing.T) {
	const perWord, perKey, most = time.Minute / 238, time.Second, 20 * time.Second
	drawn, apart := regexp.MustCompile(`[║│┼┿╪|]|^ +\d+( +\d+)+\s*$`), regexp.MustCompile(`  +|[┃▸\n] *`)
	word := regexp.MustCompile(`[\pL\d][\pL\d'#+]*`)
	synctest.Test(t, func(t *testing.T) {
		for _, size := range [][2]int{{60, 18}, {80, 24}} {
			for _, keys := range []string{"space", "enter enter", "up space", "up enter enter", "down enter enter", "down down enter enter"} {
				took, read := time.Duration(0), map[string]bool{}
				reads := func(view string) {
					for line := range strings.Lines(view) {
						if drawn.MatchString(line) {
							continue
						}
						for _, text := range apart.Split(line, -1) {
							if !read[text] {
								took += time.Duration(len(word.FindAllString(text, -1))) * perWord
							}
							read[text] = true
						}
					}
				}
				s, proves := settings.Default(), false
				f := openForm(settings.FirstForm(&s, &proves, false), ink.Look{}, size[0], size[1])
				for key := range strings.FieldsSeq(keys) {
					reads(f.View())
					f.keys(strings.ReplaceAll(key, "space", " "))
					took += perKey
				}
				if !f.quit {
					t.Fatalf("%s does not begin:\n%s", keys, f.View())
				}
				s.Arrive()
				sit, err := practicetest.Open(&practicetest.Log{}, s, time.Now).Begin(practice.Options{
					Show: true, Length: 10 * time.Minute, Rand: practicetest.Rand(), Selection: practice.Selection{Placing: proves}})
				if err != nil {
					t.Fatal(err)
				}
				setup, _ := s.Setup()
				m := newPractice(t.Context(), Options{Sitting: sit, Neck: setup.Neck, Now: time.Now, Sound: func([]drills.Sounding) {}, Map: func() report.Map { return report.Map{Places: make([]report.Place, 1)} }}, func([]drills.Sounding) {})
				m.Update(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
				for m.phase == showing {
					reads(m.View())
					time.Sleep(2 * reading)
					m.Update(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(" ")})
					took += perKey
				}
				if m.phase != asking || took > most {
					t.Errorf("%dx%d, %s: %v until\n%s", size[0], size[1], keys, took, m.View())
				}
				t.Logf("%dx%d, %-22s %v", size[0], size[1], keys, took.Truncate(100*time.Millisecond))
			}
		}
	})
}

// A list that scrolls by itself hides what is before the answer.
func TestEveryAnswerOfAShortListIsSeen(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := settings.Default()
		s.Listen = true // else what it listens with is not asked
		seen := openForm(settings.Form(&s), ink.Look{}, 60, 18).through(t)
		for _, field := range settings.Fields {
			for _, o := range field.Options {
				if !strings.Contains(seen, o.Label) {
					t.Errorf("%s: %q is not to be seen", field.Ask, o.Label)
				}
			}
		}
	})
}

// Where a window has room for all tunings the first ones stay in sight, whichever is picked.
func TestTheFirstTuningsStayInSight(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		for _, tuning := range []string{"standard", "five-string bass"} {
			s := settings.Default()
			s.Tuning = tuning
			s.Names = "german"
			var proves bool
			b := openForm(settings.FirstForm(&s, &proves, false), ink.Look{}, 80, 24)
			b.keys("enter", "3", "enter")
			for i := range 12 {
				if !strings.Contains(b.View(), "standard, E2 A2 D3 G3 H3 E4") {
					t.Fatalf("%s, %d further down:\n%s", tuning, i, b.View())
				}
				b.keys("down")
			}
		}
	})
}

// The strings of the neck beside the question have the names that the list has.
func TestTheNeckBesideTheTuningHasThePlayersNames(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		for _, c := range []struct{ names, second string }{{"english", "B"}, {"german", "H"}, {"solfege", "Si"}} {
			s := settings.Default()
			s.Names = c.names
			b := openForm(settings.Form(&s), ink.Look{}, 80, 24)
			b.keys("enter")
			if drawn := regexp.MustCompile(`(?m) \d +(\S+) +[║┃|].*$`).FindAllStringSubmatch(b.View(), -1); len(drawn) != 6 || drawn[1][1] != c.second {
				t.Errorf("%s: %q\n%s", c.names, drawn, b.View())
			}
		}
	})
}

func TestATuningWithoutANameIsTyped(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		got, want := settings.Default(), settings.Default()
		b := openForm(settings.Form(&got), ink.Look{}, 60, 18)
		b.keys("enter", "up", "enter") // round to the last
		b.keys("c", "2", " ", "g", "2", " ", "d", "3", "enter", "backspace", "backspace", "2", "4", "enter", "down")
		b.through(t)
		want.Tuning, want.Frets, want.LeftHanded = "C2 G2 D3", 24, true
		if diff := cmp.Diff(want, got); diff != "" {
			t.Error(diff)
		}
	})
}
