package report

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strings"
	"time"

	"github.com/charmbracelet/x/ansi"
)

// Charts are drawn for a phone: so many SVG user units wide, which are pixels
// there, and the page sets several side by side where there is more room.
const (
	chartWide = 360
	curveHigh = 200
	barHigh   = 26
	labelWide = 118
	figureEnd = 102 // room for the figure behind the longest bar
)

// A point is a value on a day.
type point struct {
	day   string
	value float64
}

// dayNumber counts days since 1970 and reports whether the text is a day.
func dayNumber(day string) (int, bool) {
	at, err := time.Parse(time.DateOnly, day)
	return int(at.Unix() / 86400), err == nil
}

// short says a day without its year, "Sat 28 Nov", and long with it. What is no day is
// said as it stands.
func short(day string) string { return said(day, "Mon 2 Jan") }

func long(day string) string { return said(day, "Mon 2 Jan 2006") }

func said(day, layout string) string {
	at, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return day
	}
	return at.Format(layout)
}

// ticks returns round values from 0 to the first that is not below most: four steps at
// the most.
func ticks(most float64) []float64 {
	step := 1.0
	for i := 0; step*4 < most; i++ {
		step = math.Pow(10, float64(i/3)) * []float64{1, 2, 5}[i%3]
	}
	all := []float64{0}
	for all[len(all)-1] < most || len(all) == 1 {
		all = append(all, step*float64(len(all)))
	}
	return all
}

// curve draws values over days as a line, over round figures.
func curve(title string, points []point) template.HTML {
	if len(points) == 0 {
		return ""
	}
	from, _ := dayNumber(points[0].day)
	to, most := from, 1.0
	for _, pt := range points {
		day, _ := dayNumber(pt.day)
		to, most = max(to, day), max(most, pt.value)
	}
	scale := ticks(most)
	y := func(v float64) float64 { return curveHigh - 30 - v/scale[len(scale)-1]*(curveHigh-50) }
	var b strings.Builder
	open(&b, title, curveHigh)
	for _, v := range scale {
		fmt.Fprintf(&b, `<line class="axis" x1="40" y1="%.1f" x2="%d" y2="%.1f"/><text x="34" y="%.1f" text-anchor="end">%.0f</text>`+"\n",
			y(v), chartWide-20, y(v), y(v)+4, v)
	}
	fmt.Fprintf(&b, `<text x="40" y="%d">%s</text><text x="%d" y="%d" text-anchor="end">%s</text>`+"\n",
		curveHigh-8, html.EscapeString(short(points[0].day)), chartWide-20, curveHigh-8, html.EscapeString(short(points[len(points)-1].day)))
	var line []string
	for _, pt := range points {
		n, _ := dayNumber(pt.day)
		line = append(line, fmt.Sprintf("%.1f,%.1f", 40+float64(n-from)*(chartWide-60)/float64(max(1, to-from)), y(pt.value)))
	}
	fmt.Fprintf(&b, `<polyline class="line" points="%s"/></svg>`, strings.Join(line, " "))
	return template.HTML(b.String())
}

// mostWeeks is how many weeks are drawn: half a year.
const mostWeeks = 26

// weekBars draws the minutes of each week, and under each a dot for every day with
// practice.
func weekBars(title string, weeks []week) template.HTML {
	const low, dots = 150.0, 36
	weeks = weeks[max(0, len(weeks)-mostWeeks):]
	if len(weeks) == 0 {
		return ""
	}
	most := 1.0
	for _, w := range weeks {
		most = max(most, w.minutes)
	}
	scale := ticks(most)
	y := func(v float64) float64 { return low - v/scale[len(scale)-1]*(low-15) }
	var b strings.Builder
	open(&b, title, low+dots+24)
	for _, v := range scale {
		fmt.Fprintf(&b, `<line class="axis" x1="40" y1="%.1f" x2="%d" y2="%.1f"/><text x="34" y="%.1f" text-anchor="end">%.0f</text>`+"\n",
			y(v), chartWide-20, y(v), y(v)+4, v)
	}
	wide := min(24, float64(chartWide-64)/float64(len(weeks)))
	for i, w := range weeks {
		x := 42 + wide*float64(i)
		fmt.Fprintf(&b, `<rect class="bar" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>`, x, y(w.minutes), wide*0.75, low-y(w.minutes))
		for d := range w.days {
			fmt.Fprintf(&b, `<circle class="day" cx="%.1f" cy="%.1f" r="1.7"/>`, x+wide*0.375, low+6+5*float64(d))
		}
		b.WriteByte('\n')
	}
	fmt.Fprintf(&b, `<text x="40" y="%.0f">%s</text><text x="%d" y="%.0f" text-anchor="end">%s</text></svg>`,
		low+dots+18, html.EscapeString(short(weeks[0].day)), chartWide-20, low+dots+18, html.EscapeString(short(weeks[len(weeks)-1].day)))
	return template.HTML(b.String())
}

