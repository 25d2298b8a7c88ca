package screen

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"surefret/cmd/surefret/practice"
	"surefret/drills"
	"surefret/drills/theory"
)

// A hand takes so long from seeing what to type to the first key, and from there to the
// second, a tenth more or less each time.
type hand struct{ first, gap time.Duration }

var hands = map[string]hand{
	"quick": {250 * time.Millisecond, 120 * time.Millisecond},
	"usual": {800 * time.Millisecond, 500 * time.Millisecond},
	"slow":  {2500 * time.Millisecond, 1500 * time.Millisecond},
}

func about(d time.Duration, rng *rand.Rand) time.Duration {
	return time.Duration(float64(d) * (0.9 + 0.2*rng.Float64()))
}

// copies lets the hand do the copying exercise.
func (h hand) copies(rng *rand.Rand) practice.Typing {
	m, c := copier(theory.Names{})
	for !m.done() {
		m.Update(appear{m.at})
		task := m.tasks[m.at]
		c.after(about(h.first, rng))
		m.Update(keyNamed(task.key))
		if task.other != "" {
			c.after(about(h.gap, rng))
			m.Update(keyNamed(task.other))
		}
	}
	return m.typing()
}

// answers types each answer after a thought, moves on when it was read, and lets the
// grace time run out where the hand is slower.
func (h hand) answers(b *bench, rng *rand.Rand, thought time.Duration, answers []string) {
	for _, answer := range answers {
		wait := thought + about(h.first, rng)
		for _, key := range strings.Split(answer, "") {
			if b.phase == asking && !b.entry.empty() && wait > b.grace() {
				b.clock.after(b.grace())
				wait -= b.grace()
				b.send(graceOver{b.timer})
			}
			b.clock.after(wait)
			b.keys(key)
			wait = about(h.gap, rng)
		}
		b.clock.after(b.grace())
		b.send(graceOver{b.timer})
		b.clock.after(2*b.lateKeys() + practice.SlowestHand)
		b.send(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(" ")})
	}
}

// What any hand types is its answer, however late the sign and the second digit come; of
// a hand that was measured no key comes too late, and what typing takes is no thinking:
// who knows is fluent, and who thinks for four seconds is not.
func TestAnyHandIsTakenAtItsOwnPace(t *testing.T) {
	const rounds = 10
	items := slices.Repeat([]string{"note/E2+2/name", "note/E2+10/find"}, rounds)
	typed := slices.Repeat([]string{"f#", "10"}, rounds)
	for name, h := range hands {
		for _, measured := range []bool{false, true} {
			for thought, fluent := range map[time.Duration]bool{700 * time.Millisecond: true, 4 * time.Second: false} {
				rng := rand.New(rand.NewPCG(3, 3))
				log := &script{items: items}
				if measured {
					log.Held.Typing = h.copies(rng)
				}
				b := newBenchOn(log, 80, 24, Options{})
				h.answers(b, rng, thought, typed)
				late, right, inTime := 0, 0, 0
				for _, r := range b.Rows {
					late += len(r.TakesBack) / max(len(r.TakesBack), 1)
					if r.Right {
						right++
						if r.Thinking > 0 && r.Thinking <= 2*time.Second {
							inTime++
						}
						if measured && (r.Thinking-thought).Abs() > 600*time.Millisecond {
							t.Errorf("%s, who thinks for %v, pays %v", name, thought, r.Thinking)
						}
					}
				}
				most := map[bool]int{true: 0, false: 4}[measured]
				if right != len(typed) || late > most {
					t.Errorf("%s, measured %v: %d of %d right, %d amended: %s", name, measured, right, len(typed), late, b.answers())
				}
				if measured && (fluent && inTime < right*19/20 || !fluent && inTime > 0) {
					t.Errorf("%s, who thinks for %v: %d in time: %s", name, thought, inTime, b.answers())
				}
			}
		}
	}
}

