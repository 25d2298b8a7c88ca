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

var page = template.Must(template.New("progress").Funcs(template.FuncMap{"short": short, "long": long, "percent": percent, "words": strings.Fields}).Parse(pageText))

// A chart is one picture of the page with its words and its table.
type chart struct {
	Title  string
	Words  string // what the picture shows, in a sentence
	Head   []string
	Rows   [][]string
	SVG    template.HTML
	Folded bool // shown when it is asked for
}

// HTML writes progress as one page that needs nothing else: no network, no
// script. It opens with the neck and what to practise next. It reads in light and dark,
// on a phone and on paper, and every picture has its table. Banner stands on top where
// it is not empty.
func (p Progress) HTML(w io.Writer, banner string) error {
	summary := []string{"Nothing was practised in this period."}
	var charts []chart
	if len(p.Days) > 0 {
		summary, charts = p.summary(), p.charts()
	}
	var drawn template.HTML
	if len(p.Neck.Places) > 0 && !p.Neck.empty() {
		drawn = p.Neck.pagePicture()
	}
	return page.Execute(w, struct {
		Progress
		Banner  string
		Summary []string
		Picture template.HTML
		Legend  string
		Charts  []chart
		tones
	}{p, banner, summary, drawn, p.Neck.legendWords(), charts, pageTones})
}

func (p Progress) charts() []chart {
	var all []chart
	if len(p.Gigs) > 0 {
		all = append(all, p.gigChart())
	}
	all = append(all, p.speedChart("Thinking time by string", "string ", p.Strings), p.speedChart("Thinking time by drill", "", p.Drills),
		p.fluentChart(), p.minutesChart(), p.keyChart())
	if len(p.Played) > 0 {
		all = append(all, p.playedChart())
	}
	if len(p.Forecast) > 0 {
		all = append(all, p.forecastChart())
	}
	return append(all, p.trustChart())
}

func (p Progress) fluentChart() chart {
	c := chart{Title: "Items right in time", Words: "How many items were right in time when last asked, by day.", Head: []string{"Day", "Items", "Answers", "Right"}}
	var points []point
	for _, d := range p.Days {
		points = append(points, point{d.Day, float64(d.Fluent)})
		c.Rows = append(c.Rows, []string{short(d.Day), fmt.Sprint(d.Fluent), fmt.Sprint(d.Answers), fmt.Sprint(d.Right)})
	}
	c.SVG = curve("Items right in time by day", points)
	return c
}

func (p Progress) minutesChart() chart {
	c := chart{Title: "Minutes by week", Words: "Minutes of practice, and a dot for every day of the week with practice.", Head: []string{"Week to", "Minutes", "Days"}}
	if n := len(p.weeks()); n > mostWeeks {
		c.Words += fmt.Sprintf(" The last %d of %d weeks are drawn.", mostWeeks, n)
	}
	for _, w := range p.weeks() {
		c.Rows = append(c.Rows, []string{short(w.day), fmt.Sprintf("%.0f", w.minutes), fmt.Sprint(w.days)})
	}
	c.SVG = weekBars("Minutes of practice by week", p.weeks())
	return c
}

func (p Progress) speedChart(title, prefix string, speeds []Speed) chart {
	c := chart{Title: title, Words: "The typical time from a question to the first key of a right answer: the ring in the first month, the dot in the last; the dashed rule is the aim. What became slower is orange.",
		Head: []string{"What", "Last month", "First month", "Aim", "All", "Answers"}}
	if len(speeds) == 0 {
		c.Words = "No answers were timed yet."
		return c
	}
	for _, s := range speeds {
		first := ""
		if s.First > 0 {
			first = fmt.Sprintf("%.1f", s.First)
		}
		c.Rows = append(c.Rows, []string{prefix + s.Name, fmt.Sprintf("%.1f", s.Latest), first, fmt.Sprintf("%.1f", s.Aim), fmt.Sprintf("%.1f", s.Typical), fmt.Sprint(s.Answers)})
	}
	c.SVG = dumbbells(title, speeds, p.longest(), func(s Speed) string { return prefix + s.Name })
	return c
}

