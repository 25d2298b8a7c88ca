package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// print writes the one table: rules against families and sizes, the cells, the
// gig, calibration, and the verdict.
func (l *Lab) print(w io.Writer, names []string, cheat *Lab) {
	l.printRules(w, names, cheat)
	l.printCells(w, names, cheat)
	l.printGig(w)
	l.printTenths(w)
	bars := l.fluencyBars(names, cheat)
	bars = append(bars, l.cellBars(names)...)
	bars = append(bars, l.minuteBars(names, cheat)...)
	bars = append(bars, l.gigBars()...)
	bars = append(bars, l.calibrationBar())
	fmt.Fprint(w, "\nVerdict, on means; the interval is beside each\n\n")
	met := 0
	for _, b := range bars {
		word := "NOT MET"
		if b.Met {
			word = "met    "
			met++
		}
		fmt.Fprintf(w, "%s %s:\n        %s\n", word, b.Wanted, b.Got)
		if !b.Met && b.Why != "" {
			fmt.Fprintf(w, "        Why: %s.\n", b.Why)
		}
	}
	fmt.Fprintf(w, "\n%d of %d met\n", met, len(bars))
	l.printShort(w, names, cheat)
}

// printShort writes the few lines that are quoted elsewhere.
func (l *Lab) printShort(w io.Writer, names []string, cheat *Lab) {
	fmt.Fprintf(w, "\nIn short, share of the board that is fluent, mean of %d days of ten minutes\n\n", courseDays)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	row := func(as string, share float64) { fmt.Fprintf(t, "%.1f %%\t  %s\n", 100*share, as) }
	of := func(name string) float64 { return l.mean(name, courseMean, nil) }
	row(random, of(random))
	row(growingGaps+", meeting ten facts a day", of(l.best(ten(names, growingGaps), courseMean, nil)))
	row("Leitner's boxes, meeting ten facts a day", of(l.best(ten(names, "Leitner"), courseMean, nil)))
	row(fmt.Sprintf("the best of %d baselines", len(candidates())), of(l.best(names, courseMean, nil)))
	row("Surefret", of(planner))
	// On the seeds that the reference played they are paired.
	room := cheat.mean(cheating, courseMean, nil) - cheat.mean(planner, courseMean, nil)
	row("a reference that cheats: it reads the player's mind", of(planner)+room)
	t.Flush()
}

func (l *Lab) printRules(w io.Writer, names []string, cheat *Lab) {
	fmt.Fprintf(w, "True fluent share in %%, mean of the evenings of days 1 to %d; differences from SUREFRET paired by seed, 95 %%\n\n", courseDays)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprint(t, "rule\tmean\tless SUREFRET\t")
	for _, f := range l.Families {
		fmt.Fprintf(t, "%s\t", f)
	}
	for _, n := range l.Sizes {
		fmt.Fprintf(t, "%d\t", n)
	}
	fmt.Fprintln(t, "day 21\t30\t60\tminutes to half\tanswers\tright")
	row := func(l *Lab, name string) {
		against := "\t"
		if name != planner {
			against = paired(l.bySeed(name, courseMean, nil), l.bySeed(planner, courseMean, nil)).points() + "\t"
		}
		fmt.Fprintf(t, "%s\t%.1f\t%s", name, 100*l.mean(name, courseMean, nil), against)
		for f := range l.Families {
			fmt.Fprintf(t, "%.1f\t", 100*l.mean(name, courseMean, l.ofFamily(f)))
		}
		for n := range l.Sizes {
			fmt.Fprintf(t, "%.1f\t", 100*l.mean(name, courseMean, l.ofSize(n)))
		}
		for _, d := range lookDays {
			fmt.Fprintf(t, "%.1f\t", 100*l.mean(name, onDay(d), nil))
		}
		minutes, never := 0.0, 0
		for c := range l.Cells() {
			m, reached := l.half(name, c, l.allSeeds())
			minutes += m / float64(l.Cells())
			if !reached {
				never++
			}
		}
		note := ""
		if never > 0 {
			note = fmt.Sprintf(" (never in %d)", never)
		}
		answers := l.mean(name, func(r *Record) float64 { return float64(r.Answers) }, nil)
		right := l.mean(name, func(r *Record) float64 { return float64(r.Right) / float64(r.Answers) }, nil)
		fmt.Fprintf(t, "%.0f%s\t%.0f\t%.0f %%\n", minutes, note, answers, 100*right)
	}
	for _, n := range names {
		row(l, n)
	}
	row(l, planner)
	row(cheat, cheating)
	t.Flush()
	fmt.Fprintf(w, "\nThe reference reads the player's true state, which no rule may; it played seeds %s,\n", seedRange(cheat.Seeds))
	fmt.Fprint(w, "and its difference is against SUREFRET on those. Minutes to half: the median over seeds, mean over\n",
		"families and sizes; where it was never reached all minutes practised count.\n")
}

