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

// plot holds the scales of a chart over days.
type plot struct {
	from, to int
	most     float64
}

func newPlot(points []point) plot {
	p := plot{most: 1}
	for i, pt := range points {
		day, _ := dayNumber(pt.day)
		if i == 0 {
			p.from = day
		}
		p.to = max(p.to, day)
		p.most = max(p.most, pt.value)
	}
	return p
}

func (p plot) x(day string) float64 {
	n, _ := dayNumber(day)
	return 40 + float64(n-p.from)*(chartWide-60)/float64(max(1, p.to-p.from))
}

func (p plot) y(v float64) float64 { return curveHigh - 30 - v/p.most*(curveHigh-50) }

// axes draws three lines with their figures, and the first and the last day.
func (p plot) axes(b *strings.Builder, points []point) {
	for _, v := range []float64{0, p.most / 2, p.most} {
		fmt.Fprintf(b, `<line class="axis" x1="40" y1="%.1f" x2="%d" y2="%.1f"/><text x="34" y="%.1f" text-anchor="end">%.0f</text>`+"\n",
			p.y(v), chartWide-20, p.y(v), p.y(v)+4, v)
	}
	fmt.Fprintf(b, `<text x="40" y="%d">%s</text><text x="%d" y="%d" text-anchor="end">%s</text>`+"\n",
		curveHigh-8, html.EscapeString(points[0].day), chartWide-20, curveHigh-8, html.EscapeString(points[len(points)-1].day))
}

// curve draws values over days as a line.
func curve(title string, points []point) template.HTML {
	if len(points) == 0 {
		return ""
	}
	p := newPlot(points)
	var b strings.Builder
	open(&b, title, curveHigh)
	p.axes(&b, points)
	var line []string
	for _, pt := range points {
		line = append(line, fmt.Sprintf("%.1f,%.1f", p.x(pt.day), p.y(pt.value)))
	}
	fmt.Fprintf(&b, `<polyline class="line" points="%s"/></svg>`, strings.Join(line, " "))
	return template.HTML(b.String())
}

// spikes draws values over days as upright strokes, nothing where there is no
// value.
func spikes(title string, points []point) template.HTML {
	if len(points) == 0 {
		return ""
	}
	p := newPlot(points)
	var b strings.Builder
	open(&b, title, curveHigh)
	p.axes(&b, points)
	var path strings.Builder
	for _, pt := range points {
		fmt.Fprintf(&path, "M%.1f,%.1fV%.1f", p.x(pt.day), p.y(0), p.y(pt.value))
	}
	fmt.Fprintf(&b, `<path class="spikes" d="%s"/></svg>`, path.String())
	return template.HTML(b.String())
}

// A bar is one row of a bar chart.
type bar struct {
	name, figure string
	value        float64
	ring         float64 // another value of the same thing, 0 for none
	low, high    float64 // a range, none where both are 0
}

// barChart draws the bars; full is the value of a bar of full length, 0 for the
// largest there is.
func barChart(title string, bars []bar, full float64) template.HTML {
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
		fmt.Fprintf(&b, `<text x="%.1f" y="%d">%s</text>`+"\n", end+5, y+14, html.EscapeString(r.figure))
	}
	b.WriteString("</svg>")
	return template.HTML(b.String())
}

// circle draws the keys as a clock, the first of them at the top and a fifth up
// from each to the next, in the colours of the map; what was never asked is
// only a broken rim.
func circle(title string, keys []Key) template.HTML {
	const centre, outer, inner, high = chartWide / 2, 140.0, 60.0, 300
	var b strings.Builder
	open(&b, title, high)
	at := func(i, r float64) (x, y float64) {
		angle := 2*math.Pi*i/float64(len(keys)) - math.Pi/2
		return centre + r*math.Cos(angle), high/2 + r*math.Sin(angle)
	}
	for i, k := range keys {
		from, to := float64(i)-0.5, float64(i)+0.5
		x1, y1 := at(from, inner)
		x2, y2 := at(from, outer)
		x3, y3 := at(to, outer)
		x4, y4 := at(to, inner)
		name, _, _ := strings.Cut(k.Name, " ")
		x, y := at(float64(i), (outer+inner)/2)
		if k.Asked == 0 {
			x5, y5 := at(from+0.04, outer-2)
			x6, y6 := at(to-0.04, outer-2)
			fmt.Fprintf(&b, `<path class="unmet" d="M%.1f,%.1fA%.0f,%.0f 0 0 1 %.1f,%.1f"/><text x="%.1f" y="%.1f" text-anchor="middle">%s</text>`+"\n",
				x5, y5, outer-2, outer-2, x6, y6, x, y+4, html.EscapeString(name))
			continue
		}
		l := levels[step(k.Fluency)]
		fmt.Fprintf(&b, `<path class="sector" fill="%s" d="M%.1f,%.1fL%.1f,%.1fA%.0f,%.0f 0 0 1 %.1f,%.1fL%.1f,%.1fA%.0f,%.0f 0 0 0 %.1f,%.1fZ"/>`,
			l.fill, x1, y1, x2, y2, outer, outer, x3, y3, x4, y4, inner, inner, x1, y1)
		fmt.Fprintf(&b, `<text style="fill:%s" x="%.1f" y="%.1f" text-anchor="middle"><tspan font-weight="bold">%s</tspan> %.0f</text>`+"\n",
			l.ink, x, y+4, html.EscapeString(name), 100*k.Fluency)
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
	fmt.Fprintf(&b, `<line class="even" x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f"/><text x="%d" y="%d" text-anchor="middle">predicted; observed upward</text>`+"\n",
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
