package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"
)

// A goal is one thing that the planner must show.
type goal struct {
	wanted, got string
	met         bool
}

// A verdict holds all that goals are judged by.
type verdict struct {
	bank      bank
	all       []played
	crowd     crowd
	cheats    []played // the references, and the rules again with the players that they played
	profiles  []played // the planner and few at a time, with the named players
	forecasts []forecast
	foretold  []bankPlayer // whose they are
}

func find(all []played, name string) played {
	for _, p := range all {
		if p.Name == name {
			return p
		}
	}
	panic("no rule is called " + name) // the names are ours
}

func (v *verdict) ours() played { return find(v.all, planner) }

// best is the baseline with the most of a number.
func best(all []played, of func([]record) float64) played {
	var found played
	most := math.Inf(-1)
	for _, p := range all {
		if x := of(p.records); x > most && p.isBaseline() {
			found, most = p, x
		}
	}
	return found
}

// goals are those of every bank. The third asks for half as much of the frontier.
func (v *verdict) goals() []goal {
	return slices.Concat(v.frontierGoals(), v.shareGoals(), v.topicGoals(), v.sittingGoals(), v.gigGoals(), v.forecastGoals())
}

func (v *verdict) frontierGoals() []goal {
	part := 1.0
	if v.bank.name == "other" {
		part = 0.5
	}
	u, atFluent, f, atUsable := newFrontier(v.all).compare()
	said := func(ratio float64, other string, at float64) string {
		if ratio == 0 {
			return fmt.Sprintf("the curve does not reach a %s share of %.1f %%", other, at)
		}
		return fmt.Sprintf("%+.1f %% at least, where the %s share is %.1f %%", 100*(ratio-1), other, at)
	}
	return []goal{
		{fmt.Sprintf("usable share at equal fluent share %.0f %% above the frontier", 10*part),
			said(u, "fluent", atFluent), u-1 >= 0.10*part},
		{fmt.Sprintf("fluent share at equal usable share %.1f %% above the frontier", 5*part),
			said(f, "usable", atUsable), f-1 >= 0.05*part},
	}
}

// shareGoals judge the shipped point, and the worst tenth of the players.
func (v *verdict) shareGoals() []goal {
	var goals []goal
	for _, g := range []struct {
		m     measure
		least float64
		text  string
	}{
		{usable, 0.15, "usable share 15 % above the best baseline's"},
		{fluent, -0.20, "fluent share at least 80 % of the best baseline's"},
	} {
		rival := best(v.all, g.m.mean)
		gain := gainOf(g.m.each(v.ours().records), g.m.each(rival.records))
		points := paired(g.m.each(v.ours().records), g.m.each(rival.records))
		room := ""
		for _, c := range v.cheats {
			if c.kind == cheating {
				room += fmt.Sprintf("; %s %+.0f %%", c.Name, 100*(g.m.mean(c.records)/g.m.mean(find(v.cheats, rival.Name).records)-1))
			}
		}
		goals = append(goals, goal{g.text, fmt.Sprintf("%.2f, %s (%.1f ± %.1f points) to %s%s",
			g.m.mean(v.ours().records), gain.percent(), points.Mean, points.Half, rival.Name, room), gain.Mean >= g.least})
	}
	for _, m := range []measure{usable, fluent} {
		rival := best(v.all, m.worstTenth)
		x, y := m.worstTenth(v.ours().records), m.worstTenth(rival.records)
		goals = append(goals, goal{"worst tenth of the players, each rule's own: " + m.name + " share not below the best baseline's",
			fmt.Sprintf("%.2f, %s %.2f", x, rival.Name, y), x >= y})
	}
	return goals
}