// A bar is a row of a bar chart.
type bar struct {
	name, figure string
	value        float64
	ring         float64 // another value of the same thing, 0 for none
	low, high    float64 // a range, none where both are 0
}

// barChart draws the bars; full is the value of a bar of full length, 0 for the
// largest there is. A rule stands at the value aim, where it is not 0.
func barChart(title string, bars []bar, full, aim float64) template.HTML {
	if full == 0 {
		for _, r := range bars {
			full = max(full, r.value, r.ring, r.high)
		}
	}
	x := func(v float64) float64 {
		if full == 0 {
			return labelWide
		}
		return labelWide + v/full*(chartWide-labelWide-figureEnd)
	}
	var b strings.Builder
	open(&b, title, barHigh*len(bars)+8)
	for i, r := range bars {
		y := barHigh*i + 6
		fmt.Fprintf(&b, `<text x="%d" y="%d" text-anchor="end">%s</text><rect class="bar" x="%d" y="%d" width="%.1f" height="%d"/>`,
			labelWide-6, y+14, html.EscapeString(shorten(r.name)), labelWide, y, x(r.value)-labelWide, barHigh-8)
		end := x(max(r.value, r.high))
		if r.high > 0 {
			fmt.Fprintf(&b, `<path class="range" d="M%.1f,%dV%dM%.1f,%dH%.1fM%.1f,%dV%d"/>`, x(r.low), y+4, y+14, x(r.low), y+9, x(r.high), x(r.high), y+4, y+14)
		}
		if r.ring > 0 {
			fmt.Fprintf(&b, `<circle class="ring" cx="%.1f" cy="%d" r="5"/>`, x(r.ring), y+9)
			end = max(end, x(r.ring)+5)
		}
		if aim > 0 {
			end = max(end, x(aim))
		}
		fmt.Fprintf(&b, `<text x="%.1f" y="%d">%s</text>`+"\n", end+5, y+14, html.EscapeString(r.figure))
	}
	if aim > 0 {
		fmt.Fprintf(&b, `<path class="aim" d="M%.1f,2V%d"/>`, x(aim), barHigh*len(bars)+4)
	}
	b.WriteString("</svg>")
	return template.HTML(b.String())
}

// dumbbells draws first and latest times on a scale that ends at full seconds, with the
// aim of each as a rule.
func dumbbells(title string, speeds []Speed, full float64, name func(Speed) string) template.HTML {
	x := func(v float64) float64 { return labelWide + v/full*(chartWide-labelWide-figureEnd) }
	var b strings.Builder
	low := barHigh*len(speeds) + 4
	open(&b, title, low+18)
	for _, v := range ticks(full) {
		if v <= full {
			fmt.Fprintf(&b, `<line class="axis" x1="%.1f" y1="2" x2="%.1f" y2="%d"/><text x="%.1f" y="%d" text-anchor="middle">%.0f</text>`, x(v), x(v), low, x(v), low+14, v)
		}
	}
	fmt.Fprintf(&b, `<text x="%.1f" y="%d">seconds</text>`+"\n", x(full)+12, low+14)
	for i, s := range speeds {
		y, class := barHigh*i+15, "way"
		if s.slower() {
			class = "slower"
		}
		fmt.Fprintf(&b, `<text x="%d" y="%d" text-anchor="end">%s</text>`, labelWide-6, y+4, html.EscapeString(shorten(name(s))))
		if s.Aim > 0 {
			fmt.Fprintf(&b, `<path class="aim" d="M%.1f,%dV%d"/>`, x(s.Aim), y-barHigh/2, y+barHigh/2)
		}
		if s.First > 0 {
			fmt.Fprintf(&b, `<path class="%s" d="M%.1f,%dH%.1f"/><circle class="ring" cx="%.1f" cy="%d" r="4"/>`, class, x(s.First), y, x(s.Latest), x(s.First), y)
		}
		fmt.Fprintf(&b, `<circle class="%s" cx="%.1f" cy="%d" r="5"/><text x="%.1f" y="%d">%.1f</text>`+"\n",
			class+"dot", x(s.Latest), y, x(full)+12, y+4, s.Latest)
	}
	b.WriteString("</svg>")
	return template.HTML(b.String())
}

