package report

import (
	_ "embed"
	"fmt"
	"html"
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
	answers, minutes := 0, 0.0
	for _, d := range p.Days {
		answers += d.Answers
		minutes += d.Minutes
	}
	return page.Execute(w, struct {
		Since, Until, Banner, Summary string
		Charts                        []chart
		Fluent                        []string
	}{
		p.Since, p.Until, banner,
		fmt.Sprintf("%.0f minutes on %s, %d answers. Practised on %d of the last 14 days.", minutes, many(len(p.Days), "day"), answers, p.Recent),
		p.charts(), p.Fluent,
	})
}

func (p Progress) charts() []chart {
	var days, fluent, minutes []string
	var fluentAt, minutesAt []float64
	for _, d := range p.Days {
		days = append(days, d.Day)
		fluent = append(fluent, fmt.Sprint(d.Fluent))
		minutes = append(minutes, fmt.Sprintf("%.1f", d.Minutes))
		fluentAt = append(fluentAt, float64(d.Fluent))
		minutesAt = append(minutesAt, d.Minutes)
	}
	all := []chart{
		{"Fluent items", "How many items were answered right within the aim when last asked, by day.", []string{"Day", "Items"},
			columns(days, fluent), curve("Fluent items by day", days, fluentAt)},
		{"Minutes", "Minutes of practice, by day.", []string{"Day", "Minutes"},
			columns(days, minutes), curve("Minutes of practice by day", days, minutesAt)},
		speedChart("Thinking time by string", p.Strings),
		speedChart("Thinking time by drill", p.Drills),
	}
	var names, figures []string
	var values []float64
	for _, k := range p.Keys {
		names = append(names, k.Name)
		figures = append(figures, fmt.Sprintf("%.0f %%", 100*k.Fluency))
		values = append(values, k.Fluency)
	}
	all = append(all, chart{"Keys round the circle of fifths", "How sure each key is; what was never asked counts as nothing.",
		[]string{"Key", "Sure"}, columns(names, figures), barChart("How sure each key is", names, figures, values)})
	names, figures, values = nil, nil, nil
	var rows [][]string
	for _, t := range p.Trust {
		names = append(names, fmt.Sprintf("predicted %.0f %%", 100*t.Predicted))
		figures = append(figures, fmt.Sprintf("observed %.0f %%", 100*t.Observed))
		values = append(values, t.Observed)
		rows = append(rows, []string{fmt.Sprintf("%.0f %%", 100*t.Predicted), fmt.Sprintf("%.0f %%", 100*t.Observed), fmt.Sprint(t.Answers)})
	}
	all = append(all, chart{"Predicted and observed", "How many answers were fluent of those that the program expected to be, in tenths. Each bar should be as long as its label says.",
		[]string{"Predicted", "Observed", "Answers"}, rows, barChart("Observed share by predicted share", names, figures, values)})
	if len(p.Gigs) > 0 {
		names, figures, values = nil, nil, nil
		for _, g := range p.Gigs {
			names = append(names, g.Day+" "+g.Name)
			figures = append(figures, fmt.Sprintf("%.0f %%, likely %.0f to %.0f", 100*g.Share, 100*g.Low, 100*g.High))
			values = append(values, g.Share)
		}
		all = append(all, chart{"Gigs", "What will be fluent on the day, of all that the songs need.", []string{"Gig", "Ready"},
			columns(names, figures), barChart("Readiness by gig", names, figures, values)})
	}
	if len(p.Forecast) > 0 {
		names, figures, values = nil, nil, nil
		for _, f := range p.Forecast {
			names = append(names, f.Day)
			figures = append(figures, fmt.Sprintf("%.0f", f.Minutes))
			values = append(values, f.Minutes)
		}
		all = append(all, chart{"The coming days", "Minutes of practice that would pay.", []string{"Day", "Minutes"},
			columns(names, figures), barChart("Minutes by day", names, figures, values)})
	}
	return all
}

