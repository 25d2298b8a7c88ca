// Command schedulelab measures the promise of the program: that the planner's ten
// minutes make topics sure and keep the neck fluent better than any rule it was
// compared with. Simulated players, drawn from wide distributions, practise the real
// catalogue for ninety days by tuned baselines, by the planner, and by references
// that cheat; all rules meet the same players with the same luck.
//
// What it prints is the same for the same flags on any machine. How long it took
// goes to standard error.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"
)

const usage = `schedulelab plays simulated players against rules for what comes next.

  go run ./cmd/schedulelab                     the tables: 200 players of the bank "choose"
  go run ./cmd/schedulelab --players 20        the same with a few, some minutes
  go run ./cmd/schedulelab --bank verdict      others, on whom nothing was chosen; every draw
                                               is counted in testdata/schedulelab-draws.txt
  go run ./cmd/schedulelab --bank other        a third bank: other mechanisms of memory
  go run ./cmd/schedulelab --tune              which settings of the baselines are best
  go run ./cmd/schedulelab --course beginner   60 days of the program itself, day by day; also
                                               four-years, old-hand and bassist
  go run ./cmd/schedulelab --demo-log cmd/surefret/demo
                                               writes the practice that the demo shows

Flags:
`

// A plan is what the flags ask for.
type plan struct {
	bank    bank
	players int
	slow    int // how many of them the references and readiness are measured with
	tune    bool
	picture string // file for the frontier
	course  string // a named player
	demo    string // folder for the demo's logs
	asked   string // the flags as they were given, for the head of the table
}

func main() {
	p, err := readFlags(os.Args[1:], os.Stderr)
	if errors.Is(err, flag.ErrHelp) {
		return
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "schedulelab:", err)
		os.Exit(2)
	}
	began := time.Now()
	if err := p.run(os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "schedulelab:", err)
		os.Exit(1)
	}
	fmt.Fprintf(os.Stderr, "took %.0f s\n", time.Since(began).Seconds())
}

func readFlags(args []string, w io.Writer) (plan, error) {
	fs := flag.NewFlagSet("schedulelab", flag.ContinueOnError)
	fs.SetOutput(w)
	fs.Usage = func() { fmt.Fprint(w, usage); fs.PrintDefaults() }
	name := fs.String("bank", "choose", "whose players: choose, verdict or other")
	players := fs.Int("players", 200, "how many of them")
	slow := fs.Int("slow", 40, "with how many of them readiness and the references are measured, which is slow")
	picture := fs.String("picture", "", "also draw the frontier into this file, as SVG")
	tune := fs.Bool("tune", false, "compare all settings of the baselines instead")
	course := fs.String("course", "", "play 60 days of the program itself by day instead: beginner, four-years, old-hand or bassist")
	demo := fs.String("demo-log", "", "write the practice of the demo's players into this folder instead")
	if err := fs.Parse(args); err != nil {
		return plan{}, err
	}
	p := plan{players: *players, slow: *slow, picture: *picture, tune: *tune, course: *course, demo: *demo}
	if len(args) > 0 {
		p.asked = " " + strings.Join(args, " ")
	}
	if fs.NArg() > 0 {
		return p, fmt.Errorf("%q is no flag: leave it out, or see --help", fs.Arg(0))
	}
	k := slices.IndexFunc(banks, func(b bank) bool { return b.name == *name })
	if k < 0 || p.players < 1 || p.slow < 1 {
		return p, fmt.Errorf("--bank %s --players %d --slow %d: choose among choose, verdict and other, and at least one player", *name, *players, *slow)
	}
	p.bank = banks[k]
	if p.course != "" && !slices.ContainsFunc(profiles, func(f profile) bool { return f.name == p.course }) {
		return p, fmt.Errorf("--course %s: choose among beginner, four-years, old-hand and bassist", p.course)
	}
	if p.tune && p.bank.name != banks[0].name {
		return p, fmt.Errorf("--tune --bank %s: settings are chosen on the bank choose alone", *name)
	}
	return p, nil
}

func (p plan) run(w io.Writer) error {
	if p.demo != "" {
		return writeDemoLogs(context.Background(), p.demo)
	}
	if p.course != "" {
		fmt.Fprintf(w, "go run ./cmd/schedulelab%s\n", p.asked)
		return printCourse(context.Background(), w, p.course, shareDays)
	}
	c, err := newCatalogue(false)
	if err != nil {
		return err
	}
	m := newMaterial(c.Items())
	head := func() {
		fmt.Fprintf(w, "go run ./cmd/schedulelab%s\n%d players of the bank %q, %d days of ten minutes, %d items in %d topics\n\n",
			p.asked, p.players, p.bank.name, m.days, len(m.board.Items), len(m.topics))
	}
	if p.tune {
		m.days = shareDays
		all, err := p.bank.play(m, p.players, candidates())
		if err != nil {
			return err
		}
		head()
		printTuning(w, all)
		return nil
	}
	v, err := p.judge(m)
	if err != nil {
		return err
	}
	draw, err := p.count()
	if err != nil {
		return err
	}
	head()
	v.print(w, p.players, draw)
	v.printShort(w, p.players)
	printTables(w, v.all, v.crowd)
	printPoints(w, v)
	p.bank.printReadiness(w, v.forecasts, v.foretold)
	if p.picture == "" {
		return nil
	}
	f, err := os.Create(p.picture)
	if err != nil {
		return err
	}
	err = newFrontier(v.all).writePicture(f, fmt.Sprintf("%d players of the bank %s, sixty days of ten minutes", p.players, p.bank.name))
	return errors.Join(err, f.Close())
}

// judge plays all that the goals ask for.
func (p plan) judge(m *material) (*verdict, error) {
	v := &verdict{bank: p.bank}
	base := baselines()
	var err error
	if v.all, err = p.bank.play(m, p.players, slices.Concat(planners(), base, gigRules())); err != nil {
		return nil, err
	}
	if v.crowd, err = p.bank.crowd(m, p.players); err != nil {
		return nil, err
	}
	slow := min(p.slow, p.players)
	if v.cheats, err = p.bank.play(m, slow, references()); err != nil {
		return nil, err
	}
	for _, c := range v.all {
		v.cheats = append(v.cheats, played{c.candidate, c.records[:slow]})
	}
	few := slices.DeleteFunc(slices.Clone(base), func(c candidate) bool { return c.kind != fewAtATime })
	if v.profiles, err = playProfiles(m, append(few[:3:3], planners()[0])); err != nil {
		return nil, err
	}
	v.forecasts, v.foretold, err = p.bank.allForecasts(m, slow)
	return v, err
}

// draws is where it is kept how often a bank was drawn that no setting is chosen on.
const draws = "testdata/schedulelab-draws.txt"

// count notes that the bank was drawn, and says how often it was until now.
func (p plan) count() (int, error) {
	if p.bank.name == banks[0].name {
		return 0, nil
	}
	before, err := os.ReadFile(draws)
	if err != nil {
		return 0, fmt.Errorf("counting the draws of a bank, from the top of the repository: %w", err)
	}
	n := strings.Count("\n"+string(before), "\n"+p.bank.name+",") + 1
	line := fmt.Sprintf("%s, draw %d, %d players\n", p.bank.name, n, p.players)
	return n, os.WriteFile(draws, append(before, line...), 0o644)
}
