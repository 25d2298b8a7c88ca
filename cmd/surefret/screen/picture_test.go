package screen

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// wrongAnswer is an answer of the kind that a question wants, and seldom a right one.
func wrongAnswer(q drills.Question, names theory.Names) string {
	c := names.Note(theory.Note{})
	if n := len(q.On); n > 0 {
		return strings.Repeat("0 ", n)
	}
	places := ""
	for i := range max(q.Count, 1) {
		places += fmt.Sprintf("%d/1 ", i+1)
	}
	return map[drills.Expect]string{
		drills.ExpectPlaces: places,
		drills.ExpectNote:   c, drills.ExpectFret: "0", drills.ExpectInterval: "A4",
		drills.ExpectChord: strings.Repeat(c+"7 ", max(q.Count, 1)), drills.ExpectKey: c, drills.ExpectNumber: "1", drills.ExpectSignature: "7b", drills.ExpectChoice: "1",
		drills.ExpectPath: strings.Repeat("1/1 ", q.Count), drills.ExpectNotes: strings.Repeat(c+" ", q.Count),
	}[q.Expect]
}

// On questions of the whole catalogue, in windows of any width, each mark is seen whole
// between the wires of its own fret, so that no two share a column, and nothing moves or
// changes with the answer but what tells it.
func TestMarksKeepApartAndNothingMovesWithTheAnswer(t *testing.T) {
	var items []string
	neck22 := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22} // not all of it fits a narrow window
	for _, it := range drills.NewCatalogue(drills.Setup{Neck: neck22, Sound: true}).Items() {
		items = append(items, it.ID)
	}
	b := newBenchOn(&script{items: items, frets: neck22.Frets}, 60, 18, Options{})
	i := 0
	for ; b.phase == asking; i++ {
		wide := 60 + i*7%75
		if i%2 == 0 {
			wide = 60 + i%14 // has not all frets
		}
		b.send(tea.WindowSizeMsg{Width: wide, Height: 18 + i*5%30})
		q := b.turn.Question
		before := strings.Split(b.View(), "\n")
		drawn := len(b.neck.Lines) > 0
		seenAt(t, b, q.Text, q.Marks, before)
		answer := strings.TrimSpace(wrongAnswer(q, theory.Names{}))
		if q.Expect == drills.ExpectFret {
			answer = "21" // beyond a narrow window
		}
		if i%3 == 0 {
			answer = want(t, q, theory.Names{})
		}
		b.clock.after(500 * time.Millisecond)
		b.typeIn(answer)
		if b.phase != telling {
			t.Fatalf("%s: %q is not taken: %s", q.Text, answer, b.notice)
		}
		after := strings.Split(b.View(), "\n")
		var told []drills.Mark
		for _, at := range b.wrongPlaces() {
			told = append(told, drills.Mark{At: at, Label: "x"})
		}
		told = append(told, b.told()...)
		seenAt(t, b, q.Text, told, after)
		for _, p := range append(told, q.Marks...) {
			told = append(told, drills.Mark{At: p.At})
		}
		for _, p := range append(b.given.picks, marksAt(b.result.Verdict.Others)...) {
			told = append(told, drills.Mark{At: p})
		}
		still(t, b, q, before, after)
		if drawn {
			stillNeck(t, b, q, before, after, marksAt(told))
		}
		b.clock.after(time.Second)
		b.keys("x")
		b.o.Sitting.Pause(2 * time.Second) // no end of time
	}
	if i < len(items) {
		t.Errorf("%d of %d items were asked", i, len(items))
	}
}

func marksAt(marks []drills.Mark) (all []fretboard.Position) {
	for _, m := range marks {
		all = append(all, m.At)
	}
	return all
}

// seenAt holds what stands between the wires of each mark's fret to its label.
func seenAt(t *testing.T, b *bench, text string, marks []drills.Mark, view []string) {
	t.Helper()
	labels := map[fretboard.Position]string{}
	for _, m := range marks {
		if m.At.Fret == 0 || m.At.Fret >= b.neck.First && m.At.Fret <= b.neck.Last {
			labels[m.At] = strings.TrimSuffix(m.Label, " ")
		}
	}
	if len(b.neck.Lines) == 0 {
		return
	}
	for at, label := range labels {
		line := []rune(view[b.neckY+b.neck.Row(at.String)])
		cell := ""
		for x, r := range line {
			if p, ok := b.neck.At(x-b.neckX, b.neck.Row(at.String)); ok && p == at {
				cell += string(r)
			}
		}
		if !strings.Contains(cell, label) || at.Fret > 0 && strings.Trim(cell, "─━┼┿≈ ()[]<>") != label && label != "" {
			t.Errorf("%s: at %v there is %q, want %q:\n%s", text, at, cell, label, strings.Join(view, "\n"))
		}
	}
}

// still compares the screens before and after an answer: the question and the choices
// stand where they stood.
func still(t *testing.T, b *bench, q drills.Question, before, after []string) {
	t.Helper()
	row := func(view []string, words string) int {
		return slices.IndexFunc(view, func(l string) bool { return strings.Contains(l, words) })
	}
	first := strings.Fields(q.Text)[:2]
	if x, y := row(before, strings.Join(first, " ")), row(after, strings.Join(first, " ")); x != y {
		t.Errorf("%s: in row %d, and then in %d", q.Text, x, y)
	}
	const clock = 14 // columns, in which a minute may have gone
	if head := ansi.StringWidth(after[0]) - trailLong; string([]rune(before[0])[clock:head]) != string([]rune(after[0])[clock:head]) {
		t.Errorf("%s: the head %q becomes %q", q.Text, before[0], after[0])
	}
	if len(q.Choices) > 0 {
		if words := "1 " + q.Choices[0]; row(before, words) != row(after, words) {
			t.Errorf("%s: the choices move", q.Text)
		}
	}
}

// stillNeck compares the neck before and after an answer: only the places told differ,
// and the names of the open strings.
func stillNeck(t *testing.T, b *bench, q drills.Question, before, after []string, told []fretboard.Position) {
	t.Helper()
	for y := range b.neck.Lines {
		was, is := []rune(before[b.neckY+y]), []rune(after[b.neckY+y])
		for x := range max(len(was), len(is)) {
			at := func(row []rune) rune {
				if x < len(row) {
					return row[x]
				}
				return ' '
			}
			p, ok := b.neck.At(x-b.neckX, y)
			edge := ok && (p.Fret == 0 || p.Fret == b.neck.Last || p.Fret == b.neck.Last-1 && x-b.neckX == b.neck.Wide-4) // beyond is told here, by "21›"
			if at(was) != at(is) && !edge && !slices.Contains(told, p) {
				t.Fatalf("%s: %q becomes %q at %v, where nothing is told:\n%s\n%s", q.Text, at(was), at(is), fmt.Sprint(p), strings.Join(before, "\n"), strings.Join(after, "\n"))
			}
		}
	}
}
