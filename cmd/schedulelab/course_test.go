package main

import (
	"math"
	"testing"
	"time"

	"surefret/cmd/schedulelab/board"
	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/schedulelab/policy"
	"surefret/scheduler"
)

func TestDaysAreMissedNowAndThen(t *testing.T) {
	missed, runs := 0, 0
	for seed := range 100 {
		at := Course{"race", 300, seed}.Dates()
		if math.IsNaN(at[0]) {
			t.Errorf("seed %d begins with a missed day", seed)
		}
		run := 0
		for d, day := range at {
			if math.IsNaN(day) {
				missed++
				run++
				if run == 5 {
					runs++
				}
				continue
			}
			run = 0
			if int(day) != d || day-float64(d) > lookHour/24 {
				t.Errorf("seed %d practises day %d at %v", seed, d+1, day)
			}
		}
	}
	if share := float64(missed) / 100 / courseDays; share < 0.08 || share > 0.2 {
		t.Errorf("%.2f of the days are missed", share)
	}
	if runs < 10 {
		t.Errorf("only %d of 100 players had a holiday", runs)
	}
}

// audit asks at random and checks what it is told.
type audit struct {
	t     *testing.T
	inner policy.Policy
	items []scheduler.Item
	last  time.Time
	left  time.Duration
	days  map[int]bool
}

func (a *audit) Next(now time.Time, left time.Duration) (int, bool) {
	if now.Before(a.last) {
		a.t.Errorf("the clock went back from %v to %v", a.last, now)
	}
	if left <= 0 || left > sitting*time.Second {
		a.t.Errorf("%v are left of a sitting", left)
	}
	a.days[now.YearDay()] = true
	a.left = left
	return a.inner.Next(now, left)
}

func (a *audit) Learn(r policy.Answer) {
	if r.Seconds < 0.05 || r.Item < 0 || r.Item >= len(a.items) {
		a.t.Errorf("an answer says %+v", r)
	}
	a.last = r.At
	a.inner.Learn(r)
}

func TestASittingIsTenMinutesOnTheClock(t *testing.T) {
	b, err := board.New(300)
	if err != nil {
		t.Fatal(err)
	}
	a := &audit{t: t, days: map[int]bool{}}
	rec, err := Course{"half-life", 300, 4}.Run(b, Rule{Name: "audit", New: func(items []scheduler.Item, seed uint64) policy.Policy {
		a.items, a.inner = items, policy.Random(items, seed)
		return a
	}})
	if err != nil {
		t.Fatal(err)
	}
	// An answer takes 1.7 s and the thinking, so ten minutes hold 60 to 300.
	perDay := float64(rec.Answers) / float64(len(a.days))
	if perDay < 60 || perDay > 300 {
		t.Errorf("%.0f answers in ten minutes", perDay)
	}
	if a.left > 30*time.Second {
		t.Errorf("the last question came with %v left", a.left)
	}
	if rec.Share[courseDays-1] <= rec.Share[0] {
		t.Errorf("sixty days took the fluent share from %.3f to %.3f", rec.Share[0], rec.Share[courseDays-1])
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
	sum, n := 0.0, 0
	for i := range 9 {
		for range 500 {
			l, entry := a.draw(i)
			for _, u := range []float64{l.Retrieve, l.Time, l.Error, entry} {
				if u <= 0 || u >= 1 {
					t.Fatalf("luck %v", u)
				}
				sum += u
				n++
			}
		}
	}
	if m := sum / float64(n); math.Abs(m-0.5) > 0.01 {
		t.Errorf("luck is %.3f on the average", m)
	}
}

// The reference must be worth its name: with the truth in hand it beats
// random. Two families that are cheap to play stand for all.
func TestSeeingTheTruthHelps(t *testing.T) {
	b, err := board.New(200)
	if err != nil {
		t.Fatal(err)
	}
	for _, family := range []string{"half-life", learner.HeldOut} {
		c := Course{family, 200, 2}
		blind, err := c.Run(b, Rule{Name: random, New: policy.Random})
		if err != nil {
			t.Fatal(err)
		}
		seeing, err := c.Run(b, Rule{Name: cheating, Cheat: Reference})
		if err != nil {
			t.Fatal(err)
		}
		if courseMean(&seeing) <= courseMean(&blind) {
			t.Errorf("%s: the reference reached %.3f, random %.3f", family, courseMean(&seeing), courseMean(&blind))
		}
	}
}
