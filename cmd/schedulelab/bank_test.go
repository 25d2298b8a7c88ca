package main

import (
	"bytes"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"surefret/cmd/schedulelab/policy"
)

func newTestMaterial(t *testing.T, days int) *material {
	t.Helper()
	c, err := newCatalogue(false)
	if err != nil {
		t.Fatal(err)
	}
	m := newMaterial(c.Items())
	m.days = days
	return m
}

func TestATopicIsSureByItsMeanAndItsWeakest(t *testing.T) {
	m := &material{topics: [][]int{{0, 1, 2}, {3, 4, 5}, {6, 7, 8}}}
	fluent := []float64{0.95, 0.9, 0.6, 1, 1, 0.49, 0.79, 0.79, 0.79}
	if sure := m.sure(fluent, 0.8); !slices.Equal(sure, []bool{true, false, false}) {
		t.Errorf("%v are sure, want the first alone", sure)
	}
}

func TestDaysAreMissedInRunsAndOnHolidays(t *testing.T) {
	missed, holidays := 0, 0
	for n := range 100 {
		p := banks[0].player(n)
		run := 0
		for d, at := range p.days() {
			switch {
			case !math.IsNaN(at):
				if int(at) != d || at-float64(d) > lookHour/24 {
					t.Errorf("player %d practises on day %d at %v", n, d+1, at)
				}
				run = 0
			case d == 0:
				t.Errorf("player %d begins with a missed day", n)
			default:
				missed++
				if run++; run == 14 {
					holidays++
				}
			}
		}
	}
	if share := float64(missed) / 100 / courseDays; share < 0.1 || share > 0.35 {
		t.Errorf("%.2f of the days are missed", share)
	}
	if holidays < 10 {
		t.Errorf("only %d of 100 players were away for a fortnight", holidays)
	}
}

// The bank spans what players differ in: an ask takes 4 to 12 seconds, a beginner knows
// nothing, an old hand about 60 % of the board at first sight.
func TestTheBankSpansPlayers(t *testing.T) {
	m := newTestMaterial(t, 1)
	least, most := math.Inf(1), 0.0
	var old, beginners []float64
	memories := map[string]bool{}
	for n := range 60 {
		who := banks[0].player(n)
		memories[who.Memory] = true
		rec, err := m.play(who, rule{New: policy.Few(25)})
		if err != nil {
			t.Fatal(err)
		}
		cost := rec.seconds / float64(rec.answers)
		least, most = min(least, cost), max(most, cost)
		switch {
		case who.Known == 0:
			beginners = append(beginners, rec.fluent[0])
		case who.Known >= 0.5:
			old = append(old, rec.fluent[0])
		}
	}
	if least < 3 || least > 5.5 || most < 9 || most > 16 {
		t.Errorf("an ask takes %.1f to %.1f s", least, most)
	}
	if b, o := mean(beginners), mean(old); b > 0.1 || o < 0.4 || o > 0.7 {
		t.Errorf("beginners are fluent in %.2f of the board, old hands in %.2f", b, o)
	}
	if len(memories) != 6 {
		t.Errorf("the first players have the memories %v", memories)
	}
}

// Few items at a time finish topics that a rule without a limit leaves half known:
// the bank must show it, or it measures nothing.
func TestTheBankShowsWhatIsFinished(t *testing.T) {
	m := newTestMaterial(t, shareDays)
	all, err := banks[0].play(m, 4, []candidate{{rule{New: policy.Few(10)}, ""}, {rule{New: policy.Few(0)}, ""}})
	if err != nil {
		t.Fatal(err)
	}
	few, none := all[0].records, all[1].records
	if usable.mean(few) <= usable.mean(none) || fluent.mean(few) >= fluent.mean(none) {
		t.Errorf("usable and fluent share %.2f, %.2f with ten at a time, %.2f, %.2f without a limit",
			usable.mean(few), fluent.mean(few), usable.mean(none), fluent.mean(none))
	}
}