func (p Progress) playedChart() chart {
	c := chart{Title: playedTitle, Words: "The typical time to think of a right answer: the ring where it was typed, the dot where it was played, from the question to the pluck; the dashed rule is the aim of what is played.",
		Head: []string{"Drill", "Played", "Right", "Seconds", "Aim", "Typed", "Right", "Seconds", "Aim"}}
	var speeds []Speed
	cells := func(w Way) []string {
		return []string{fmt.Sprint(w.Answers), fmt.Sprint(w.Right), fmt.Sprintf("%.1f", w.Typical), fmt.Sprintf("%.1f", w.Aim)}
	}
	for _, d := range p.Played {
		c.Rows = append(c.Rows, append(append([]string{d.Name}, cells(d.Played)...), cells(d.Typed)...))
		speeds = append(speeds, Speed{Name: d.Name, First: d.Typed.Typical, Latest: d.Played.Typical, Aim: d.Played.Aim})
	}
	c.SVG = dumbbells(c.Title, speeds, p.longest(), func(s Speed) string { return s.Name })
	return c
}

func (p Progress) keyChart() chart {
	c := chart{Title: "Keys round the circle of fifths", Words: "How sure each key's signature and chords by number are, in percent: a sector is full at 100. Anything not asked yet counts as 0. Keys that your coming gigs call are bold.",
		Head: []string{"Key", "Percent", "Sure", "Asked", "Items"}}
	for _, k := range p.Keys {
		c.Rows = append(c.Rows, []string{k.Name, fmt.Sprint(percent(k.Fluency)), fmt.Sprint(k.Sure), fmt.Sprint(k.Asked), fmt.Sprint(k.Items)})
	}
	c.SVG = circle("How sure each key is", p.Keys)
	return c
}

func (p Progress) trustChart() chart {
	c := chart{Title: "How well the program knows you", Words: p.calibration() + " The closer to the slanted line, the better; the ring grows with the answers.",
		Head: []string{"Predicted", "Observed", "Answers"}, Folded: true}
	for _, t := range p.Trust {
		c.Rows = append(c.Rows, []string{fmt.Sprintf("%d %%", percent(t.Predicted)), fmt.Sprintf("%d %%", percent(t.Observed)), fmt.Sprint(t.Answers)})
	}
	c.SVG = scatter("Observed by predicted share of answers right in time", p.Trust)
	return c
}

// ready is the readiness that a gig is practised to.
const ready = 0.9

func (p Progress) gigChart() chart {
	c := chart{Title: "Gigs", Words: "How much of what the songs need will be right in time on the day, of 100; the thin line spans the likely range, the ring is now, the dashed rule is 90.",
		Head: []string{"Gig", "Day", "Ready", "From", "To", "Now"}}
	var bars []bar
	for _, g := range p.Gigs {
		if g.Thin {
			bars = append(bars, bar{name: g.Name, figure: tooThin})
			c.Rows = append(c.Rows, []string{g.Name, short(g.Day), tooThin, "", "", ""})
			continue
		}
		said := func(v float64) string { return fmt.Sprintf("%d %%", percent(v)) }
		bars = append(bars, bar{name: g.Name, figure: said(g.Share), value: g.Share, low: g.Low, high: g.High, ring: g.Now})
		c.Rows = append(c.Rows, []string{g.Name, short(g.Day), said(g.Share), said(g.Low), said(g.High), said(g.Now)})
	}
	c.SVG = barChart("Readiness by gig", bars, 1, ready)
	return c
}

func (p Progress) forecastChart() chart {
	c := chart{Title: "The coming week", Words: forecastTitle + ". New items come as time allows.", Head: []string{"Day", "Minutes"}}
	var bars []bar
	for _, f := range p.Forecast {
		figure := fmt.Sprintf("%.1f", f.Minutes)
		bars = append(bars, bar{name: short(f.Day), figure: figure + " min", value: f.Minutes})
		c.Rows = append(c.Rows, []string{short(f.Day), figure})
	}
	c.SVG = barChart("Minutes by day", bars, 0, 0)
	return c
}