// A sign or a digit that comes within the feedback amends the answer, whose time stays;
// any other key moves on, and after a while so does this one.
func TestALateKeyAmendsTheAnswer(t *testing.T) {
	const nameFSharp, findD = "note/E2+2/name", "note/E2+10/find"
	german := theory.Names{System: theory.German}
	for _, c := range []struct {
		item  string
		names theory.Names
		keys  string
		want  string
	}{
		{nameFSharp, theory.Names{}, "1000 f 400 grace 500 #", "F wrong 1s keys; taken back; F# right 1s keys"},
		{nameFSharp, theory.Names{}, "1000 f 400 grace 500 s", "F wrong 1s keys; taken back; F# right 1s keys"},
		{nameFSharp, theory.Names{}, "1000 g 400 grace 100 b", "G wrong 1s keys; taken back; Gb right 1s keys"},
		{nameFSharp, german, "1000 f 400 grace 500 i 500 s", "F wrong 1s keys; taken back; Fis right 1s keys"},
		{nameG, theory.Names{}, "1000 g 400 grace 300 #", "G right 1s keys; taken back; G# wrong 1s keys"},
		{nameG, theory.Names{}, "1000 g 400 grace 700 #", "G right 1s keys"}, // it may be meant to go on
		{findD, theory.Names{}, "1000 1 400 grace 900 0", "1 wrong 1s keys; taken back; 10 right 1s keys"},
		{findD, theory.Names{}, "1000 1 400 grace 900 0 1000 u 1000 1 0", "1 wrong 1s keys; taken back; 10 right 1s keys; taken back; 10 right 0s keys"},
		{nameFSharp, theory.Names{}, "1000 f enter 900 #", "F wrong 1s keys"},               // it was meant to end
		{nameFSharp, theory.Names{}, "1000 f 400 grace 700 enter 300 #", "F wrong 1s keys"}, // so it was, a little late
		{nameFSharp, theory.Names{}, "1000 f 400 grace 4000 #", "F wrong 1s keys"},          // no hand is so slow
		{nameFSharp, theory.Names{}, "1000 f 400 grace 900 z 900 #", "F wrong 1s keys"},     // it moved on
	} {
		b := newBench(80, 24, Options{Names: c.names}, c.item)
		if b.plays(c.keys); b.answers() != c.want {
			t.Errorf("%s, %s: %s, want %s", c.item, c.keys, b.answers(), c.want)
		}
		if typing := b.o.Sitting.Typing(); strings.Count(c.want, "taken back") == 1 && typing.Sign == (practice.Gap{}) && typing.Digit == (practice.Gap{}) {
			t.Errorf("%s: nothing is learned of when the other key came", c.keys)
		}
		if b.phase == telling && len(b.went) != 1 {
			t.Errorf("%s: %d answers are drawn, want 1", c.keys, len(b.went))
		}
		last := b.Rows[len(b.Rows)-1]
		if strings.Contains(c.want, "taken back") && (b.phase != telling || b.result.Verdict.Right != last.Right) {
			t.Errorf("%s: the amended answer is not told: %s", c.keys, b.View())
		}
	}
}

// Of several places a late digit goes on with the last, in either way to type it.
func TestALateDigitGoesOnWithTheLastPlace(t *testing.T) {
	for keys, q := range map[string]drills.Question{
		"4/3 6/1": {Expect: drills.ExpectPlaces, Count: 2},
		"3 1":     {Expect: drills.ExpectPlaces, Count: 2, On: []int{4, 6}},
	} {
		e := newEntry(q, neck14, theory.English)
		for _, key := range keys {
			e.rune(key, begun)
		}
		if e.grace() != commit {
			t.Errorf("%s: %s is not complete", keys, e.answer())
		}
		if with, is := e.later('2', begun); is&entire == 0 || with.answer() != "4/3 6/12" {
			t.Errorf("%s and late 2: %s", keys, with.answer())
		}
	}
}
