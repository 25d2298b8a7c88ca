package screen

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/practice"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// typing is what the hand takes whose typing was measured.
const typing = 300 * time.Millisecond

// everything is a bench with one question of every item of a 14-fret guitar, for a hand
// that was measured.
func everything(width, height int, o Options) *bench {
	log := &script{}
	log.Held.Typing = practice.Typing{Letters: typing, Digits: typing}
	for _, it := range drills.NewCatalogue(drills.Setup{Neck: neck14, Names: o.Names, Sound: true}).Items() {
		log.items = append(log.items, it.ID)
	}
	return newBenchOn(log, width, height, o)
}

// want gets the right answer out of the judge, by giving a wrong one, and puts
// it as a player would type it.
func want(t *testing.T, q drills.Question, names theory.Names) string {
	t.Helper()
	v, err := q.Judge(wrongAnswer(q, names))
	if err != nil {
		t.Fatalf("%s: %v", q.Text, err)
	}
	first, _, _ := strings.Cut(v.Want, " or ")
	switch q.Expect {
	case drills.ExpectFret:
		return strings.TrimPrefix(first, "fret ")
	case drills.ExpectChoice:
		return fmt.Sprint(slices.Index(q.Choices, first) + 1)
	case drills.ExpectNote:
		return strings.ToLower(first)
	}
	return first
}