func (l *Lab) printCells(w io.Writer, names []string, cheat *Lab) {
	fmt.Fprint(w, "\nBy family and size: SUREFRET, less the best baseline there, less random;\nand the room left, the reference less SUREFRET (points)\n\n")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprint(t, "family\titems\tmean 1-60\tbest there\troom left\t")
	for _, d := range lookDays {
		fmt.Fprintf(t, "day %d\tbest there\trandom\t", d)
	}
	fmt.Fprintln(t, "minutes to half\tbest there")
	for c := range l.Cells() {
		family, size := l.Cell(c)
		ours := l.bySeed(planner, courseMean, only(c))
		rival := l.bySeed(l.best(names, courseMean, only(c)), courseMean, only(c))
		room := paired(cheat.bySeed(cheating, courseMean, only(c)), cheat.bySeed(planner, courseMean, only(c)))
		fmt.Fprintf(t, "%s\t%d\t%.1f\t%s\t%s\t", family, size, 100*mean(ours), paired(ours, rival).points(), room.points())
		for _, d := range lookDays {
			ours := l.bySeed(planner, onDay(d), only(c))
			rival := l.bySeed(l.best(names, onDay(d), only(c)), onDay(d), only(c))
			chance := l.bySeed(random, onDay(d), only(c))
			fmt.Fprintf(t, "%.1f\t%s\t%s\t", 100*mean(ours), paired(ours, rival).points(), paired(ours, chance).points())
		}
		minutes := func(name string) (float64, string) {
			m, reached := l.half(name, c, l.allSeeds())
			if !reached {
				return m, "never"
			}
			return m, fmt.Sprintf("%.0f", m)
		}
		_, mine := minutes(planner)
		least, best := 1e9, ""
		for _, n := range names {
			if m, text := minutes(n); m < least {
				least, best = m, text
			}
		}
		fmt.Fprintf(t, "%s\t%s\n", mine, best)
	}
	t.Flush()
}

func (l *Lab) printGig(w io.Writer) {
	fmt.Fprintf(w, "\nA gig on the evening of day %d, known from day %d, needing one item in %d: fluent share in %%\n\n", gigDay, gigKnown, gigFraction)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "rule\tgig's items on the day\tboard day 30\tboard day 60\t"+strings.Join(l.Families, "\t")+"\t(gig's items by family)")
	rules := []string{planner, withGig}
	for _, r := range gigRules() {
		rules = append(rules, r.Name)
	}
	for _, n := range rules {
		label := n
		if n == planner {
			label += ", not told of it"
		}
		end := "-" // those who practise only the gig stop on day 30
		if share := l.mean(n, onDay(60), nil); share > 0 {
			end = fmt.Sprintf("%.1f", 100*share)
		}
		fmt.Fprintf(t, "%s\t%.1f\t%.1f\t%s\t", label, 100*l.mean(n, gigShare, nil), 100*l.mean(n, onDay(30), nil), end)
		for f := range l.Families {
			fmt.Fprintf(t, "%.1f\t", 100*l.mean(n, gigShare, l.ofFamily(f)))
		}
		fmt.Fprintln(t)
	}
	t.Flush()
}

func (l *Lab) printTenths(w io.Writer) {
	fmt.Fprintf(w, "\nPredicted and observed fluency of SUREFRET's questions after %d answers, by tenths of what was predicted\n\n", calibrateAt)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprint(t, "tenth\tanswers\tpredicted\tobserved\terror\t")
	for _, f := range l.Families {
		fmt.Fprintf(t, "%s\t", f)
	}
	fmt.Fprintln(t)
	all := l.tenths(nil)
	for i, a := range all {
		if a.N == 0 {
			continue
		}
		n := float64(a.N)
		e, _ := a.error()
		fmt.Fprintf(t, "%.1f-%.1f\t%d\t%.3f\t%.3f\t%+.3f\t", float64(i)/10, float64(i+1)/10, a.N, a.Predicted/n, a.Observed/n, e)
		for f := range l.Families {
			e, enough := l.tenths(l.ofFamily(f))[i].error()
			if enough {
				fmt.Fprintf(t, "%+.3f\t", e)
			} else {
				fmt.Fprint(t, "few\t")
			}
		}
		fmt.Fprintln(t)
	}
	t.Flush()
}

// printTuning writes the best settings of each kind of baseline, and the best
// meeting ten items a day.
func (l *Lab) printTuning(w io.Writer, all []candidate) {
	kinds := map[string][]candidate{}
	var order []string
	for _, c := range all {
		as := []string{c.kind}
		if c.perDay == 10 {
			as = append(as, c.kind+", meeting 10 facts a day")
		}
		if c.plain {
			as = append(as, c.kind+", as published")
		}
		for _, k := range as {
			if kinds[k] == nil {
				order = append(order, k)
			}
			kinds[k] = append(kinds[k], c)
		}
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, k := range order {
		list := kinds[k]
		sortBy(list, func(c candidate) float64 { return -l.mean(c.name, courseMean, nil) })
		fmt.Fprintf(t, "%s, best of %d settings\t\n", k, len(list))
		for i, c := range list {
			if i < 4 || i == len(list)-1 {
				minutes := 0.0
				for cell := range l.Cells() {
					m, _ := l.half(c.name, cell, l.allSeeds())
					minutes += m / float64(l.Cells())
				}
				fmt.Fprintf(t, "  %s\t%.2f\t%.0f min\n", c.name, 100*l.mean(c.name, courseMean, nil), minutes)
			}
		}
	}
	t.Flush()
}
