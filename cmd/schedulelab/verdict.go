package main

import (
	"fmt"
	"math"
	"strings"
)

// A Bar is one thing that the planner must show.
type Bar struct {
	Wanted string
	Got    string
	Met    bool
	Why    string // in words, where it is not met and the reason is known
}

// best returns the name with the largest mean of m in the cells.
func (l *Lab) best(names []string, m measure, in func(int) bool) string {
	best, most := "", math.Inf(-1)
	for _, n := range names {
		if v := l.mean(n, m, in); v > most {
			best, most = n, v
		}
	}
	return best
}

// ten picks the names of one rule meeting ten items a day.
func ten(names []string, prefix string) []string {
	var out []string
	for _, n := range names {
		if strings.HasPrefix(n, prefix) && strings.Contains(n, "meeting 10 facts a day") {
			out = append(out, n)
		}
	}
	return out
}

// fluencyBars judge the mean of the days. Beside each stands what the reference
// reaches on the seeds that it played.
func (l *Lab) fluencyBars(names []string, cheat *Lab) []Bar {
	ours := l.bySeed(planner, courseMean, nil)
	bar := func(rival, as string, least float64) Bar {
		g := gain(ours, l.bySeed(rival, courseMean, nil))
		room := gain(cheat.bySeed(cheating, courseMean, nil), cheat.bySeed(rival, courseMean, nil))
		return Bar{
			fmt.Sprintf("mean of days 1-60 at least %.0f %% above %s", 100*least, as),
			fmt.Sprintf("%s (%s); the reference %+.1f %%", g.percent(), rival, 100*room.Mean),
			g.Mean >= least,
			"",
		}
	}
	return []Bar{
		bar(l.best(names, courseMean, nil), "the best single baseline", 0.03),
		bar(l.best(ten(names, growingGaps), courseMean, nil), growingGaps+" meeting ten facts a day", 0.20),
		bar(l.best(ten(names, "Leitner"), courseMean, nil), "Leitner meeting ten facts a day", 0.20),
	}
}

var lookDays = []int{21, 30, 60}

// cellBars judge every family and size on three days.
func (l *Lab) cellBars(names []string) []Bar {
	var behind, belowRandom []string
	worst, cells := 0.0, 0
	for c := range l.Cells() {
		for _, d := range lookDays {
			cells++
			family, size := l.Cell(c)
			where := fmt.Sprintf("%s %d day %d", family, size, d)
			ours := l.bySeed(planner, onDay(d), only(c))
			best := l.best(names, onDay(d), only(c))
			gap := paired(ours, l.bySeed(best, onDay(d), only(c)))
			worst = min(worst, gap.Mean)
			if gap.Mean < -0.02 {
				days := paired(l.bySeed(planner, courseMean, only(c)), l.bySeed(best, courseMean, only(c)))
				behind = append(behind, fmt.Sprintf("%s: %s to %s; on the mean of the days %s", where, gap.points(), best, days.points()))
			}
			chance := paired(ours, l.bySeed(random, onDay(d), only(c)))
			if chance.Mean+chance.Half < 0 {
				belowRandom = append(belowRandom, where+": "+chance.points())
			}
		}
	}
	return []Bar{
		{
			"nowhere more than 2 points below the best baseline there, days 21, 30, 60",
			fmt.Sprintf("worst %+.1f points; too low in %d of %d%s", 100*worst, len(behind), cells, list(behind)),
			len(behind) == 0,
			"the planner begins with what gains most and helps other items most, and leaves the hardest for last: it leads\n" +
				"        early, and a rule that met everything at once may have more of them when the course ends",
		},
		{
			"nowhere below random by more than the interval",
			fmt.Sprintf("below in %d of %d%s", len(belowRandom), cells, list(belowRandom)),
			len(belowRandom) == 0,
			"",
		},
	}
}

func list(lines []string) string {
	if len(lines) == 0 {
		return ""
	}
	return "\n        " + strings.Join(lines, "\n        ")
}

// half is the median over the drawn seeds of the minutes until half was
// fluent, and whether that median is of courses where it ever was.
func (l *Lab) half(rule string, cell int, drawn []int) (minutes float64, reached bool) {
	x := make([]float64, len(drawn))
	never := 0
	for i, s := range drawn {
		r := l.At(rule, cell, s)
		x[i] = r.Half
		if r.Never {
			never++
		}
	}
	return median(x), 2*never < len(drawn)
}

// halves is the mean over the cells of those medians, among the cells where
// either rule gets there; a rule that doesn't counts with all its minutes.
func (l *Lab) halves(a, b string, drawn []int) (meanA, meanB float64, cells int) {
	for c := range l.Cells() {
		ma, okA := l.half(a, c, drawn)
		mb, okB := l.half(b, c, drawn)
		if okA || okB {
			meanA, meanB, cells = meanA+ma, meanB+mb, cells+1
		}
	}
	n := float64(max(cells, 1))
	return meanA / n, meanB / n, cells
}

