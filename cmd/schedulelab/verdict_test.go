package main

import (
	"bytes"
	"math"
	"os"
	"strings"
	"testing"

	"surefret/cmd/schedulelab/policy"
)

// flat is a rule whose players all have the same shares.
func flat(kind, name string, fluentShare, usableShare float64) played {
	p := played{candidate{rule{Name: name}, kind}, make([]record, 20)}
	for n := range p.records {
		r := &p.records[n]
		for d := range r.fluent {
			r.fluent[d], r.usable[d] = fluentShare, usableShare
		}
		r.first, r.early, r.right = 3, 100, 80
		r.tenths[7] = tenth{1000, 745, 740}
	}
	return p
}

// A curve against three others, by hand: at a fluent share of 0.25 the line between
// (20, 10) and (30, 6) has 8, and a single point at (26, 9) is better.
func TestTheFrontierIsComparedAtEqualShares(t *testing.T) {
	few := []played{flat(fewAtATime, "few at a time 10", 0.20, 0.10), flat(fewAtATime, "few at a time no limit", 0.30, 0.06)}
	for _, c := range []struct {
		ours            [2][2]float64
		single          [2]float64
		usable, fluency float64
	}{
		// 11 against 10 on the left, 6.6 against 6 on the right; 20 against 22 of
		// fluent share where usable is 10, 33 against 30 where it is 6.
		{[2][2]float64{{0.22, 0.11}, {0.33, 0.066}}, [2]float64{0.1, 0.01}, 1.1, 1.1},
		{[2][2]float64{{0.22, 0.11}, {0.33, 0.066}}, [2]float64{0.26, 0.12}, 0.094 / 0.12, 0},
		{[2][2]float64{{0.20, 0.10}, {0.25, 0.08}}, [2]float64{0.1, 0.01}, 0, 0.25 / 0.30},
	} {
		all := append([]played{flat(planner, planner+" 1", c.ours[0][0], c.ours[0][1]), flat(planner, planner+" 2", c.ours[1][0], c.ours[1][1]),
			flat(leitner, leitner, c.single[0], c.single[1])}, few...)
		u, _, f, _ := newFrontier(all).compare()
		if math.Abs(u-c.usable) > 0.01 {
			t.Errorf("%v: usable share is %.3f times the frontier's, want %.3f", c.ours, u, c.usable)
		}
		if c.fluency > 0 && math.Abs(f-c.fluency) > 0.01 {
			t.Errorf("%v: fluent share is %.3f times the frontier's, want %.3f", c.ours, f, c.fluency)
		}
	}
}

// judged is a verdict on made-up numbers in which every goal is met.
func judged() *verdict {
	ours, told, few := flat(planner, planner, 0.30, 0.12), flat(gigKind+" told", toldOfGig, 0.30, 0.12), flat(fewAtATime, "few at a time 10", 0.25, 0.10)
	for i := range ours.records {
		for d := range ours.records[i].firm {
			ours.records[i].firm[d] = 13
		}
		told.records[i].gig = 0.5
	}
	only := flat(gigKind, "only the gig", 0.2, 0.1)
	none := flat(fewAtATime, "few at a time no limit", 0.28, 0.05)
	v := &verdict{bank: banks[0], all: []played{ours, few, none, told, only}, crowd: crowd{}}
	for range 20 {
		for _, in := range []*[]bool{&v.crowd.beginner, &v.crowd.quick, &v.crowd.years, &v.crowd.old} {
			*in = append(*in, true)
		}
	}
	v.all = append(v.all, flat(random, random, 0.2, 0.01))
	v.cheats = []played{few, none, flat(cheating, "a reference", 0.4, 0.2), ours}
	for _, p := range []played{ours, few} {
		p.records = make([]record, 2*perProfile)
		for i := range p.records {
			p.records[i] = ours.records[0]
		}
		v.profiles = append(v.profiles, p)
	}
	for k := range 100 {
		f := forecast{before: 7 + k%2*7, low: 0.5, high: 0.7, played: 0.6}
		if k < 10 {
			f.played = 0.8
		}
		v.forecasts, v.foretold = append(v.forecasts, f), append(v.foretold, banks[0].player(k))
	}
	return v
}

