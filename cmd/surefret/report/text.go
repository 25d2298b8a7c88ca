package report

import (
	"fmt"
	"math"
	"strings"
)

// Text prints progress in so many columns, 40 at least, with bars drawn in
// plain signs.
func (p Progress) Text(columns int) string {
	var b strings.Builder
	if len(p.Days) == 0 {
		return "Nothing was practised in this time. 'surefret practice' begins.\n"
	}
	total := 0.0
	answers := 0
	for _, d := range p.Days {
		total += d.Minutes
		answers += d.Answers
	}
	last := p.Days[len(p.Days)-1]
	fmt.Fprintf(&b, "Progress from %s to %s\n", p.Since, p.Until)
	fmt.Fprintf(&b, "%.0f minutes on %s, %d answers.\n", total, many(len(p.Days), "day"), answers)
	fmt.Fprintf(&b, "%s fluent at the last look.\n", many(last.Fluent, "item"))
	fmt.Fprintf(&b, "Practised on %d of the last 14 days.\n", p.Recent)

	wide := max(10, min(40, columns-28))
	days := p.Days[max(0, len(p.Days)-14):]
	b.WriteString("\nFluent items, by day:\n")
	bars(&b, len(days), wide, func(i int) (string, float64, string) {
		return days[i].Day, float64(days[i].Fluent), fmt.Sprint(days[i].Fluent)
	})
	b.WriteString("\nMinutes, by day:\n")
	bars(&b, len(days), wide, func(i int) (string, float64, string) {
		return days[i].Day, days[i].Minutes, fmt.Sprintf("%.1f", days[i].Minutes)
	})
	for _, part := range []struct {
		title  string
		speeds []Speed
	}{{"Thinking time by string, seconds:", p.Strings}, {"Thinking time by drill, seconds:", p.Drills}} {
		if len(part.speeds) == 0 {
			continue
		}
		fmt.Fprintf(&b, "\n%s\n", part.title)
		bars(&b, len(part.speeds), wide, func(i int) (string, float64, string) {
			return part.speeds[i].Name, part.speeds[i].Typical, fmt.Sprintf("%.1f", part.speeds[i].Typical)
		})
	}
	b.WriteString("\nKeys, round the circle of fifths:\n")
	bars(&b, len(p.Keys), wide, func(i int) (string, float64, string) {
		return p.Keys[i].Name, p.Keys[i].Fluency, fmt.Sprintf("%.0f %%", 100*p.Keys[i].Fluency)
	})
	if len(p.Trust) > 0 {
		b.WriteString("\nPredicted and observed fluent answers:\n")
		for _, t := range p.Trust {
			fmt.Fprintf(&b, "  %3.0f %% predicted, %3.0f %% observed, %s\n", 100*t.Predicted, 100*t.Observed, many(t.Answers, "answer"))
		}
	}
	if len(p.Gigs) > 0 {
		b.WriteString("\nGigs:\n")
		for _, g := range p.Gigs {
			fmt.Fprintf(&b, "  %s %s: ready %.0f %%, likely %.0f to %.0f\n", g.Day, g.Name, 100*g.Share, 100*g.Low, 100*g.High)
		}
	}
	if len(p.Forecast) > 0 {
		b.WriteString("\nThe coming days, minutes that would pay:\n")
		bars(&b, len(p.Forecast), wide, func(i int) (string, float64, string) {
			return p.Forecast[i].Day, p.Forecast[i].Minutes, fmt.Sprintf("%.0f", p.Forecast[i].Minutes)
		})
	}
	if len(p.Fluent) > 0 {
		b.WriteString("\nBecame fluent, the latest first:\n")
		for _, title := range p.Fluent[:min(5, len(p.Fluent))] {
			fmt.Fprintf(&b, "  %s\n", title)
		}
	}
	return b.String()
}

// bars draws n rows, each with its label, a bar and its figure. The longest bar
// is wide columns long.
func bars(b *strings.Builder, n, wide int, row func(int) (label string, value float64, figure string)) {
	most, label := 0.0, 0
	for i := range n {
		name, v, _ := row(i)
		most, label = max(most, v), max(label, len(name))
	}
	for i := range n {
		name, v, figure := row(i)
		long := 0
		if most > 0 {
			long = int(math.Round(v / most * float64(wide)))
		}
		fmt.Fprintf(b, "  %-*s %s %s\n", label, name, strings.Repeat("=", long), figure)
	}
}

// many says a number of things: "1 day", "2 days".
func many(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