func (v *verdict) topicGoals() []goal {
	var goals []goal
	for _, g := range []struct {
		name  string
		least float64
	}{{"beginner", 10}, {"four-years", 12}} {
		x := firmOn(60).mean(find(v.profiles, planner).ofProfile(g.name))
		rival, most := "", math.Inf(-1)
		for _, p := range v.profiles {
			if y := firmOn(60).mean(p.ofProfile(g.name)); p.kind != planner && y > most {
				rival, most = p.Name, y
			}
		}
		goals = append(goals, goal{fmt.Sprintf("topics sure at 0.9 on day 60, %s: %.0f", g.name, g.least), fmt.Sprintf("%.1f; %s %.1f", x, rival, most), x >= g.least})
	}
	first := func(p played) (middle, slow float64) {
		return median(firstDays(p.records)), slowest(firstDays(p.of(v.crowd.quick)))
	}
	middle, slow := first(v.ours())
	rivalMiddle, rivalSlow := first(find(v.all, fewAtATime+" "+limitName(limits[0])))
	return append(goals,
		goal{"first topic sure by day 5 in the median", fmt.Sprintf("day %.0f; few at a time 10: %.0f", middle, rivalMiddle), middle <= 5},
		goal{"and by day 14 for the slowest quarter of those whose speed can reach the aim", fmt.Sprintf("day %.0f; few at a time 10: %.0f", slow, rivalSlow), slow <= 14})
}

// sittingGoals judge how a sitting is. "At most" is judged at nine players in ten.
func (v *verdict) sittingGoals() []goal {
	of := func(name string) measure {
		k := slices.IndexFunc(sittingMeasures, func(m measure) bool { return m.name == name })
		return sittingMeasures[k]
	}
	all, beginners := v.ours().records, v.ours().of(v.crowd.beginner)
	most := of("at most").each(all)
	slices.Sort(most)
	nine := most[(len(most)*9+9)/10-1]
	fresh, right, under := of("new day 1").mean(beginners), of("right").mean(beginners), of("under 20").mean(all)
	return []goal{
		{"asked, never yet sure, not parked at a sitting's end: 25 at most", fmt.Sprintf("%.0f at most for nine players in ten, %.0f for any, %.1f on the mean", nine, most[len(most)-1], of("open").mean(all)), nine <= 25},
		{"new on a beginner's first day: 15 at most", fmt.Sprintf("%.1f on the mean", fresh), fresh <= 15},
		{"right answers in a beginner's first ten sittings: 70 to 92 %", fmt.Sprintf("%.1f %%", right), right >= 70 && right <= 92},
		{"sittings under 20 % fluent after day 7: under 7 %", fmt.Sprintf("%.1f %%", under), under < 7},
	}
}

// gigGoals judge what a gig brings and costs.
func (v *verdict) gigGoals() []goal {
	var told, only played
	most := math.Inf(-1)
	gig := measure{"gig", "", 100, func(r *record) float64 { return r.gig }}
	for _, p := range v.all {
		switch {
		case p.Name == toldOfGig:
			told = p
		case p.kind == gigKind && gig.mean(p.records) > most:
			only, most = p, gig.mean(p.records)
		}
	}
	on := func(day int) measure {
		return measure{"", "", 100, func(r *record) float64 { return r.fluent[day-1] }}
	}
	against := func(m measure, rival played) interval { return paired(m.each(told.records), m.each(rival.records)) }
	onTheDay, later, end := against(gig, only), against(on(30), v.ours()), against(on(60), v.ours())
	return []goal{
		{"gig's items on its day within 2 points of practising nothing else", fmt.Sprintf("%.1f; %s points (%s)", gig.mean(told.records), onTheDay.points(), only.Name), onTheDay.Mean >= -2},
		{"whole board on day 30 within 5 points of no gig", later.points(), later.Mean >= -5},
		{"whole board on day 60 within 1 point of no gig", end.points(), end.Mean >= -1},
	}
}

