package practice

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/drills"
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
		{Summary{Time: 59 * time.Second, Asked: 1, Right: 1, Fluent: 1}, []string{"59 seconds: 1 question, 1 right, 1 of them in time."}},
		{Summary{Time: 90 * time.Second, Asked: 2, Right: 1, Typical: 1449 * time.Millisecond, Missed: items(1)},
			[]string{"2 minutes: 2 questions, 1 right, 0 of them in time.", "Typical thinking time 1.4 s.", "Missed: item 1."}},
		{Summary{Time: time.Minute, Asked: 20, Became: items(8), Missed: items(10), Outlook: []string{"Tomorrow: 5 minutes would pay."}},
			[]string{"1 minute: 20 questions, 0 right, 0 of them in time.",
				"Became fluent: item 1; item 2; item 3; item 4; item 5; item 6; item 7; item 8.",
				"Missed: item 1; item 2; item 3; item 4; item 5; item 6; item 7; item 8; and 2 more.",
				"Tomorrow: 5 minutes would pay."}},
	} {
		if got := c.sum.Lines(); !slices.Equal(got, c.want) {
			t.Errorf("said\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(c.want, "\n"))
		}
	}
}
