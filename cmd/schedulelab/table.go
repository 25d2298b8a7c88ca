package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"text/tabwriter"
)

// A measure reads one number off a record.
type measure struct {
	name  string // at the head of a column
	note  string // under the table
	scale float64
	of    func(*record) float64
}

// The headline is the usable share, with the fluent share always beside it.
var (
	usable = measure{"usable", "share of the board that lies in topics sure at 0.8, %, mean of the evenings of days 1 to 60", 100,
		func(r *record) float64 { return mean(r.usable[:shareDays]) }}
	fluent = measure{"fluent", "share of the board that would be right in time, %, likewise", 100,
		func(r *record) float64 { return mean(r.fluent[:shareDays]) }}
)

func topicsOn(day int) measure {
	return measure{fmt.Sprintf("topics %d", day), "", 1, func(r *record) float64 { return r.topics[day-1] }}
}

func firmOn(day int) measure {
	return measure{fmt.Sprintf("at 0.9 on %d", day), "", 1, func(r *record) float64 { return r.firm[day-1] }}
}

func share(part, all func(*record) int) func(*record) float64 {
	return func(r *record) float64 { return float64(part(r)) / float64(max(all(r), 1)) }
}

// sittingMeasures say how a sitting is.
var sittingMeasures = []measure{
	{"half known", "items asked and truly under 0.8 at a sitting's end", 1, func(r *record) float64 { return r.halfKnown }},
	{"open", "asked, never yet sure and not parked (asked in under ten sittings), at a sitting's end", 1, func(r *record) float64 { return r.open }},
	{"at most", "the largest of that", 1, func(r *record) float64 { return r.openMost }},
	{"new day 1", "new items on the first day", 1, func(r *record) float64 { return float64(r.newFirst) }},
	{"right", "right answers in the first ten sittings, %", 100, share(func(r *record) int { return r.right }, func(r *record) int { return r.early })},
	{"under 20", "sittings after day 7 with under 20 % fluent answers, %", 100, share(func(r *record) int { return r.under20 }, func(r *record) int { return r.sittings })},
	{"under 50", "and under 50 %", 100, share(func(r *record) int { return r.under50 }, func(r *record) int { return r.sittings })},
	{"time on sure", "of the time, that on items that were truly sure already, %", 100, func(r *record) float64 { return r.sureSeconds / r.seconds }},
	{"unasked", "families not asked by day 14", 1, func(r *record) float64 { return float64(r.unasked) }},
	{"basics", "of the basic items, those met in the first 21 sittings, %", 100, func(r *record) float64 { return r.basics }},
	{"tomorrow", "minutes that tomorrow wants, by the rule's own word", 1, func(r *record) float64 { return r.tomorrow }},
	{"answers", "in all", 1, func(r *record) float64 { return float64(r.answers) }},
}

// each reads a measure off every record, in its unit.
func (m measure) each(of []record) []float64 {
	all := make([]float64, len(of))
	for i := range of {
		all[i] = m.scale * m.of(&of[i])
	}
	return all
}

func (m measure) mean(of []record) float64 { return mean(m.each(of)) }

// worstTenth is the mean over the tenth of the players for whom the rule did worst.
func (m measure) worstTenth(of []record) float64 {
	all := m.each(of)
	slices.Sort(all)
	return mean(all[:max(len(all)/10, 1)])
}

// firstDays are the days of the first topic sure, in order, infinity for never.
func firstDays(of []record) []float64 {
	days := make([]float64, len(of))
	for i := range of {
		if days[i] = float64(of[i].first); of[i].first == 0 {
			days[i] = math.Inf(1)
		}
	}
	slices.Sort(days)
	return days
}

// slowest is the median of the slowest quarter.
func slowest(days []float64) float64 { return median(days[len(days)*3/4:]) }

// A played is a rule with what came of it, by player.
type played struct {
	candidate
	records []record
}

// of keeps the records of the players that in accepts.
func (p played) of(in []bool) []record {
	var kept []record
	for n, r := range p.records {
		if in[n] {
			kept = append(kept, r)
		}
	}
	return kept
}

// A crowd is what is known of the players of a bank.
type crowd struct {
	beginner, years, old, quick []bool
}

func (b bank) crowd(m *material, players int) (crowd, error) {
	c := crowd{make([]bool, players), make([]bool, players), make([]bool, players), make([]bool, players)}
	err := parallel(players, func(n int) (err error) {
		p := b.player(n)
		c.beginner[n] = p.Known == 0
		c.old[n] = p.Known >= 0.5
		c.years[n] = !c.beginner[n] && !c.old[n]
		c.quick[n], err = m.canBeQuick(p)
		return err
	})
	return c, err
}