func TestTheRecordsDoNotDependOnTheProcessors(t *testing.T) {
	m := newTestMaterial(t, 8)
	play := func(processors int) []played {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
		all, err := banks[0].play(m, 3, []candidate{{rule{New: policy.Random}, ""}, {rule{New: policy.Few(25)}, ""}})
		if err != nil {
			t.Fatal(err)
		}
		return all
	}
	one, four := play(1), play(4)
	for r := range one {
		for n := range one[r].records {
			one[r].records[n].tomorrow, four[r].records[n].tomorrow = 0, 0 // not a number
		}
		if !reflect.DeepEqual(one[r].records, four[r].records) {
			t.Errorf("rule %d came out otherwise with four processors", r)
		}
	}
}

func TestASittingIsTenMinutes(t *testing.T) {
	m := newTestMaterial(t, 20)
	c, err := m.newCourse(banks[0].player(1), rule{New: policy.Random})
	if err != nil {
		t.Fatal(err)
	}
	for d := range 5 {
		before := c.rec.seconds
		c.sit(d, float64(d)+practiceHour/24)
		if took := c.rec.seconds - before; took < sitting || took > sitting+60 {
			t.Errorf("sitting %d took %.0f s", d+1, took)
		}
	}
	if c.sat != 5 || c.rec.answers < 5*40 || c.rec.newFirst == 0 || c.rec.right > c.rec.early {
		t.Errorf("five sittings came to %+v", c.rec)
	}
}

// The same luck for all rules: two rules that ask the same in another order
// meet the same answers at first.
func TestLuckGoesWithTheItem(t *testing.T) {
	a, b := lottery{key: 7, asked: make([]uint32, 9)}, lottery{key: 7, asked: make([]uint32, 9)}
	a.draw(2)
	x, _ := a.draw(5)
	y, _ := b.draw(5)
	if x != y {
		t.Errorf("item 5 met %v and %v", x, y)
	}
	if z, _ := b.draw(5); z == y {
		t.Error("the second answer has the luck of the first")
	}
	sum := 0.0
	for range 2000 {
		l, entry := a.draw(3)
		sum += l.Retrieve + l.Time + l.Error + entry
	}
	if m := sum / 8000; math.Abs(m-0.5) > 0.02 {
		t.Errorf("luck is %.3f on the average", m)
	}
}

func TestTunedBaselinesAreAmongTheCandidates(t *testing.T) {
	names := map[string]bool{}
	for _, c := range candidates() {
		if names[c.Name] {
			t.Errorf("two candidates are called %q", c.Name)
		}
		names[c.Name] = true
	}
	for _, name := range tuned {
		if !names[name] {
			t.Errorf("%q is no candidate's name", name)
		}
	}
}

func TestFlagsThatCannotBeAreRefused(t *testing.T) {
	var quiet bytes.Buffer
	for args, want := range map[string]string{
		"--bank astrology":      "--bank astrology --players 200 --slow 40: choose among choose, verdict and other, and at least one player",
		"--players 0":           "--players 0 --slow 40: choose",
		"--slow 0":              "--slow 0: choose",
		"stray":                 `"stray" is no flag`,
		"--course virtuoso":     "--course virtuoso: choose among beginner, four-years, old-hand and bassist",
		"--tune --bank verdict": "--tune --bank verdict: settings are chosen on the bank choose alone",
		"--players many":        "invalid value",
		"--no-such-flag":        "not defined",
	} {
		if _, err := readFlags(strings.Fields(args), &quiet); err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s gives %v, want %q", args, err, want)
		}
	}
	p, err := readFlags(strings.Fields("--bank other --players 3 --slow 2 --picture a.svg"), &quiet)
	if err != nil || p.bank.name != "other" || p.players != 3 || p.slow != 2 || p.picture != "a.svg" || p.asked != " --bank other --players 3 --slow 2 --picture a.svg" {
		t.Errorf("read as %+v, %v", p, err)
	}
}