func TestTheVerdictIsOfTheNumbers(t *testing.T) {
	unmet := func(v *verdict) (list []string) {
		for _, g := range v.goals() {
			if !g.met {
				list = append(list, g.wanted)
			}
		}
		return list
	}
	if list := unmet(judged()); len(list) > 0 {
		t.Errorf("not met: %v", list)
	}
	every := func(change func(*record)) func(*verdict) {
		return func(v *verdict) {
			for i := range v.all[0].records {
				change(&v.all[0].records[i])
			}
		}
	}
	worst := func(change func(*record)) func(*verdict) {
		return func(v *verdict) { change(&v.all[0].records[0]); change(&v.all[0].records[1]) }
	}
	for want, spoil := range map[string]func(*verdict){
		"usable share at equal fluent share": every(func(r *record) {
			for d := range r.usable {
				r.usable[d] = 0.109
			}
		}),
		"fluent share at equal usable share": every(func(r *record) {
			for d := range r.fluent {
				r.fluent[d] = 0.29
			}
		}),
		"at least 80 %": func(v *verdict) {
			for i := range v.all[1].records {
				for d := range shareDays {
					v.all[1].records[i].fluent[d] = 0.38
				}
			}
		},
		"usable share not below": worst(func(r *record) { r.usable = [courseDays]float64{} }),
		"fluent share not below": worst(func(r *record) { r.fluent = [courseDays]float64{} }),
		"usable share 15 %": every(func(r *record) {
			for d := range r.usable {
				r.usable[d] = 0.114
			}
		}),
		"first topic":   every(func(r *record) { r.first = 6 }),
		"and by day 14": every(func(r *record) { r.first = 15 }),
		"25 at most":    every(func(r *record) { r.openMost = 26 }),
		"15 at most":    every(func(r *record) { r.newFirst = 16 }),
		"70 to 92 %":    every(func(r *record) { r.right = 93 }),
		"under 20 %":    every(func(r *record) { r.sittings, r.under20 = 100, 7 }),
		"within 0.05":   every(func(r *record) { r.tenths[7].observed = 690 }),
		"0.08 off":      every(func(r *record) { r.tenths[7].observed = 660 }),
		"within 2 points": func(v *verdict) {
			for i := range v.all[4].records {
				v.all[4].records[i].gig = 0.53
			}
		},
		"within 5 points": func(v *verdict) {
			for i := range v.all[3].records {
				v.all[3].records[i].fluent[29] = 0.24
			}
		},
		"within 1 point": func(v *verdict) {
			for i := range v.all[3].records {
				v.all[3].records[i].fluent[59] = 0.28
			}
		},
		"hold 87 to 93 %": func(v *verdict) {
			for k := range v.forecasts {
				v.forecasts[k].played = 0.6
			}
		},
		"two weeks ahead": func(v *verdict) { // of them too many hold, of all as many as before
			for k := range 10 {
				v.forecasts[k].before = 7
			}
		},
		"beginner: 10": func(v *verdict) {
			for i := range v.profiles[0].records {
				v.profiles[0].records[i].firm[59] = 9
			}
		},
		"four-years: 12": func(v *verdict) {
			for i := range v.profiles[0].records {
				v.profiles[0].records[i].firm[59] = 11
			}
		},
	} {
		v := judged()
		spoil(v)
		if list := strings.Join(unmet(v), "\n"); !strings.Contains(list, want) {
			t.Errorf("%q is met in spite of all; not met are %q", want, list)
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
	i := newInterval([]float64{1, 2, 3, 4})
	// Mean 2.5, standard deviation 1.29099, times 3.182 over 2.
	if i.Mean != 2.5 || math.Abs(i.Half-2.0540) > 1e-3 {
		t.Errorf("interval of 1 to 4 is %v", i)
	}
}

// Every draw of a bank that no setting is chosen on is counted.
func TestDrawsAreCounted(t *testing.T) {
	t.Chdir(t.TempDir())
	p := plan{bank: banks[1], players: 200}
	if _, err := p.count(); err == nil || strings.Contains(err.Error(), "\n") {
		t.Errorf("without the file of draws: %v", err)
	}
	if err := os.Mkdir("testdata", 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(draws, []byte("other, draw 1, 200 players\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for want := 1; want <= 2; want++ {
		if n, err := p.count(); n != want || err != nil {
			t.Errorf("draw %d is counted as %d, %v", want, n, err)
		}
	}
	if n, err := (plan{bank: banks[0]}).count(); n != 0 || err != nil {
		t.Errorf("a draw of the bank to choose on counts: %d, %v", n, err)
	}
}

func TestTheReferencesSeeTheTruth(t *testing.T) {
	m := newTestMaterial(t, 15)
	for k, c := range []measure{usable, fluent} {
		var seeing, blind float64
		for n := range 3 {
			for _, into := range []struct {
				sum  *float64
				rule rule
			}{{&seeing, references()[k].rule}, {&blind, rule{New: policy.Few(25)}}} {
				rec, err := m.play(banks[0].player(n), into.rule)
				if err != nil {
					t.Fatal(err)
				}
				*into.sum += c.of(&rec)
			}
		}
		if seeing <= blind {
			t.Errorf("%s: %.4f with the truth in hand, %.4f without", c.name, seeing, blind)
		}
	}
}

func TestEverythingIsPrinted(t *testing.T) {
	v := judged()
	var out bytes.Buffer
	v.print(&out, 20, 2)
	v.printShort(&out, 20)
	printTables(&out, v.all, v.crowd)
	printPoints(&out, v)
	v.bank.printReadiness(&out, v.forecasts, v.foretold)
	if err := newFrontier(v.all).writePicture(&out, "a test"); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"21 of 21 met", "Surefret", "topics 90", "unasked", "less SUREFRET", "14 days before", "</svg>"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is not there:\n%s", want, out.String())
		}
	}
}