func speedChart(title string, speeds []Speed) chart {
	c := chart{Title: title, Words: "The typical time from a question to the first key of a right answer, in seconds.", Head: []string{"", "Seconds", "Answers"}}
	if len(speeds) == 0 {
		c.Words = "No answers were timed yet."
		return c
	}
	var names, figures []string
	var values []float64
	for _, s := range speeds {
		names = append(names, s.Name)
		figures = append(figures, fmt.Sprintf("%.1f s", s.Typical))
		values = append(values, s.Typical)
		c.Rows = append(c.Rows, []string{s.Name, fmt.Sprintf("%.1f", s.Typical), fmt.Sprint(s.Answers)})
	}
	c.Head[0] = "What"
	c.SVG = barChart(title, names, figures, values)
	return c
}

func columns(a, b []string) [][]string {
	rows := make([][]string, len(a))
	for i := range a {
		rows[i] = []string{a[i], b[i]}
	}
	return rows
}

// Measures of the charts, in SVG user units.
const (
	chartWide  = 760
	curveHigh  = 220
	barHigh    = 24
	labelWide  = 190
	figureWide = 190
)

// curve draws values over days as a line.
func curve(title string, days []string, values []float64) template.HTML {
	if len(days) == 0 {
		return ""
	}
	most := 1.0
	for _, v := range values {
		most = max(most, v)
	}
	x := func(i int) float64 { return 50 + float64(i)*(chartWide-70)/float64(max(1, len(values)-1)) }
	y := func(v float64) float64 { return curveHigh - 30 - v/most*(curveHigh-50) }
	var points []string
	for i, v := range values {
		points = append(points, fmt.Sprintf("%.1f,%.1f", x(i), y(v)))
	}
	var b strings.Builder
	open(&b, title, curveHigh)
	for _, v := range []float64{0, most / 2, most} {
		fmt.Fprintf(&b, `<line class="axis" x1="50" y1="%.1f" x2="%d" y2="%.1f"/><text x="44" y="%.1f" text-anchor="end">%.0f</text>`, y(v), chartWide-20, y(v), y(v)+4, v)
	}
	fmt.Fprintf(&b, `<polyline class="line" points="%s"/>`, strings.Join(points, " "))
	fmt.Fprintf(&b, `<text x="50" y="%d">%s</text><text x="%d" y="%d" text-anchor="end">%s</text></svg>`,
		curveHigh-8, html.EscapeString(days[0]), chartWide-20, curveHigh-8, html.EscapeString(days[len(days)-1]))
	return template.HTML(b.String())
}

// barChart draws a bar for each name, with its figure at the end.
func barChart(title string, names, figures []string, values []float64) template.HTML {
	most := 0.0
	for _, v := range values {
		most = max(most, v)
	}
	var b strings.Builder
	open(&b, title, barHigh*len(names)+10)
	for i, name := range names {
		long := 0.0
		if most > 0 {
			long = values[i] / most * (chartWide - labelWide - figureWide)
		}
		y := barHigh*i + 6
		fmt.Fprintf(&b, `<text x="%d" y="%d" text-anchor="end">%s</text><rect class="bar" x="%d" y="%d" width="%.1f" height="%d"/><text x="%.1f" y="%d">%s</text>`,
			labelWide-8, y+14, html.EscapeString(shorten(name)), labelWide, y, long, barHigh-6, labelWide+long+6, y+14, html.EscapeString(figures[i]))
	}
	b.WriteString("</svg>")
	return template.HTML(b.String())
}

// shorten keeps a label to the room that it has; the table has it whole.
func shorten(name string) string {
	const most = 24
	if r := []rune(name); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return name
}

// open begins a picture with its title for those who don't see it.
func open(b *strings.Builder, title string, high int) {
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" role="img" aria-label="%s">`, chartWide, high, html.EscapeString(title+"; the table below has the figures"))
}
