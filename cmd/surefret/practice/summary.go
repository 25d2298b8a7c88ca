package practice

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/scheduler"
)

// A Summary tells what a sitting came to.
type Summary struct {
	Time    time.Duration // practised, pauses left out
	Asked   int
	Right   int
	Fluent  int           // right within the aim, or right where times do not count
	Slow    int           // right, and longer than the aim
	Untimed bool          // times do not count
	Typical time.Duration // the median thinking time of timed right answers, 0 when there is none
	Became  []drills.Item // that became sure, and were not missed
	Met     []drills.Item // the others that were asked for the first time, and right at the end
	Missed  []drills.Item // the others that were missed
	Aside   []drills.Item // set aside
	Outlook []string      // sentences on what is weak and what comes next
	terms   []drills.Term // words of all this that are met for the first time
	Trail   []Step        // every answer, in order
}

// A Step is one answer of a sitting, for its drawing.
type Step struct {
	Outcome scheduler.Outcome
	Share   float64       // of the aim that the thinking took, 0 where it was not timed
	Marks   []drills.Mark // where it lies on the neck, none for what lies nowhere
}

// Summary closes the books: what was answered up to now. What a placing proved is
// kept here.
func (s *Sitting) Summary(ctx context.Context, now time.Time) Summary {
	sum := Summary{Time: min(s.spent(now), s.o.Length), Aside: s.aside, Untimed: !s.p.Settings.Times}
	var times []time.Duration
	first, right, missed := map[string]answered{}, map[string]bool{}, map[string]bool{}
	var met []string
	for _, a := range s.tally {
		sum.Asked++
		sum.Trail = append(sum.Trail, s.step(a))
		if a.row.Right {
			sum.Right++
			if a.row.Thinking > 0 {
				times = append(times, a.row.Thinking)
			}
		}
		if a.fluent() {
			sum.Fluent++
		}
		sum.Slow += one(a.outcome == scheduler.Slow && a.row.Thinking > 0)
		id := a.row.Item
		if _, again := first[id]; !again {
			first[id] = a
			met = append(met, id)
		}
		right[id], missed[id] = a.row.Right, missed[id] || a.outcome == scheduler.Missed
	}
	for _, id := range met {
		switch {
		case !missed[id] && !first[id].sure && s.p.foresight().Sure(id):
			sum.Became = append(sum.Became, s.item(id))
		case first[id].before.Asked == 0 && right[id] && s.placing == nil:
			sum.Met = append(sum.Met, s.item(id))
		case missed[id]:
			sum.Missed = append(sum.Missed, s.item(id))
		}
	}
	sum.Typical = median(times)
	switch {
	case sum.Asked == 0:
	case s.placing != nil:
		sum.Outlook = s.p.place(ctx, s.placing)
	default:
		sum.Outlook = s.p.outlook()
	}
	terms := slices.DeleteFunc(drills.TermsIn(strings.Join(sum.Lines(), "\n")), func(t drills.Term) bool { return !slices.Contains(summed, t.Name) })
	terms, _ = s.p.met(ctx, terms) // or they are told again
	s.terms = append(s.terms, terms...)
	sum.terms = s.terms
	return sum
}

// step is what is drawn of an answer.
func (s *Sitting) step(a answered) Step {
	return Step{
		Outcome: a.outcome, Marks: a.Question.Lesson().Marks,
		Share: float64(a.row.Thinking) / float64(max(s.aim(a.row), time.Millisecond)),
	}
}

// median returns the middle value, 0 for none.
func median(ds []time.Duration) time.Duration {
	if len(ds) == 0 {
		return 0
	}
	slices.Sort(ds)
	return ds[len(ds)/2]
}

// Seconds says a thinking time: "1.4 s".
func Seconds(d time.Duration) string { return fmt.Sprintf("%.1f s", d.Seconds()) }

// Lines says the summary in plain sentences, one a line.
func (s Summary) Lines() []string {
	if s.Asked == 0 && len(s.Aside) == 0 {
		return []string{"Nothing was asked.", "'surefret practice' begins again."}
	}
	lines := []string{"Nothing was answered."}
	if s.Asked > 0 {
		lines[0] = fmt.Sprintf("%s: %s, %d right", minutes(s.Time), report.Many(s.Asked, "question"), s.Right)
		if !s.Untimed {
			lines[0] += fmt.Sprintf(", %d of them in time", s.Fluent)
		}
		lines[0] += "."
	}
	if 2*s.Slow > s.Right && s.Slow >= fewestSlow {
		lines = append(lines, fmt.Sprintf("%d were right, only slower than the aim: practice makes them faster.", s.Slow))
	}
	if s.Typical > 0 {
		lines = append(lines, fmt.Sprintf("Typical thinking time %s.", Seconds(s.Typical)))
	}
	for _, part := range []struct {
		word  string
		items []drills.Item
	}{{"Became sure", s.Became}, {"New, and right by the end", s.Met}, {"Missed", s.Missed}} {
		if len(part.items) > 0 {
			lines = append(lines, part.word+": "+titles(part.items)+".")
		}
	}
	if len(s.Aside) > 0 {
		lines = append(lines, "Set aside: "+titles(s.Aside)+". To be asked these again: surefret practice --aside")
	}
	lines = append(lines, s.Outlook...)
	for _, t := range s.terms {
		lines = append(lines, fmt.Sprintf("%s: %s.", t.Word, t.Means))
	}
	return lines
}

// summed are the terms that a summary alone has, or first.
var summed = []string{"naturals", "in time", "sure"}

// fewestSlow is how many slow answers are worth a word, where most of the right ones are: a
// beginner hears little but "slow" on his first day.
const fewestSlow = 5

// longestList is how many items a line of the summary names.
const longestList = 8

// titles joins the titles of items, as many as a line should have.
func titles(items []drills.Item) string {
	var words []string
	for _, it := range items[:min(longestList, len(items))] {
		words = append(words, it.Title)
	}
	if more := len(items) - len(words); more > 0 {
		words = append(words, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(words, "; ")
}

// minutes says how long the sitting was, in whole minutes from one on.
func minutes(d time.Duration) string {
	if d < time.Minute {
		return report.Many(int(d.Seconds()), "second")
	}
	return report.Many(int(d.Round(time.Minute).Minutes()), "minute")
}
