package main

import (
	"bytes"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"surefret/cmd/schedulelab/policy"
)

func TestTheRecordsDoNotDependOnTheProcessors(t *testing.T) {
	play := func(processors int) *Lab {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
		l, err := NewLab([]string{"half-life", "published"}, []int{200}, []int{1, 2})
		if err != nil {
			t.Fatal(err)
		}
		if err := l.Play([]Rule{{Name: random, New: policy.Random}, {Name: planner, New: policy.Leitner(policy.Setting{Grading: policy.BySpeed}, false)}}); err != nil {
			t.Fatal(err)
		}
		return l
	}
	one, four := play(1), play(4)
	for _, name := range []string{random, planner} {
		if !slices.Equal(one.played[name], four.played[name]) {
			t.Errorf("%s came out otherwise with four processors", name)
		}
	}
}

// made is a lab of one cell with given daily shares and minutes.
func made(seeds int, rules map[string]func(seed int) Record) *Lab {
	l, _ := NewLab([]string{"race"}, []int{300}, make([]int, seeds))
	for name, f := range rules {
		for s := range seeds {
			l.played[name] = append(l.played[name], f(s))
		}
	}
	return l
}

func flat(share, half float64) func(int) Record {
	return func(seed int) Record {
		r := Record{Half: half, Gig: share}
		for d := range r.Share {
			r.Share[d] = share + 0.001*float64(seed%3)
		}
		return r
	}
}

func TestTheVerdictIsOfTheNumbers(t *testing.T) {
	const leitner, sm2 = "Leitner by speed, meeting 10 facts a day, x", "growing gaps (1990) by speed, meeting 10 facts a day, x"
	plain := published[0]
	names := []string{random, leitner, sm2, plain}
	verdict := func(ours float64, minutes float64) (met string) {
		l := made(6, map[string]func(int) Record{
			planner: flat(ours, minutes), random: flat(0.50, 100), leitner: flat(0.40, 150), sm2: flat(0.42, 150), plain: flat(0.45, 105), cheating: flat(0.55, 80),
		})
		bars := append(l.fluencyBars(names, l), l.cellBars(names)...)
		for _, b := range append(bars, l.minuteBars(names, l)...) {
			met += map[bool]string{true: "y", false: "n"}[b.Met]
		}
		return met
	}
	for _, c := range []struct {
		ours, minutes float64
		want          string // 3 %, growing gaps (1990) 20 %, Leitner 20 %, cells, random, 10 %, 35 %
	}{
		{0.52, 89, "yyyyyyy"},
		{0.51, 91, "nyyyyny"},
		{0.49, 98, "nnyynnn"},
		{0.475, 97, "nnnnnny"},
	} {
		if got := verdict(c.ours, c.minutes); got != c.want {
			t.Errorf("share %v in %v minutes is judged %s, want %s", c.ours, c.minutes, got, c.want)
		}
	}
}

func TestBelowRandomMeansBeyondTheInterval(t *testing.T) {
	for _, c := range []struct {
		noise float64
		met   bool
	}{{0.001, false}, {0.1, true}} {
		l := made(6, map[string]func(int) Record{random: flat(0.5, 1), planner: func(seed int) Record {
			return flat(0.49+c.noise*float64(seed%2*2-1), 1)(seed)
		}})
		if b := l.cellBars([]string{random})[1]; b.Met != c.met {
			t.Errorf("one point below with noise of %v: %+v", c.noise, b)
		}
	}
}

func TestTheGigVerdictIsOfTheNumbers(t *testing.T) {
	verdict := func(gig, later, end float64) (met string) {
		rules := map[string]func(int) Record{planner: flat(0.6, 1)}
		for _, r := range gigRules() {
			rules[r.Name] = flat(0.5, 1)
		}
		rules["only the gig, "+random] = flat(0.9, 1)
		rules[withGig] = func(int) Record {
			r := Record{Gig: gig}
			r.Share[29], r.Share[59] = later, end
			return r
		}
		for _, b := range made(1, rules).gigBars() {
			met += map[bool]string{true: "y", false: "n"}[b.Met]
		}
		return met
	}
	for want, x := range map[string][3]float64{"yyy": {0.89, 0.56, 0.595}, "nyy": {0.87, 0.56, 0.6}, "yny": {0.9, 0.54, 0.6}, "yyn": {0.9, 0.6, 0.58}} {
		if got := verdict(x[0], x[1], x[2]); got != want {
			t.Errorf("%v is judged %s, want %s", x, got, want)
		}
	}
}