// forecastGoals judge readiness and predictions.
func (v *verdict) forecastGoals() []goal {
	var goals []goal
	for _, g := range []struct {
		text string
		in   func(forecast) bool
	}{
		{"readiness of a gig: 90 % ranges hold 87 to 93 %", func(f forecast) bool { return !f.song }},
		{"the same two weeks ahead", func(f forecast) bool { return !f.song && f.before == 14 }},
	} {
		n, held, width := 0.0, 0.0, 0.0
		for _, f := range v.forecasts {
			if g.in(f) {
				n++
				held += float64(one(f.holds()))
				width += f.high - f.low
			}
		}
		goals = append(goals, goal{g.text, fmt.Sprintf("%.1f %%, %.2f wide", 100*held/n, width/n), held/n >= 0.87 && held/n <= 0.93})
	}
	at, worst := worstOf(sumTenths(v.ours().records))
	off := make([]float64, len(v.ours().records))
	for i, r := range v.ours().records {
		off[i] = meanOff(r.tenths)
	}
	slices.Sort(off)
	tail := mean(off[len(off)-max(len(off)/10, 1):])
	return append(goals,
		goal{"predicted against observed fluency within 0.05 in each tenth", fmt.Sprintf("worst %+.3f, where %.1f to %.1f was predicted", worst, float64(at)/10, float64(at+1)/10), math.Abs(worst) <= 0.05},
		goal{"and 0.08 off for the worst tenth of the players", fmt.Sprintf("%.3f, mean over tenths", tail), tail <= 0.08})
}

// sumTenths adds the tenths of all players.
func sumTenths(of []record) (sum [10]tenth) {
	for _, r := range of {
		for i, t := range r.tenths {
			sum[i].n += t.n
			sum[i].predicted += t.predicted
			sum[i].observed += t.observed
		}
	}
	return sum
}

// error is observed less predicted; a tenth with fewer than 100 answers says nothing.
func (t tenth) error() (float64, bool) {
	return (t.observed - t.predicted) / float64(max(t.n, 1)), t.n >= 100
}

func worstOf(tenths [10]tenth) (at int, worst float64) {
	for i, t := range tenths {
		if e, enough := t.error(); enough && math.Abs(e) > math.Abs(worst) {
			at, worst = i, e
		}
	}
	return at, worst
}

// meanOff is how far predictions are off, tenth by tenth, weighted by their answers.
func meanOff(tenths [10]tenth) float64 {
	sum, n := 0.0, 0
	for _, t := range tenths {
		if e, enough := t.error(); enough {
			sum += math.Abs(e) * float64(t.n)
			n += t.n
		}
	}
	return sum / float64(max(n, 1))
}

func (v *verdict) print(w io.Writer, players, draw int) {
	drawn := "settings were chosen on it"
	if v.bank.name != banks[0].name {
		drawn = fmt.Sprintf("draw %d of it", draw)
	}
	fmt.Fprintf(w, "| goal, %d players of the bank \"%s\" (%s) | came to | met |\n| --- | --- | --- |\n", players, v.bank.name, drawn)
	met := 0
	goals := v.goals()
	for _, g := range goals {
		fmt.Fprintf(w, "| %s | %s | %s |\n", g.wanted, g.got, map[bool]string{true: "yes", false: "**no**"}[g.met])
		met += one(g.met)
	}
	fmt.Fprintf(w, "\n%d of %d met. After ± are 95 %% intervals: of points Student's over players' paired\ndifferences, of percentages a bootstrap over players.\n\n", met, len(goals))
}

// printShort writes the few lines that are quoted elsewhere.
func (v *verdict) printShort(w io.Writer, players int) {
	fmt.Fprintf(w, "In short: %d simulated players, 60 days of ten minutes, mean share of the board in %%\n\n", players)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(t, "in topics that are sure\tright in time\t\n")
	row := func(as string, usable, fluent float64) { fmt.Fprintf(t, "%.1f\t%.1f\t  %s\n", usable, fluent, as) }
	of := func(as string, p played) { row(as, usable.mean(p.records), fluent.mean(p.records)) }
	of(random, find(v.all, random))
	if u, f := best(v.all, usable.mean), best(v.all, fluent.mean); u.Name == f.Name {
		of("best baseline for both: "+u.Name, u)
	} else {
		of("best baseline for topics: "+u.Name, u)
		of("best baseline for single facts: "+f.Name, f)
	}
	of("Surefret", v.ours())
	// With the players that a reference played they are paired.
	for _, c := range v.cheats {
		if c.kind == cheating {
			room := func(m measure) float64 {
				return m.mean(v.ours().records) + m.mean(c.records) - m.mean(find(v.cheats, planner).records)
			}
			row(strings.TrimSuffix(c.Name, ","), room(usable), room(fluent))
		}
	}
	t.Flush()
	fmt.Fprintln(w)
}
