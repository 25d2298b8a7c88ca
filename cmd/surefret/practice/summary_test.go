package practice

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/drills"
	"surefret/scheduler"
)

func TestTheSummaryIsSaidInSentences(t *testing.T) {
	items := func(n int) (all []drills.Item) {
		for i := range n {
			all = append(all, drills.Item{Title: fmt.Sprint("item ", i+1)})
		}
		return all
	}
	for _, c := range []struct {
		sum  Summary
		want []string
	}{
		{Summary{}, []string{"Nothing was asked."}},
		{Summary{Time: 59 * time.Second, Asked: 1, Right: 1, Fluent: 1}, []string{"59 seconds: 1 question, 1 right, 1 of them fluent."}},
		{Summary{Time: 90 * time.Second, Asked: 2, Right: 1, Typical: 1449 * time.Millisecond, Missed: items(1)},
			[]string{"2 minutes: 2 questions, 1 right, 0 of them fluent.", "Typical thinking time 1.4 s.", "Missed: item 1."}},
		{Summary{Time: time.Minute, Asked: 20, Became: items(8), Missed: items(10), Outlook: []string{"Tomorrow: 5 minutes would pay."}},
			[]string{"1 minute: 20 questions, 0 right, 0 of them fluent.",
				"Became fluent: item 1; item 2; item 3; item 4; item 5; item 6; item 7; item 8.",
				"Missed: item 1; item 2; item 3; item 4; item 5; item 6; item 7; item 8; and 2 more.",
				"Tomorrow: 5 minutes would pay."}},
	} {
		if got := c.sum.Lines(); !slices.Equal(got, c.want) {
			t.Errorf("said\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(c.want, "\n"))
		}
	}
}

func TestTheTypicalTimeIsTheMedianOfTimedRightAnswers(t *testing.T) {
	s := sitting(&journal{})
	s.cfg.Outlook = func() []string { return []string{"later"} }
	for _, a := range []struct {
		text string
		key  time.Duration
	}{{"G", 3 * time.Second}, {"A", 100 * time.Millisecond}, {"G", time.Second}, {"G", 0}, {"G", 2 * time.Second}} {
		next(t, s, start)
		answer(t, s, start, a.text, a.key)
	}
	sum := s.Summary(start.Add(time.Minute))
	if sum.Typical != 2*time.Second || sum.Asked != 5 || sum.Right != 4 || sum.Fluent != 2 || !slices.Equal(sum.Outlook, []string{"later"}) {
		t.Errorf("summary %+v, want a median of 2 s, and two within the aim", sum)
	}
	if sum := s.Summary(start.Add(time.Hour)); sum.Time != 10*time.Minute {
		t.Errorf("%v practised, want no more than the sitting", sum.Time)
	}
}

// broken is a planner that names an item that is not there, or has nothing left.
type broken struct {
	journal
	item string
}

func (b *broken) Next(time.Time, time.Duration) (scheduler.Choice, bool) {
	return scheduler.Choice{Item: b.item}, b.item != ""
}

func TestNextSaysWhyThereIsNoQuestion(t *testing.T) {
	s := sitting(&journal{})
	bad := errors.New("locked")
	s.cfg.Before = func() error { return bad }
	if _, _, err := s.Next(start); !errors.Is(err, bad) || !strings.Contains(err.Error(), "read the log") {
		t.Errorf("%v, want that of reading the log", err)
	}
	s.cfg.Before = nil
	s.cfg.Planner = &broken{item: "note/none"}
	if _, ok, err := s.Next(start); ok || err == nil {
		t.Errorf("%v, %v: there is no such item", ok, err)
	}
	s.cfg.Planner = &broken{}
	if _, ok, err := s.Next(start); ok || err != nil {
		t.Errorf("%v, %v: nothing is left, and that is no error", ok, err)
	}
	if it := s.item("note/none"); it.Title != "note/none" {
		t.Errorf("an item that is gone is called %q", it.Title)
	}
}

func TestAnUnreadableAnswerSaysWhyInItsOwnWords(t *testing.T) {
	s := sitting(&journal{})
	next(t, s, start)
	_, err := s.Answer(t.Context(), start, "???", 0, drills.EntryKeys)
	if err == nil || !strings.HasPrefix(err.Error(), `"???" is not a note`) || errors.Unwrap(err) == nil {
		t.Errorf("%v, want the question's own sentence", err)
	}
}