// typeIn types an answer and ends it as its kind is ended.
func (b *bench) typeIn(text string) {
	for _, r := range text {
		b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
	if b.phase == asking {
		b.keys("enter")
	}
}

// Every item can be answered with the keys, and its screens fit the smallest window.
func TestEveryItemCanBeAnsweredWithTheKeys(t *testing.T) {
	smallest := [2]int{FewestColumns, FewestRows}
	for _, names := range []theory.Names{{}, {System: theory.Solfege}, {System: theory.German}} {
		b := everything(smallest[0], smallest[1], Options{Names: names, LeftHanded: true})
		seen := map[string]int{}
		for b.phase == asking {
			q := b.turn.Question
			answer := want(t, q, names)
			if strings.ContainsAny(answer, setAsideKey+showKey+"?.") {
				t.Errorf("%s: the answer %q holds a key of the footer", q.Text, answer)
			}
			if view := b.View(); !strings.Contains(view, "Esc stop") || !strings.Contains(view, "> █") {
				t.Fatalf("%s: no room for the answer:\n%s", q.Text, view)
			}
			fits(t, b.View(), smallest)
			window := b.neck.First
			b.clock.after(500 * time.Millisecond)
			b.typeIn(answer)
			if fits(t, b.View(), smallest); window > 0 && b.neck.First != window {
				t.Errorf("%s: the neck began at fret %d, and at %d with the answer", q.Text, window, b.neck.First)
			}
			if b.phase != telling || !b.result.Verdict.Right {
				t.Errorf("%s: typed %q: %+v, %s", q.Text, answer, b.result.Verdict, b.notice)
				if b.phase == asking {
					b.clock.after(time.Second)
					b.keys(setAsideKey)
					continue
				}
			}
			if got := b.Rows[len(b.Rows)-1].Thinking; got != 500*time.Millisecond-typing {
				t.Errorf("%s: %v thinking", q.Text, got)
			}
			seen[fmt.Sprint(q.Family, " ", q.Expect)]++
			b.clock.after(time.Second)
			b.keys("x")
			b.o.Sitting.Pause(2 * time.Second) // no end of time
		}
		if len(seen) < 17 {
			t.Errorf("only %d kinds: %v", len(seen), seen)
		}
	}
}

// fits holds a screen to its window.
func fits(t *testing.T, view string, size [2]int) {
	t.Helper()
	lines := strings.Split(view, "\n")
	if len(lines) != size[1] {
		t.Fatalf("%d rows, want %d:\n%s", len(lines), size[1], view)
	}
	for _, l := range lines {
		if n := ansi.StringWidth(l); n > size[0] {
			t.Fatalf("%d columns: %q", n, l)
		}
	}
}

func TestWhatCannotBeReadIsSaidAndAskedAgain(t *testing.T) {
	b := newBench(60, 18, Options{}, "key/C major/2-")
	b.clock.after(time.Second)
	b.typeIn("zz")
	if len(b.Rows) != 0 || !strings.Contains(b.View(), "> zz█") || !strings.Contains(b.View(), "\"zz\" is not") {
		t.Errorf("rows %v\n%s", b.Rows, b.View())
	}
	// It can be mended; any other key begins anew.
	b.keys("backspace", "y", "enter")
	if !strings.Contains(b.View(), "\"zy\" is not") {
		t.Errorf("mended:\n%s", b.View())
	}
	b.clock.after(time.Second)
	right := strings.ToLower(want(t, b.turn.Question, theory.Names{}))
	b.typeIn(right)
	if got := b.answers(); got != right+" right 2s keys" {
		t.Errorf("%q: %s\n%s", got, b.notice, b.View())
	}
}

func at(str, fret int) fretboard.Position { return fretboard.Position{String: str, Fret: fret} }

// placesOf returns the entry of an answer of two places, in order or not.
func placesOf(expect drills.Expect) entry {
	return newEntry(drills.Question{Expect: expect, Count: 2}, neck14, theory.English)
}

func TestPlacesCanBePointedAt(t *testing.T) {
	e := placesOf(drills.ExpectPlaces)
	e.move(0, 1, begun) // appears on the lowest string, fret 5
	e.move(-1, 0, begun)
	e.move(0, -1, begun)
	if got := e.rune(' ', begun); got != edited || !slices.Equal(e.picks, []fretboard.Position{at(5, 4)}) {
		t.Errorf("step %d, picked %v", got, e.picks)
	}
	if e.rune(' ', begun); len(e.picks) != 0 {
		t.Errorf("a second Space does not take it out: %v", e.picks)
	}
	e.click(at(6, 3), begun)
	if got := e.click(at(3, 4), begun); got != commit || e.answer() != "6/3 3/4" || e.by != drills.EntryPointer {
		t.Errorf("step %d, %q by %s", got, e.answer(), e.by)
	}
}

func TestBackspaceTakesPlacesOut(t *testing.T) {
	e := placesOf(drills.ExpectPath)
	for _, r := range "635" {
		e.rune(r, begun)
	}
	e.back()
	if e.text != "" || len(e.picks) != 1 {
		t.Errorf("text %q, picks %v", e.text, e.picks)
	}
	e.back()
	if !e.empty() || !e.first.IsZero() {
		t.Errorf("not empty: %+v", e)
	}
}

func TestFreeTextKeepsTheTimeOfItsFirstKey(t *testing.T) {
	e := newEntry(drills.Question{Expect: drills.ExpectChord}, neck14, theory.English)
	for i, r := range " f#m7b5" {
		e.rune(r, begun.Add(time.Duration(i)*time.Second))
	}
	if e.answer() != "f#m7b5" || !e.first.Equal(begun.Add(time.Second)) || e.enter() != commit {
		t.Errorf("%q at %v", e.answer(), e.first)
	}
	for range e.text {
		e.back()
	}
	e.rune('g', begun.Add(time.Minute))
	if e.answer() != "g" || !e.first.Equal(begun.Add(time.Minute)) {
		t.Errorf("%q at %v", e.answer(), e.first)
	}
}

// A figure is explained when it is met first, and by the help whenever it is asked for.
func TestAFigureIsExplainedTheFirstTimeAndByTheHelp(t *testing.T) {
	const said = "the minor chord on the"
	b := newBench(80, 24, Options{}, "key/C major/2-", "key/C major/2-")
	for first := true; ; first = false {
		if (strings.Contains(b.View(), said) || !strings.Contains(b.turn.Question.Text, "2-")) != first {
			t.Errorf("first time %v:\n%s", first, b.View())
		}
		if b.keys("?"); strings.Contains(b.turn.Question.Text, "2-") && !strings.Contains(b.View(), said) {
			t.Errorf("the help says nothing of 2-:\n%s", b.View())
		}
		b.keys("x")
		if !first {
			return
		}
		b.clock.after(time.Second)
		b.keys(showKey)
		b.clock.after(time.Second)
		b.keys(" ")
	}
}
