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
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"surefret/cmd/schedulelab/policy"
)

const usage = `schedulelab plays simulated players against rules for what comes next.

  go run ./cmd/schedulelab                     the tables: 200 players of the bank "choose"
  go run ./cmd/schedulelab --players 20        the same with a few, some seconds
  go run ./cmd/schedulelab --bank verdict      others, on whom nothing was chosen; every draw
                                               is counted in scheduler/SCIENCE.md
  go run ./cmd/schedulelab --bank other        a third bank: other mechanisms of memory
  go run ./cmd/schedulelab --tune              which settings of the baselines are best
  go run ./cmd/schedulelab --demo-log cmd/surefret/demo
                                               writes the practice that the demo shows

Flags:
`

// A plan is what the flags ask for.
type plan struct {
	bank    bank
	players int
	tune    bool
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
	tune := fs.Bool("tune", false, "compare all settings of the baselines instead")
	demo := fs.String("demo-log", "", "write the practice of the demo's players into this folder instead")
	if err := fs.Parse(args); err != nil {
		return plan{}, err
	}
	p := plan{players: *players, tune: *tune, demo: *demo}
	if len(args) > 0 {
		p.asked = " " + strings.Join(args, " ")
	}
	k := slices.IndexFunc(banks, func(b bank) bool { return b.name == *name })
	if k < 0 || p.players < 1 || fs.NArg() > 0 {
		return p, fmt.Errorf("--bank %s --players %d: choose among choose, verdict and other, and at least one player", *name, *players)
	}
	p.bank = banks[k]
	if p.tune && p.bank.name != banks[0].name {
		return p, fmt.Errorf("--tune --bank %s: settings are chosen on the bank choose alone", *name)
	}
	return p, nil
}

func (p plan) run(w io.Writer) error {
	if p.demo != "" {
		return writeDemoLogs(p.demo)
	}
	m, err := newMaterial()
	if err != nil {
		return err
	}
	rules := append([]candidate{{Rule{Name: planner, New: policy.Ours}, planner}}, baselines()...)
	if p.tune {
		rules, m.days = candidates(), shareDays
	}
	all, err := p.bank.play(m, p.players, rules)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "go run ./cmd/schedulelab%s\n%d players of the bank %q, %d days of ten minutes, %d items in %d topics\n\n",
		p.asked, p.players, p.bank.name, m.days, len(m.board.Items), len(m.topics))
	if p.tune {
		printTuning(w, all)
		return nil
	}
	crowd, err := p.bank.crowd(m, p.players)
	if err != nil {
		return err
	}
	printTables(w, all, crowd)
	return nil
}