func TestCalibrationIsTheWorstTenth(t *testing.T) {
	for _, c := range []struct {
		observed float64
		met      bool
	}{{700, true}, {780, true}, {820, false}, {680, false}} {
		l := made(1, map[string]func(int) Record{planner: func(int) Record {
			var r Record
			r.Tenths[7] = Tenth{1000, 745, c.observed}
			r.Tenths[2] = Tenth{20, 5, 20} // too few to count
			return r
		}})
		if b := l.calibrationBar(); b.Met != c.met {
			t.Errorf("observed %v of 745 predicted: %v", c.observed, b)
		}
	}
}

// Student's t at 97.5 %, from the printed tables (for example NIST/SEMATECH
// e-Handbook of Statistical Methods, 1.3.6.7.2).
func TestIntervalsUseStudentsT(t *testing.T) {
	for df, want := range map[int]float64{1: 12.706, 3: 3.182, 5: 2.571, 7: 2.365, 11: 2.201, 23: 2.069, 30: 2.042, 100: 1.984} {
		if got := student(df); math.Abs(got-want) > 0.002 {
			t.Errorf("t with %d degrees is %.4f, want %.3f", df, got, want)
		}
	}
	i := interval([]float64{1, 2, 3, 4})
	// Mean 2.5, standard deviation 1.29099, times 3.182 over 2.
	if i.Mean != 2.5 || math.Abs(i.Half-2.0540) > 1e-3 {
		t.Errorf("interval of 1 to 4 is %v", i)
	}
}

func TestTunedBaselinesAreAmongTheCandidates(t *testing.T) {
	if got, want := len(baselines()), len(tuned)+len(published)+1; got != want {
		t.Errorf("%d baselines play, want %d: a name in tuned is not a candidate's", got, want)
	}
	names := map[string]bool{}
	for _, c := range candidates() {
		if names[c.name] {
			t.Errorf("two candidates are called %q", c.name)
		}
		names[c.name] = true
	}
	if len(gigRules()) != 4 {
		t.Errorf("%d ways to practise only the gig, want 4", len(gigRules()))
	}
}

func TestFlagsThatCannotBeAreRefused(t *testing.T) {
	var quiet bytes.Buffer
	for _, args := range [][]string{{"--seeds", "3-1"}, {"--seeds", "x"}, {"--families", "astrology"}, {"--sizes", ""}} {
		if _, err := readFlags(args, &quiet); err == nil || strings.Contains(err.Error(), "\n") {
			t.Errorf("%v gives %v", args, err)
		}
	}
	p, err := readFlags([]string{"--seeds", "1-3,9", "--sizes", "300"}, &quiet)
	if err != nil || !slices.Equal(p.seeds, []int{1, 2, 3, 9}) || !slices.Equal(p.sizes, []int{300}) {
		t.Errorf("read %+v, %v", p, err)
	}
}

func TestTheTablePrints(t *testing.T) {
	rules := map[string]func(int) Record{planner: flat(0.52, 100), withGig: flat(0.52, 100), cheating: flat(0.55, 90)}
	for _, r := range gigRules() {
		rules[r.Name] = flat(0.5, 110)
	}
	var names []string
	for _, r := range baselines() {
		rules[r.Name] = flat(0.5, 110)
		names = append(names, r.Name)
	}
	l := made(2, rules)
	var out bytes.Buffer
	l.print(&out, names, l)
	for _, want := range append(names, planner, cheating, "minutes to half", "A gig on the evening of day 21", "of 11 met") {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the table lacks %q", want)
		}
	}
}