func printTables(w io.Writer, all []played, c crowd) {
	all = slices.DeleteFunc(slices.Clone(all), func(p played) bool { return p.kind == gigKind })
	everyone := make([]bool, len(c.quick))
	for n := range everyone {
		everyone[n] = true
	}
	for _, g := range []struct {
		name string
		in   []bool
	}{{"all players", everyone}, {"beginners", c.beginner}, {"some years", c.years}, {"old hands", c.old}} {
		if slices.Contains(g.in, true) {
			printGroup(w, g.name, all, g.in, c.quick)
		}
	}
	for _, m := range slices.Concat([]measure{usable, fluent}, sittingMeasures) {
		fmt.Fprintf(w, "%s: %s\n", m.name, m.note)
	}
	fmt.Fprint(w, "worst: mean of the tenth of the players for whom the rule did worst; topics: sure at 0.8 on that day, and at 0.9;\n",
		"first: day of the first topic sure that was not brought along, median; slow quarter: the median of the slowest\n",
		"quarter of those whose speed can reach the aim\n")
}

func printGroup(w io.Writer, name string, all []played, in, quick []bool) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	days := []int{7, 14, 30, 60, 90}
	fmt.Fprintf(t, "%s (%d)\tusable\tworst\tfluent\tworst\t", name, len(all[0].of(in)))
	for _, d := range days {
		fmt.Fprintf(t, "topics %d\t", d)
	}
	fmt.Fprint(t, "at 0.9 on 60\ton 90\tfirst\tslow quarter\n")
	able := make([]bool, len(in))
	for n := range able {
		able[n] = in[n] && quick[n]
	}
	for _, p := range all {
		of := p.of(in)
		fmt.Fprintf(t, "%s\t%.2f\t%.2f\t%.2f\t%.2f\t", p.Name, usable.mean(of), usable.worstTenth(of), fluent.mean(of), fluent.worstTenth(of))
		number := func(day int, m measure) {
			if p.Until > 0 && day > p.Until {
				fmt.Fprint(t, "-\t")
				return
			}
			fmt.Fprintf(t, "%.1f\t", m.mean(of))
		}
		for _, d := range days {
			number(d, topicsOn(d))
		}
		number(60, firmOn(60))
		number(90, firmOn(90))
		fmt.Fprintf(t, "%.0f\t%.0f\n", median(firstDays(of)), slowest(firstDays(p.of(able))))
	}
	t.Flush()
	fmt.Fprintln(w)
	fmt.Fprintf(t, "%s (%d)\t", name, len(all[0].of(in)))
	for _, m := range sittingMeasures {
		fmt.Fprintf(t, "%s\t", m.name)
	}
	fmt.Fprintln(t)
	for _, p := range all {
		fmt.Fprintf(t, "%s\t", p.Name)
		for _, m := range sittingMeasures {
			if v := m.mean(p.of(in)); math.IsNaN(v) {
				fmt.Fprint(t, "-\t")
			} else {
				fmt.Fprintf(t, "%.1f\t", v)
			}
		}
		fmt.Fprintln(t)
	}
	t.Flush()
	fmt.Fprintln(w)
}

// printPoints writes both shares of every rule, as the frontier has them, and those of
// the references with the players that they played.
func printPoints(w io.Writer, v *verdict) {
	for _, g := range []struct {
		name string
		all  []played
	}{{"all players", v.all}, {fmt.Sprintf("the first %d players", len(v.cheats[0].records)), v.cheats}} {
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		fmt.Fprintf(t, "%s\tusable\tless SUREFRET\tfluent\tless SUREFRET\n", g.name)
		ours := find(g.all, planner)
		for _, p := range g.all {
			fmt.Fprintf(t, "%s\t", p.Name)
			for _, m := range []measure{usable, fluent} {
				fmt.Fprintf(t, "%.2f\t%s\t", m.mean(p.records), paired(m.each(p.records), m.each(ours.records)).points())
			}
			fmt.Fprintln(t)
		}
		t.Flush()
		fmt.Fprintln(w)
	}
}

// printTuning writes the best settings of each kind of baseline, for each share.
func printTuning(w io.Writer, all []played) {
	var kinds []string
	of := map[string][]played{}
	for _, p := range all {
		if of[p.kind] == nil {
			kinds = append(kinds, p.kind)
		}
		of[p.kind] = append(of[p.kind], p)
	}
	for _, m := range []measure{usable, fluent} {
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		for _, k := range kinds {
			slices.SortStableFunc(of[k], func(a, b played) int { return int(math.Copysign(1, m.mean(b.records)-m.mean(a.records))) })
			fmt.Fprintf(t, "%s: %s, best of %d settings\tusable\tfluent\n", m.name, k, len(of[k]))
			for i, p := range of[k] {
				if i < 3 || i == len(of[k])-1 {
					fmt.Fprintf(t, "  %s\t%.2f\t%.2f\n", p.Name, usable.mean(p.records), fluent.mean(p.records))
				}
			}
		}
		t.Flush()
		fmt.Fprintln(w)
	}
}
