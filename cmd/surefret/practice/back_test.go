package practice_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/drills"
)

// Whether before or after the next question, with or without a lock on the log: a
// slip that is taken back was never learned, and the question before stays.
func TestASlipIsTakenBack(t *testing.T) {
	for _, asked := range []bool{false, true} {
		for _, busyFrom := range []string{"", "the answer before", "the slip", "taking it back"} {
			log := &practicetest.Log{}
			b := begin(t, log, nameA, nameG, nameA)
			lock := func(at string) {
				if at == busyFrom {
					log.Busy = 1000
				}
			}
			lock("the answer before")
			b.ask("A", time.Second)
			before, _ := b.p.State(nameA)
			blank, _ := b.p.State(nameG)
			turn := b.next()
			lock("the slip")
			b.answer("A", 200*time.Millisecond)
			if asked {
				b.next()
			}
			lock("taking it back")
			again, err := b.TakeBack(t.Context(), b.now)
			if err != nil || again.Question.Text != turn.Question.Text {
				t.Fatalf("%v, %q: %q, %v", asked, busyFrom, again.Question.Text, err)
			}
			if g, _ := b.p.State(nameG); g != blank {
				t.Errorf("%v, %q: the slip is known: %+v", asked, busyFrom, g)
			}
			if a, _ := b.p.State(nameA); a != before {
				t.Errorf("%v, %q: the answer before is %+v, was %+v", asked, busyFrom, a, before)
			}
			if _, err := b.TakeBack(t.Context(), b.now); !errors.Is(err, practice.ErrNothingAsked) {
				t.Errorf("taken back twice: %v", err)
			}
			log.Busy = 0
			b.answer("G", time.Second)
			if len(log.Rows) != 4 || log.Rows[2].TakesBack != log.Rows[1].ID || log.Rows[2].Given != "" || log.Rows[2].Entry != drills.EntryKeys {
				t.Errorf("%v, %q: rows %+v", asked, busyFrom, log.Rows)
			}
			if sum := b.Summary(t.Context(), b.now); sum.Asked != 2 || sum.Right != 2 || len(sum.Missed) != 0 {
				t.Errorf("%v, %q: summary %+v", asked, busyFrom, sum)
			}
		}
	}
}

func TestWhatTheLogRefusesIsNotTakenBack(t *testing.T) {
	b := begin(t, &practicetest.Log{}, nameG, nameA)
	b.ask("A", time.Second)
	b.log.Fail = errors.New("disk full")
	if _, err := b.TakeBack(t.Context(), b.now); !errors.Is(err, b.log.Fail) || !b.CanTakeBack() {
		t.Errorf("%v; it can be tried again: %v", err, b.CanTakeBack())
	}
	if sum := b.Summary(t.Context(), b.now); sum.Asked != 1 {
		t.Errorf("summary %+v", sum)
	}
}

func TestSettingAsideLeavesNoRow(t *testing.T) {
	b := begin(t, &practicetest.Log{}, nameG, nameA, nameA)
	if _, err := b.SetAside(t.Context()); !errors.Is(err, practice.ErrNothingAsked) {
		t.Errorf("before anything was asked: %v", err)
	}
	b.next()
	if _, err := b.SetAside(t.Context()); err != nil || len(b.log.Rows) != 0 || !slices.Equal(b.log.Aside(), []string{nameG}) {
		t.Errorf("%v, rows %v, aside %v", err, b.log.Rows, b.log.Aside())
	}
	// It comes back in place of the next one, until that is answered.
	b.next()
	if turn, err := b.BringBack(t.Context(), b.now); err != nil || turn.Question.Item != nameG || len(b.log.Aside()) != 0 {
		t.Errorf("brought back: %s, %v, aside %v", turn.Question.Item, err, b.log.Aside())
	}
	if _, err := b.SetAside(t.Context()); err != nil {
		t.Error(err)
	}
	b.ask("A", time.Second)
	if _, err := b.BringBack(t.Context(), b.now); !errors.Is(err, practice.ErrNothingAsked) {
		t.Errorf("brought back after an answer: %v", err)
	}
	if _, err := b.SetAside(t.Context()); !errors.Is(err, practice.ErrNothingAsked) {
		t.Errorf("an answered question: %v", err)
	}
	if sum := b.Summary(t.Context(), b.now); len(sum.Aside) != 1 || sum.Aside[0].ID != nameG {
		t.Errorf("summary %+v", sum)
	}
	// The planner passes it over until all is brought back.
	planned := func() bool {
		s := beginWith(t, b.log, practice.Options{Selection: practice.Selection{Strings: []int{6}, Frets: [2]int{1, 5}, Drills: []drills.Family{"note"}}, Length: 24 * time.Hour})
		for range 40 {
			turn, ok, err := s.Next(t.Context(), start)
			if !ok || err != nil || turn.Question.Item == nameG {
				return ok
			}
			if _, err := s.Answer(t.Context(), start, "1", time.Second, drills.EntryKeys); err != nil {
				s.answer("G", time.Second)
			}
		}
		return false
	}
	if planned() {
		t.Error("what is set aside was asked")
	}
	if n, err := b.p.BringAllBack(t.Context()); err != nil || n == 0 || len(b.log.Aside()) != 0 {
		t.Errorf("%v, still aside %v", err, b.log.Aside())
	}
	if !planned() {
		t.Error("what was brought back is not asked")
	}
}

// What an answer showed of the hand is not forgotten where a late key amends it.
func TestAnAmendedAnswerStillTellsOfTheHand(t *testing.T) {
	b := begin(t, &practicetest.Log{}, nameG)
	b.ask("F", time.Second)
	b.Between(drills.Question{Expect: drills.ExpectNote}, time.Second)
	if _, err := b.Amend(t.Context(), b.now, "G"); err != nil || b.Typing().Sign.Mean != time.Second {
		t.Errorf("%v, %v", b.Typing().Sign, err)
	}
}
