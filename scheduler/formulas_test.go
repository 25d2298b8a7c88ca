package scheduler

import (
	"math"
	"testing"
)

// Worked by hand from the published formulas of version 6 with its default
// weights, in 40-digit decimal arithmetic.
func TestFormulasGiveTheHandWorkedValues(t *testing.T) {
	w, m := DefaultWeights, Memory{Stability: 10, Difficulty: 5}
	tests := []struct {
		name      string
		got, want float64
	}{
		{"factor of the curve", newFormulas(w).factor, 0.980346494413480045223334461703800668},
		{"first difficulty, missed", w.Next(Memory{}, 0, GradeMissed).Difficulty, 6.4133},
		{"first difficulty, slow", w.Next(Memory{}, 0, GradeSlow).Difficulty, 5.112170705601055495931036044678033134},
		{"first difficulty, steady", w.Next(Memory{}, 0, GradeSteady).Difficulty, 2.118103970459015793854052975030198089},
		{"first difficulty, quick", w.Next(Memory{}, 0, GradeQuick).Difficulty, 1},
		{"first stability, missed", w.Next(Memory{}, 0, GradeMissed).Stability, 0.212},
		{"first stability, quick", w.Next(Memory{}, 0, GradeQuick).Stability, 8.2956},
		{"retrievability at S days", w.Retrievability(m, 10), 0.9},
		{"retrievability at 3 S days", w.Retrievability(Memory{7, 5}, 21), 0.809388103573170766589549911491078451},
		{"stability, slow after 7 days", w.Next(m, 7, GradeSlow).Stability, 20.161495000818261966065858928331588697},
		{"stability, steady after 7 days", w.Next(m, 7, GradeSteady).Stability, 26.896400067872068451291088008532738105},
		{"stability, quick after 7 days", w.Next(m, 7, GradeQuick).Stability, 41.645267687117597002421205831180965192},
		{"stability, missed after 7 days", w.Next(m, 7, GradeMissed).Stability, 1.341108423273322008887259313802477395},
		{"difficulty, missed", w.Next(m, 7, GradeMissed).Difficulty, 8.341762369296838262515693051507274790},
		{"difficulty, slow", w.Next(m, 7, GradeSlow).Difficulty, 6.665995369296838262515693051507274790},
		{"difficulty, steady", w.Next(m, 7, GradeSteady).Difficulty, 4.990228369296838262515693051507274790},
		{"difficulty, quick", w.Next(m, 7, GradeQuick).Difficulty, 3.314461369296838262515693051507274790},
		{"same day, missed", w.Next(m, 0, GradeMissed).Stability, 3.051248935571637519630130052136382143},
		{"same day, slow", w.Next(m, 0, GradeSlow).Stability, 5.249070397986061525764397378178467889},
		{"same day, steady cannot weaken", w.Next(m, 0, GradeSteady).Stability, 10},
		{"same day, quick", w.Next(m, 0, GradeQuick).Stability, 15.534307947166700499154426343123209567},
		{"same day, steady, young", w.Next(Memory{0.5, 5}, 0, GradeSteady).Stability, 0.549876211504714117796993885683607690},
	}
	for _, tt := range tests {
		if math.Abs(tt.got/tt.want-1) > 1e-12 {
			t.Errorf("%s: %.18g, want %.18g", tt.name, tt.got, tt.want)
		}
	}
}

// Vectors that ts-fsrs 5.4.2 gave: gap in days and grade of each answer, then
// stability and difficulty. The library rounds at every step.
func TestMemoryFollowsKnownHistories(t *testing.T) {
	tests := []struct {
		days                  []int
		grades                []Grade
		stability, difficulty float64
	}{
		{[]int{0, 2, 7, 21}, []Grade{3, 3, 3, 3}, 99.273242, 2.097455},
		{[]int{0, 1, 3, 8}, []Grade{1, 3, 3, 3}, 21.607830, 6.379779},
		{[]int{0, 0, 0, 1}, []Grade{1, 3, 3, 3}, 2.152078, 6.379779},
		{[]int{0, 3, 12, 60, 1}, []Grade{3, 3, 3, 1, 3}, 5.156002, 7.377814},
		{[]int{0, 30, 200}, []Grade{3, 3, 4}, 516.585106, 1},
	}
	for _, tt := range tests {
		var m Memory
		for i, days := range tt.days {
			m = DefaultWeights.Next(m, days, tt.grades[i])
		}
		if math.Abs(m.Stability/tt.stability-1) > 3e-7 || math.Abs(m.Difficulty-tt.difficulty) > 1e-6 {
			t.Errorf("days %v, grades %v: %v, want {%v %v}", tt.days, tt.grades, m, tt.stability, tt.difficulty)
		}
	}
}
