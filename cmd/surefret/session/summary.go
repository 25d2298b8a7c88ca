package session

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"surefret/drills"
	"surefret/scheduler"
)

// A Summary tells what a sitting came to.
type Summary struct {
	Time    time.Duration // practised, pauses left out
	Asked   int
	Right   int
	Fluent  int           // right within the aim
	Typical time.Duration // the median thinking time of timed right answers, 0 when there is none
	Missed  []drills.Item // in the order they were first missed, once each
	New     int           // items met for the first time
}

// Summary closes the books: what was answered up to now.
func (s *Session) Summary(now time.Time) Summary {
	s.settle()
	sum := Summary{Time: min(now.Sub(s.started)-s.paused, s.cfg.Length)}
	var times []time.Duration
	missed := map[string]bool{}
	for _, a := range s.tally {
		sum.Asked++
		if a.row.Right {
			sum.Right++
			if a.row.Thinking > 0 {
				times = append(times, a.row.Thinking)
			}
		}
		if a.outcome.Fluent() {
			sum.Fluent++
		}
		if a.outcome == scheduler.Missed && !missed[a.row.Item] {
			missed[a.row.Item] = true
			if it, ok := s.cfg.Source.Item(a.row.Item); ok {
				sum.Missed = append(sum.Missed, it)
			}
		}
	}
	sum.Typical = median(times)
	return sum
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
	if s.Asked == 0 {
		return []string{"Nothing was asked."}
	}
	lines := []string{fmt.Sprintf("%s: %s, %d right, %d of them fluent.",
		minutes(s.Time), count(s.Asked, "question"), s.Right, s.Fluent)}
	if s.Typical > 0 {
		lines = append(lines, fmt.Sprintf("Typical thinking time %s.", Seconds(s.Typical)))
	}
	if len(s.Missed) > 0 {
		var titles []string
		for _, it := range s.Missed {
			titles = append(titles, it.Title)
		}
		lines = append(lines, "Missed: "+strings.Join(titles, "; ")+".")
	}
	return lines
}

// minutes says how long the sitting was, in whole minutes from one on.
func minutes(d time.Duration) string {
	if d < time.Minute {
		return count(int(d.Seconds()), "second")
	}
	return count(int(d.Round(time.Minute).Minutes()), "minute")
}

// count says a number of things: "1 question", "2 questions".
func count(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