func (l *Lab) allSeeds() []int {
	all := make([]int, len(l.Seeds))
	for i := range all {
		all[i] = i
	}
	return all
}

// tiny minutes keep a ratio finite where nobody gets there, or all at once.
const tiny = 1e-9

// minuteBars judge the minutes until half the board is fluent.
func (l *Lab) minuteBars(names []string, cheat *Lab) []Bar {
	bar := func(rivals []string, as string, least float64) Bar {
		hardest, ratio := "", math.Inf(1)
		for _, n := range rivals {
			a, b, _ := l.halves(planner, n, l.allSeeds())
			if r := (b + tiny) / (a + tiny); r < ratio {
				hardest, ratio = n, r
			}
		}
		saved := bootstrap(len(l.Seeds), func(drawn []int) float64 {
			a, b, _ := l.halves(planner, hardest, drawn)
			return 1 - (a+tiny)/(b+tiny)
		})
		_, _, cells := l.halves(planner, hardest, l.allSeeds())
		truth, rival, _ := cheat.halves(cheating, hardest, cheat.allSeeds())
		why := fmt.Sprintf("the reference, which sees what the player knows, comes to %.1f %% itself: up to half of a board\n"+
			"        all rules that meet new items at once climb nearly alike", 100*(1-(truth+tiny)/(rival+tiny)))
		if saved.Mean+saved.Half >= least {
			why = "it is met within the interval"
		}
		return Bar{
			fmt.Sprintf("median minutes to half fluent at least %.0f %% fewer than %s", 100*least, as),
			fmt.Sprintf("%.1f %% ± %.1f fewer in the %d of %d cells where either gets there (%s); the reference %.1f %%",
				100*saved.Mean, 100*saved.Half, cells, l.Cells(), hardest, 100*(1-(truth+tiny)/(rival+tiny))),
			saved.Mean >= least,
			why,
		}
	}
	return []Bar{
		bar(names, "the best single baseline, settings of our own among them", 0.10),
		bar(ten(names, growingGaps), growingGaps+" meeting ten facts a day", 0.35),
	}
}

// gigBars judge the gig.
func (l *Lab) gigBars() []Bar {
	var only []string
	for _, r := range gigRules() {
		only = append(only, r.Name)
	}
	best := l.best(only, gigShare, nil)
	against := func(rival string, m measure) Interval {
		return paired(l.bySeed(withGig, m, nil), l.bySeed(rival, m, nil))
	}
	onTheDay, later, end := against(best, gigShare), against(planner, onDay(30)), against(planner, onDay(60))
	return []Bar{
		{"gig's items on its day within 2 points of practising nothing else", onTheDay.points() + " (" + best + ")", onTheDay.Mean >= -0.02, ""},
		{"whole board on day 30 within 5 points of no gig", later.points(), later.Mean >= -0.05, ""},
		{"whole board on day 60 within 1 point of no gig", end.points(), end.Mean >= -0.01, ""},
	}
}

// tenths sums the calibration of the planner over seeds of the cells.
func (l *Lab) tenths(in func(int) bool) [10]Tenth {
	var sum [10]Tenth
	for c := range l.Cells() {
		if in != nil && !in(c) {
			continue
		}
		for s := range l.Seeds {
			for i, t := range l.At(planner, c, s).Tenths {
				sum[i].N += t.N
				sum[i].Predicted += t.Predicted
				sum[i].Observed += t.Observed
			}
		}
	}
	return sum
}

// error is observed less predicted; a tenth with fewer than 100 answers says
// nothing.
func (t Tenth) error() (float64, bool) {
	return (t.Observed - t.Predicted) / float64(max(t.N, 1)), t.N >= 100
}

func worstTenth(tenths [10]Tenth) (int, float64) {
	at, worst := 0, 0.0
	for i, t := range tenths {
		if e, enough := t.error(); enough && math.Abs(e) > math.Abs(worst) {
			at, worst = i, e
		}
	}
	return at, worst
}

func (l *Lab) calibrationBar() Bar {
	at, worst := worstTenth(l.tenths(nil))
	alone, family := 0.0, ""
	for f, name := range l.Families {
		if _, e := worstTenth(l.tenths(l.ofFamily(f))); math.Abs(e) > math.Abs(alone) {
			alone, family = e, name
		}
	}
	return Bar{
		"predicted against observed fluency within 0.05 in each tenth after 1,000 answers",
		fmt.Sprintf("worst %+.3f, where %.1f to %.1f was predicted; in one family alone %+.3f (%s)", worst, float64(at)/10, float64(at+1)/10, alone, family),
		math.Abs(worst) <= 0.05,
		"the planner asks what it hopes most of, so what it asks is probably a little less fluent than foretold",
	}
}
