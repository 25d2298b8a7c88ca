package dsr_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"surefret/cmd/schedulelab/dsr"
	"surefret/scheduler"
)

// The values are those of ts-fsrs 5.4.2, an independent implementation of
// version 6, at its default weights; it rounds to 8 decimals at every step.
func TestHistoriesEndAsInAnIndependentImplementation(t *testing.T) {
	type step struct {
		days  float64
		grade dsr.Grade
	}
	for _, c := range []struct {
		history               []step
		stability, difficulty float64
	}{
		{[]step{{0, 3}, {2, 3}, {7, 3}, {21, 3}}, 99.273242, 2.097455},
		{[]step{{0, 1}, {1, 3}, {3, 3}, {8, 3}}, 21.607830, 6.379779},
		{[]step{{0, 1}, {0, 3}, {0, 3}, {1, 3}}, 2.152078, 6.379779},
		{[]step{{0, 3}, {3, 3}, {12, 3}, {60, 1}, {1, 3}}, 5.156002, 7.377814},
		{[]step{{0, 3}, {30, 3}, {200, 4}}, 516.585106, 1},
	} {
		m := dsr.NewModel(dsr.Published)
		var s dsr.Memory
		for _, h := range c.history {
			s = m.Next(s, h.days, h.grade)
		}
		if math.Abs(s.Stability/c.stability-1) > 1e-6 || math.Abs(s.Difficulty-c.difficulty) > 1e-6 {
			t.Errorf("%v ends at %.6f, %.6f; want %.6f, %.6f", c.history, s.Stability, s.Difficulty, c.stability, c.difficulty)
		}
	}
}

// Stability is by definition the days after which recall is 0.9.
func TestRecallIsNineTenthsAfterStability(t *testing.T) {
	m := dsr.NewModel(dsr.Published)
	s := dsr.Memory{Stability: 12.5, Difficulty: 5}
	if r := m.Recall(s, 12.5); math.Abs(r-0.9) > 1e-12 {
		t.Errorf("recall after the stability is %v", r)
	}
	for _, want := range []float64{0.8, 0.9, 0.95} {
		if r := m.Recall(s, m.Interval(s, want)); math.Abs(r-want) > 1e-12 {
			t.Errorf("recall after the interval for %v is %v", want, r)
		}
	}
}

// The planner's own formulas were written apart from these.
func TestRandomHistoriesEndAsInThePlanner(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	m := dsr.NewModel(dsr.Published)
	for range 500 {
		var s dsr.Memory
		var o scheduler.Memory
		for range 10 {
			days, grade := rng.IntN(40)*rng.IntN(2), 1+rng.IntN(4)
			s = m.Next(s, float64(days), dsr.Grade(grade))
			o = scheduler.DefaultWeights.Next(o, days, scheduler.Grade(grade))
			if math.Abs(s.Stability/o.Stability-1) > 1e-9 || math.Abs(s.Difficulty-o.Difficulty) > 1e-9 {
				t.Fatalf("%+v here, %+v in the planner", s, o)
			}
		}
	}
}
