// Command schedulelab measures the promise of the program: that the planner's
// ten minutes make more of the neck fluent than anybody else's. Simulated
// players of families that are not the planner's model practise for sixty
// days, by tuned baselines, by the planner, and by a reference that cheats;
// all rules meet the same players with the same luck.
//
// It prints one table, the same for the same flags on any machine, and the
// verdict on each thing the planner must show. How long it took goes to
// standard error.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"

	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/schedulelab/policy"
)

const usage = `schedulelab plays simulated learners against scheduling policies.

  go run ./cmd/schedulelab                 the table: 24 seeds, a few minutes
  go run ./cmd/schedulelab --quick         one size and two seeds, some seconds
  go run ./cmd/schedulelab --tune          which settings of the baselines are best
  go run ./cmd/schedulelab --readiness     how readiness foretold came true
  go run ./cmd/schedulelab --bank choose   rules on the real catalogue, with players of a bank
  go run ./cmd/schedulelab --demo-log cmd/surefret/demo
                                           writes the practice that the demo shows

Flags:
`

// A plan is what the flags ask for.
type plan struct {
	families []string
	sizes    []int
	seeds    []int
	cheats   int // seeds that the slow reference plays
	tune     bool
	ready    bool
	demo     string // folder for the demo's logs
	bank     string // name of a bank to compare rules on
	players  int    // of it
	asked    string // the flags as they were given, for the head of the table
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
	families := fs.String("families", strings.Join(learner.Families(), ","), "families of learners, also "+learner.HeldOut)
	sizes := fs.String("sizes", "300,600,1500", "items on the board, 200 to 1600")
	seeds := fs.String("seeds", "1-24", "seeds, as a range or a list")
	cheats := fs.Int("reference", 8, "how many of the seeds the reference plays, which is slow")
	quick := fs.Bool("quick", false, "the same as --sizes 300 --seeds 1-2 --reference 2")
	tune := fs.Bool("tune", false, "compare all settings of the baselines instead; the winners came from --tune --seeds 1001-1002")
	ready := fs.Bool("readiness", false, "compare the readiness foretold for gigs with what came instead")
	demo := fs.String("demo-log", "", "write the practice of the demo's players into this folder instead")
	ofBank := fs.String("bank", "", "compare rules on the real catalogue with the players of this bank instead: choose, verdict or other")
	players := fs.Int("players", 200, "how many players of the bank")
	if err := fs.Parse(args); err != nil {
		return plan{}, err
	}
	if *quick {
		*sizes, *seeds, *cheats = "300", "1-2", 2
	}
	p := plan{tune: *tune, ready: *ready, demo: *demo, bank: *ofBank, players: *players, cheats: *cheats}
	for _, a := range args {
		p.asked += " " + a
	}
	var err error
	if p.sizes, err = numbers(*sizes); err != nil {
		return p, fmt.Errorf("--sizes %s: %w", *sizes, err)
	}
	if p.seeds, err = numbers(*seeds); err != nil {
		return p, fmt.Errorf("--seeds %s: %w", *seeds, err)
	}
	known := append(learner.Families(), learner.HeldOut)
	for f := range strings.SplitSeq(*families, ",") {
		if !slices.Contains(known, f) {
			return p, fmt.Errorf("--families: no family is called %q; choose among %s", f, strings.Join(known, ", "))
		}
		p.families = append(p.families, f)
	}
	if !slices.ContainsFunc(banks, func(b bank) bool { return p.bank == "" || b.name == p.bank }) || p.players < 1 {
		return p, fmt.Errorf("--bank %s --players %d: choose among choose, verdict and other, and at least one player", p.bank, p.players)
	}
	p.cheats = min(max(p.cheats, 1), len(p.seeds))
	return p, nil
}

// numbers reads "1-24", "3" or "300,600".
func numbers(s string) ([]int, error) {
	var out []int
	for part := range strings.SplitSeq(s, ",") {
		low, high, ranged := strings.Cut(part, "-")
		a, err := strconv.Atoi(low)
		b := a
		if err == nil && ranged {
			b, err = strconv.Atoi(high)
		}
		if err != nil || b < a || a < 0 {
			return nil, fmt.Errorf("%q is no number and no range; write 7, 1-24 or 300,600", part)
		}
		for n := a; n <= b; n++ {
			out = append(out, n)
		}
	}
	return out, nil
}

func seedRange(seeds []int) string {
	if len(seeds) == 1 {
		return strconv.Itoa(seeds[0])
	}
	return fmt.Sprintf("%d to %d", seeds[0], seeds[len(seeds)-1])
}

func (p plan) run(w io.Writer) error {
	for _, b := range banks {
		if b.name == p.bank {
			fmt.Fprintf(w, "go run ./cmd/schedulelab%s\n", p.asked)
			return b.compare(w, p.players, bankRules())
		}
	}
	if p.demo != "" {
		return writeDemoLogs(p.demo)
	}
	if p.ready {
		return p.readiness(w)
	}
	lab, err := NewLab(p.families, p.sizes, p.seeds)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "go run ./cmd/schedulelab%s\n%d days of ten minutes, some missed; families %s; %v items; seeds %s\n\n",
		p.asked, courseDays, strings.Join(p.families, ", "), p.sizes, seedRange(p.seeds))
	if p.tune {
		all := candidates()
		var rules []Rule
		for _, c := range all {
			rules = append(rules, Rule{Name: c.name, New: c.make})
		}
		if err := lab.Play(rules); err != nil {
			return err
		}
		lab.printTuning(w, all)
		return nil
	}
	base := baselines()
	var names []string
	for _, b := range base {
		names = append(names, b.Name)
	}
	rules := append(base,
		Rule{Name: planner, New: policy.Ours, Calibrate: true},
		Rule{Name: withGig, New: policy.Ours, Gig: true})
	if err := lab.Play(append(rules, gigRules()...)); err != nil {
		return err
	}
	cheat, err := NewLab(p.families, p.sizes, p.seeds[:p.cheats])
	if err != nil {
		return err
	}
	if err := cheat.Play([]Rule{{Name: cheating, Cheat: Reference}}); err != nil {
		return err
	}
	// The reference is paired with the others on the seeds they share.
	for _, n := range append(names, planner) {
		for c := range lab.Cells() {
			for s := range cheat.Seeds {
				cheat.played[n] = append(cheat.played[n], *lab.At(n, c, s))
			}
		}
	}
	lab.print(w, names, cheat)
	return nil
}

func sortBy[T any](x []T, key func(T) float64) {
	sort.SliceStable(x, func(i, j int) bool { return key(x[i]) < key(x[j]) })
}
