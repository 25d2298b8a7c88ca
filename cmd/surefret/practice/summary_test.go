package practice

import (
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
		{Summary{}, []string{"Nothing was asked.", "'surefret practice' begins again."}},
		{Summary{Time: 59 * time.Second, Asked: 1, Right: 1, Fluent: 1}, []string{"59 seconds: 1 question, 1 right, 1 of them in time."}},
		{Summary{Time: 59 * time.Second, Asked: 2, Right: 1, Fluent: 1, Untimed: true}, []string{"59 seconds: 2 questions, 1 right."}},
		{Summary{Time: 90 * time.Second, Asked: 2, Right: 1, Typical: 1449 * time.Millisecond, Missed: items(1)},
			[]string{"2 minutes: 2 questions, 1 right, 0 of them in time.", "Typical thinking time 1.4 s.", "Missed: item 1."}},
		{Summary{Time: 10 * time.Minute, Asked: 66, Right: 57, Fluent: 9, Slow: 48}, []string{"10 minutes: 66 questions, 57 right, 9 of them in time.", "48 were right, only slower than the aim: practice makes them faster."}},
		{Summary{Time: 10 * time.Minute, Asked: 66, Right: 57, Fluent: 29, Slow: 28}, []string{"10 minutes: 66 questions, 57 right, 29 of them in time."}},
		{Summary{Time: time.Minute, Asked: 20, Became: items(8), Missed: items(10), Outlook: []string{"Tomorrow 10 minutes keep what you know."}},
			[]string{"1 minute: 20 questions, 0 right, 0 of them in time.",
				"Became sure: item 1; item 2; item 3; item 4; item 5; item 6; item 7; item 8.",
				"Missed: item 1; item 2; item 3; item 4; item 5; item 6; item 7; item 8; and 2 more.",
				"Tomorrow 10 minutes keep what you know."}},
	} {
		if got := c.sum.Lines(); !slices.Equal(got, c.want) {
			t.Errorf("said\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(c.want, "\n"))
		}
	}
}

// The next day's line is an offer: a topic can be finished where all of it was right
// once, since sure takes two days.
func TestTheNextDaysLineSaysWhatCanBeFinished(t *testing.T) {
	now := time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)
	p, err := Open(t.Context(), nil, func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	if got := p.tomorrow(); got != "Tomorrow 10 minutes keep what you know." {
		t.Errorf("at first: %q", got)
	}
	var topic []drills.Item
	for _, it := range p.catalogue.Items() {
		if it.Topic() == "naturals on string 6" {
			topic = append(topic, it)
		}
	}
	for i, it := range topic {
		if want := fmt.Sprintf("Tomorrow 10 minutes go on with naturals on string 6 (%d left).", len(topic)); i > 0 && p.tomorrow() != want {
			t.Fatalf("after %d: %q, want %q", i, p.tomorrow(), want)
		}
		p.planner.Learn(scheduler.Answer{Item: it.ID, At: now, Right: true, Thinking: time.Second})
	}
	if want := fmt.Sprintf("Tomorrow 10 minutes can finish naturals on string 6 (%d left).", len(topic)); p.tomorrow() != want {
		t.Errorf("%q, want %q", p.tomorrow(), want)
	}
	// Of several the smallest come first, two at most, and those that fit.
	for _, it := range p.catalogue.Items() {
		switch it.Topic() {
		case "naturals on string 5", "sharps and flats on string 6", "sharps and flats on string 5":
			p.planner.Learn(scheduler.Answer{Item: it.ID, At: now, Right: true, Thinking: time.Second})
		}
	}
	for minutes, want := range map[float64]string{
		10: "Tomorrow 10 minutes can finish sharps and flats on string 5 (10 left) and sharps and flats on string 6 (10 left).",
		5:  "Tomorrow 5 minutes can finish sharps and flats on string 5 (10 left).",
		60: "Tomorrow 60 minutes can finish sharps and flats on string 5 (10 left) and sharps and flats on string 6 (10 left).",
		1:  "Tomorrow 1 minute goes on with sharps and flats on string 5 (10 left).",
	} {
		if p.Settings.Minutes = minutes; p.tomorrow() != want {
			t.Errorf("%q, want %q", p.tomorrow(), want)
		}
	}
}
