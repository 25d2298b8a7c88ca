package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// A point is what a rule comes to in both shares, in %.
type point struct {
	name           string
	fluent, usable float64
}

func (p played) point() point {
	return point{p.Name, fluent.mean(p.records), usable.mean(p.records)}
}

// points of some rules, by the fluent share.
func pointsOf(all []played, in func(played) bool) []point {
	var points []point
	for _, p := range all {
		if in(p) {
			points = append(points, p.point())
		}
	}
	slices.SortStableFunc(points, func(a, b point) int { return int(math.Copysign(1, a.fluent-b.fluent)) })
	return points
}

// usableAt is the most usable share that a curve has at a fluent share of at least
// this: on the straight lines between its points, which are in order, or at a point that
// is better in both. It is 0 beyond the curve's end.
func usableAt(curve []point, fluent float64) float64 {
	most := 0.0
	for k, p := range curve {
		if p.fluent >= fluent {
			most = max(most, p.usable)
		}
		if k == 0 {
			continue
		}
		if q := curve[k-1]; q.fluent < fluent && fluent <= p.fluent {
			most = max(most, q.usable+(p.usable-q.usable)*(fluent-q.fluent)/(p.fluent-q.fluent))
		}
	}
	return most
}

// flipped swaps the two shares, so that what usableAt says is of the other.
func flipped(curve []point) []point {
	var out []point
	for _, p := range curve {
		out = append(out, point{p.name, p.usable, p.fluent})
	}
	slices.SortStableFunc(out, func(a, b point) int { return int(math.Copysign(1, a.fluent-b.fluent)) })
	return out
}

// outside is the least ratio of the planner's curve to the best of the others, over all
// shares from low to high: what it has more at an equal share. At says where it is least.
func outside(ours []point, others [][]point, low, high float64) (ratio, at float64) {
	ratio = math.Inf(1)
	const steps = 100
	for k := range steps + 1 {
		x := low + (high-low)*float64(k)/steps
		best := 0.0
		for _, c := range others {
			best = max(best, usableAt(c, x))
		}
		if best == 0 {
			continue
		}
		if r := usableAt(ours, x) / best; r < ratio {
			ratio, at = r, x
		}
	}
	return ratio, at
}

// A frontier holds the planner's curve against the curve of few at a time and against
// every single baseline.
type frontier struct {
	ours, few, single []point
}

func newFrontier(all []played) frontier {
	return frontier{
		pointsOf(all, func(p played) bool { return p.kind == planner }),
		pointsOf(all, func(p played) bool { return p.kind == fewAtATime }),
		pointsOf(all, func(p played) bool { return p.isBaseline() && p.kind != fewAtATime }),
	}
}

// compare says by how much the planner's curve lies outside in either share, between
// few at a time with ten and without a limit. Where it is inside, the ratio is under 1.
func (f frontier) compare() (usable, atFluent, fluent, atUsable float64) {
	others := [][]point{f.few}
	for _, p := range f.single {
		others = append(others, []point{p})
	}
	low, high := f.few[0], f.few[len(f.few)-1]
	usable, atFluent = outside(f.ours, others, low.fluent, high.fluent)
	for k := range others {
		others[k] = flipped(others[k])
	}
	least, most := low.usable, low.usable
	for _, p := range f.few {
		least, most = min(least, p.usable), max(most, p.usable)
	}
	fluent, atUsable = outside(flipped(f.ours), others, least, most)
	return usable, atFluent, fluent, atUsable
}

// The picture, in its own units.
const (
	pictureWidth, pictureHeight = 760.0, 460.0
	pictureLeft, pictureBottom  = 60.0, 50.0
)