// circle draws the keys as a clock, the first of them at the top and a fifth up
// from each to the next: a sector is full at 100 %, and the keys that coming gigs call
// are in bold.
func circle(title string, keys []Key) template.HTML {
	const centre, outer, high = chartWide / 2, 120.0, 310
	var b strings.Builder
	open(&b, title, high)
	at := func(i, r float64) string {
		angle := 2*math.Pi*i/float64(len(keys)) - math.Pi/2
		return fmt.Sprintf("%.1f,%.1f", centre+r*math.Cos(angle), high/2+r*math.Sin(angle))
	}
	for i, k := range keys {
		from, to := float64(i)-0.5, float64(i)+0.5
		sector := func(class string, r float64) {
			fmt.Fprintf(&b, `<path class="%s" d="M%s L%s A%.1f,%.1f 0 0 1 %sZ"/>`, class, at(from, 0), at(from, r), r, r, at(to, r))
		}
		if k.Asked > 0 {
			sector("bar", outer*math.Sqrt(min(1, k.Fluency))) // as much of its ground
		}
		sector("sector", outer)
		name, _, _ := strings.Cut(k.Name, " ")
		figure, weight := "-", ""
		if k.Asked > 0 {
			figure = fmt.Sprint(percent(k.Fluency))
		}
		if k.Called {
			weight = ` font-weight="bold"`
		}
		x, y, _ := strings.Cut(at(float64(i), outer+18), ",")
		fmt.Fprintf(&b, `<text x="%s" y="%s" dy="4" text-anchor="middle"%s>%s %s</text>`+"\n", x, y, weight, html.EscapeString(name), figure)
	}
	b.WriteString("</svg>")
	return template.HTML(b.String())
}

// scatter sets observed shares over predicted ones, with the line on which they
// would be equal.
func scatter(title string, tenths []Tenth) template.HTML {
	const high, left, low = 260, 50.0, 220.0
	x := func(v float64) float64 { return left + v*(chartWide-left-20) }
	y := func(v float64) float64 { return low - v*(low-20) }
	most := 1
	for _, t := range tenths {
		most = max(most, t.Answers)
	}
	var b strings.Builder
	open(&b, title, high)
	for _, v := range []float64{0, 0.5, 1} {
		fmt.Fprintf(&b, `<line class="axis" x1="%.0f" y1="%.1f" x2="%d" y2="%.1f"/><text x="%.0f" y="%.1f" text-anchor="end">%.0f %%</text><text x="%.1f" y="%.0f" text-anchor="middle">%.0f %%</text>`+"\n",
			left, y(v), chartWide-20, y(v), left-6, y(v)+4, 100*v, x(v), low+16, 100*v)
	}
	fmt.Fprintf(&b, `<line class="even" x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f"/><text x="%d" y="%d" text-anchor="middle">across: predicted; up: observed</text>`+"\n",
		x(0), y(0), x(1), y(1), chartWide/2+15, high-6)
	for _, t := range tenths {
		fmt.Fprintf(&b, `<circle class="dot" cx="%.1f" cy="%.1f" r="%.1f"/>`+"\n",
			x(t.Predicted), y(t.Observed), 3+9*math.Sqrt(float64(t.Answers)/float64(most)))
	}
	b.WriteString("</svg>")
	return template.HTML(b.String())
}

// shorten keeps a label to the room that it has; the table has it whole.
func shorten(name string) string {
	return ansi.Truncate(name, 17, "…")
}

// open begins a picture with its title for those who don't see it.
func open(b *strings.Builder, title string, high int) {
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" role="img" aria-label="%s">`+"\n", chartWide, high, html.EscapeString(title+"; the table below has the figures"))
}
