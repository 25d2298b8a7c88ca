package report

import (
	"fmt"
	"math"
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// Text prints progress in so many columns, 40 at least, with bars drawn in
// plain signs.
func (p Progress) Text(columns int) string {
	var b strings.Builder
	if len(p.Days) == 0 {
		return "Nothing practised in this period. Start with 'surefret practice'.\n"
	}
	fold(&b, columns, "", fmt.Sprintf("Progress from %s to %s", p.Since, p.Until))
	for _, line := range p.summary() {
		fold(&b, columns, "", line)
	}
	weeks := p.weeks()
	weeks = weeks[max(0, len(weeks)-13):]
	b.WriteString("\nFluent items, by week:\n")
	bars(&b, columns, len(weeks), func(i int) (string, float64, string) {
		return weeks[i].day, float64(weeks[i].fluent), fmt.Sprint(weeks[i].fluent)
	})
	days := p.Days[max(0, len(p.Days)-14):]
	b.WriteString("\nMinutes, the latest days:\n")
	bars(&b, columns, len(days), func(i int) (string, float64, string) {
		return days[i].Day, days[i].Minutes, fmt.Sprintf("%.1f", days[i].Minutes)
	})
	speedText(&b, columns, "Thinking time by string, seconds:", p.Strings)
	speedText(&b, columns, "Thinking time by drill, seconds:", p.Drills)
	b.WriteString("\nKeys, round the circle of fifths:\n")
	bars(&b, columns, len(p.Keys), func(i int) (string, float64, string) {
		k := p.Keys[i]
		if k.Asked == 0 {
			return k.Name, 0, Unmet
		}
		return k.Name, k.Fluency, fmt.Sprintf("%.0f %%", 100*k.Fluency)
	})
	if len(p.Trust) > 0 {
		b.WriteString("\nFluent answers, predicted and observed:\n")
		for _, t := range p.Trust {
			fmt.Fprintf(&b, "  %3.0f %% and %3.0f %%, %s\n", 100*t.Predicted, 100*t.Observed, Many(t.Answers, "answer"))
		}
	}
	if len(p.Gigs) > 0 {
		b.WriteString("\nGigs, and what will be fluent then:\n")
		for _, g := range p.Gigs {
			fold(&b, columns, "  ", fmt.Sprintf("%s %s: %.0f %% (%.0f to %.0f), today %.0f %%", g.Day, g.Name, 100*g.Share, 100*g.Low, 100*g.High, 100*g.Now))
		}
	}
	if len(p.Forecast) > 0 {
		fmt.Fprintf(&b, "\n%s\n", forecastTitle)
		bars(&b, columns, len(p.Forecast), func(i int) (string, float64, string) {
			return p.Forecast[i].Day, p.Forecast[i].Minutes, fmt.Sprintf("%.1f", p.Forecast[i].Minutes)
		})
	}
	if len(p.Fluent) > 0 {
		b.WriteString("\nBecame sure, the latest first:\n")
		for _, f := range p.Fluent[:min(5, len(p.Fluent))] {
			fold(&b, columns, "  ", f.Day+" "+f.Title)
		}
	}
	return b.String()
}

const forecastTitle = "Minutes to keep what you know, by day:"

// summary says the whole in sentences.
func (p Progress) summary() []string {
	total, answers := 0.0, 0
	for _, d := range p.Days {
		total += d.Minutes
		answers += d.Answers
	}
	last := p.Days[len(p.Days)-1]
	return []string{
		fmt.Sprintf("%s on %s, %s.", Many(int(math.Round(total)), "minute"), Many(len(p.Days), "day"), Many(answers, "answer")),
		fmt.Sprintf("%s fluent when last asked.", Many(last.Fluent, "item")),
		fmt.Sprintf("Practised on %d of the last 14 days.", p.Recent),
	}
}

// A week is the state at the end of seven days.
type week struct {
	day    string // the last with practice
	fluent int
}

// weeks lists the state on the last day with practice of each week.
func (p Progress) weeks() []week {
	var all []week
	was := ""
	for _, d := range p.Days {
		name := d.Day
		if at, ok := dayNumber(d.Day); ok {
			name = fmt.Sprint((at + 3) / 7) // 1 January 1970 was a Thursday
		}
		if name != was {
			all = append(all, week{})
			was = name
		}
		all[len(all)-1] = week{d.Day, d.Fluent}
	}
	return all
}

func speedText(b *strings.Builder, columns int, title string, speeds []Speed) {
	if len(speeds) == 0 {
		return
	}
	fmt.Fprintf(b, "\n%s\n", title)
	bars(b, columns, len(speeds), func(i int) (string, float64, string) {
		s := speeds[i]
		if s.First == 0 {
			return s.Name, s.Latest, fmt.Sprintf("%.1f", s.Latest)
		}
		return s.Name, s.Latest, fmt.Sprintf("%.1f, first %.1f", s.Latest, s.First)
	})
}

// bars draws n rows, each with its label, a bar and its figure. The longest bar
// takes what the columns leave, 40 signs at most.
func bars(b *strings.Builder, columns, n int, row func(int) (label string, value float64, figure string)) {
	most, label, figure := 0.0, 0, 0
	for i := range n {
		name, v, f := row(i)
		most, label, figure = max(most, v), max(label, ansi.StringWidth(name)), max(figure, ansi.StringWidth(f))
	}
	wide := max(8, min(40, columns-label-figure-4))
	for i := range n {
		name, v, f := row(i)
		long := 0
		if most > 0 {
			long = int(math.Round(v / most * float64(wide)))
		}
		line := "  " + name + strings.Repeat(" ", label-ansi.StringWidth(name)+1) + strings.Repeat("=", long)
		fmt.Fprintf(b, "%s %s\n", strings.TrimRight(line, " "), f)
	}
}

// Many says a number of things: "1 day", "2 days".
func Many(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