// writePicture draws the frontier as SVG: the fluent share to the right, the usable
// share up.
func (f frontier) writePicture(w io.Writer, title string) error {
	every := slices.Concat(f.ours, f.few, f.single)
	right, top := 0.0, 0.0
	left := math.Inf(1)
	for _, p := range every {
		left, right, top = min(left, p.fluent), max(right, p.fluent), max(top, p.usable)
	}
	left, right, top = math.Floor(left)-1, math.Ceil(right)+1, math.Ceil(top)+1
	x := func(v float64) float64 {
		return pictureLeft + (v-left)/(right-left)*(pictureWidth-pictureLeft-20)
	}
	y := func(v float64) float64 {
		return pictureHeight - pictureBottom - v/top*(pictureHeight-pictureBottom-40)
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" font-family="sans-serif" font-size="12">
<title>%s</title>
<rect width="100%%" height="100%%" fill="#ffffff"/>
<text x="%.0f" y="22" font-size="14">%s</text>
`, pictureWidth, pictureHeight, title, pictureLeft, title)
	for v := left; v <= right; v += max(1, math.Round((right-left)/8)) {
		fmt.Fprintf(&b, "<line x1=\"%.1f\" x2=\"%.1f\" y1=\"%.1f\" y2=\"%.1f\" stroke=\"#dddddd\"/><text x=\"%.1f\" y=\"%.1f\" text-anchor=\"middle\">%.0f</text>\n",
			x(v), x(v), y(0), y(top), x(v), y(0)+16, v)
	}
	for v := 0.0; v <= top; v += max(1, math.Round(top/8)) {
		fmt.Fprintf(&b, "<line x1=\"%.1f\" x2=\"%.1f\" y1=\"%.1f\" y2=\"%.1f\" stroke=\"#dddddd\"/><text x=\"%.1f\" y=\"%.1f\" text-anchor=\"end\">%.0f</text>\n",
			x(left), x(right), y(v), y(v), x(left)-6, y(v)+4, v)
	}
	fmt.Fprintf(&b, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"middle\">fluent share, %%</text>\n", x((left+right)/2), pictureHeight-12)
	fmt.Fprintf(&b, "<text transform=\"translate(16 %.1f) rotate(-90)\" text-anchor=\"middle\">usable share, %%</text>\n", y(top/2))
	line := func(curve []point, colour, label string) {
		var path []string
		for k, p := range curve {
			path = append(path, fmt.Sprintf("%.1f,%.1f", x(p.fluent), y(p.usable)))
			if k+1 < len(curve) && x(curve[k+1].fluent)-x(p.fluent) < 12 {
				continue // the next one lies on it
			}
			short := strings.TrimPrefix(strings.TrimPrefix(p.name, fewAtATime+" "), planner+" ")
			fmt.Fprintf(&b, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"4\" fill=\"%s\"/><text x=\"%.1f\" y=\"%.1f\" fill=\"%s\">%s</text>\n",
				x(p.fluent), y(p.usable), colour, x(p.fluent)+6, y(p.usable)-6, colour, short)
		}
		fmt.Fprintf(&b, "<polyline points=\"%s\" fill=\"none\" stroke=\"%s\" stroke-width=\"2\"><title>%s</title></polyline>\n", strings.Join(path, " "), colour, label)
	}
	for _, p := range f.single {
		fmt.Fprintf(&b, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"3\" fill=\"#777777\"><title>%s</title></circle>\n", x(p.fluent), y(p.usable), p.name)
	}
	line(f.few, "#b0530a", "few at a time, by its limit")
	line(f.ours, "#11508c", "Surefret, by its limit")
	fmt.Fprintf(&b, "<text x=\"%.1f\" y=\"58\" fill=\"#11508c\">Surefret, by its limit</text><text x=\"%.1f\" y=\"74\" fill=\"#b0530a\">few at a time, by its limit</text><text x=\"%.1f\" y=\"90\" fill=\"#777777\">other baselines, each tuned</text>\n</svg>\n",
		x(left)+12, x(left)+12, x(left)+12)
	_, err := io.WriteString(w, b.String())
	return err
}
