package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"
)

//go:embed progress.html.tmpl
var pageText string

var page = template.Must(template.New("progress").Parse(pageText))

// A chart is one picture of the page with its words and its table.
type chart struct {
	Title string
	Words string // what the picture shows, in a sentence
	Head  []string
	Rows  [][]string
	SVG   template.HTML
}

// HTML writes progress as one page that needs nothing else: no network, no
// script. It reads in light and dark, on a phone and on paper, and every picture
// has its table. Banner stands on top where it is not empty.
func (p Progress) HTML(w io.Writer, banner string) error {
	summary := []string{"Nothing practised in this period."}
	var charts []chart
	if len(p.Days) > 0 {
		summary, charts = p.summary(), p.charts()
	}
	return page.Execute(w, struct {
		Since, Until, Banner string
		Summary              []string
		Charts               []chart
		Fluent               []Became
	}{p.Since, p.Until, banner, summary, charts, p.Fluent[:min(10, len(p.Fluent))]})
}

func (p Progress) charts() []chart {
	all := []chart{p.fluentChart(), p.minutesChart(), speedChart("Thinking time by string", "string ", p.Strings),
		speedChart("Thinking time by drill", "", p.Drills), p.keyChart(), p.trustChart()}
	if len(p.Gigs) > 0 {
		all = append(all, p.gigChart())
	}
	if len(p.Forecast) > 0 {
		all = append(all, p.forecastChart())
	}
	return all
}

func (p Progress) fluentChart() chart {
	c := chart{Title: "Fluent items", Words: "How many items were right within the aim when last asked, by day.", Head: []string{"Day", "Items", "Answers", "Right"}}
	var points []point
	for _, d := range p.Days {
		points = append(points, point{d.Day, float64(d.Fluent)})
		c.Rows = append(c.Rows, []string{d.Day, fmt.Sprint(d.Fluent), fmt.Sprint(d.Answers), fmt.Sprint(d.Right)})
	}
	c.SVG = curve("Fluent items by day", points)
	return c
}

func (p Progress) minutesChart() chart {
	c := chart{Title: "Minutes", Words: "Minutes of practice, by day.", Head: []string{"Day", "Minutes"}}
	var points []point
	for _, d := range p.Days {
		points = append(points, point{d.Day, d.Minutes})
		c.Rows = append(c.Rows, []string{d.Day, fmt.Sprintf("%.1f", d.Minutes)})
	}
	c.SVG = spikes("Minutes of practice by day", points)
	return c
}

func speedChart(title, prefix string, speeds []Speed) chart {
	c := chart{Title: title, Words: "The typical time from a question to the first key of a right answer, in seconds: the bar for the last month, the ring for the first.",
		Head: []string{"What", "Last month", "First month", "All", "Answers"}}
	if len(speeds) == 0 {
		c.Words = "No answers were timed yet."
		return c
	}
	var bars []bar
	for _, s := range speeds {
		first, figure := "", fmt.Sprintf("%.1f s", s.Latest)
		if s.First > 0 {
			first = fmt.Sprintf("%.1f", s.First)
			figure += ", was " + first
		}
		bars = append(bars, bar{name: prefix + s.Name, figure: figure, value: s.Latest, ring: s.First})
		c.Rows = append(c.Rows, []string{prefix + s.Name, fmt.Sprintf("%.1f", s.Latest), first, fmt.Sprintf("%.1f", s.Typical), fmt.Sprint(s.Answers)})
	}
	c.SVG = barChart(title, bars, 0)
	return c
}

func (p Progress) keyChart() chart {
	c := chart{Title: "Keys round the circle of fifths", Words: "How sure each key is, in percent; what was never asked counts as nothing, and has a broken rim where that is the whole key.",
		Head: []string{"Key", "Percent", "Sure", "Asked", "Items"}}
	for _, k := range p.Keys {
		c.Rows = append(c.Rows, []string{k.Name, fmt.Sprintf("%.0f", 100*k.Fluency), fmt.Sprint(k.Sure), fmt.Sprint(k.Asked), fmt.Sprint(k.Items)})
	}
	c.SVG = circle("How sure each key is", p.Keys)
	return c
}

func (p Progress) trustChart() chart {
	c := chart{Title: "Predicted and observed", Words: "Of the answers that the program gave a chance, how many were fluent. The closer to the slanted line, the better it knows you; the ring grows with the answers.",
		Head: []string{"Predicted", "Observed", "Answers"}}
	for _, t := range p.Trust {
		c.Rows = append(c.Rows, []string{fmt.Sprintf("%.0f %%", 100*t.Predicted), fmt.Sprintf("%.0f %%", 100*t.Observed), fmt.Sprint(t.Answers)})
	}
	c.SVG = scatter("Observed by predicted share of fluent answers", p.Trust)
	return c
}

func (p Progress) gigChart() chart {
	c := chart{Title: "Gigs", Words: "How much of what the songs need will be fluent on the day; the thin line spans the likely range, the ring is today.",
		Head: []string{"Gig", "Day", "Ready", "From", "To", "Today"}}
	var bars []bar
	for _, g := range p.Gigs {
		percent := func(v float64) string { return fmt.Sprintf("%.0f %%", 100*v) }
		bars = append(bars, bar{name: g.Name, figure: percent(g.Share), value: g.Share, low: g.Low, high: g.High, ring: g.Now})
		c.Rows = append(c.Rows, []string{g.Name, g.Day, percent(g.Share), percent(g.Low), percent(g.High), percent(g.Now)})
	}
	c.SVG = barChart("Readiness by gig", bars, 1)
	return c
}

func (p Progress) forecastChart() chart {
	c := chart{Title: "The coming week", Words: strings.TrimSuffix(forecastTitle, ":") + ". New items come as time allows.", Head: []string{"Day", "Minutes"}}
	var bars []bar
	for _, f := range p.Forecast {
		figure := fmt.Sprintf("%.1f", f.Minutes)
		bars = append(bars, bar{name: f.Day, figure: figure + " min", value: f.Minutes})
		c.Rows = append(c.Rows, []string{f.Day, figure})
	}
	c.SVG = barChart("Minutes by day", bars, 0)
	return c
}
