// Package dsr is the published model of difficulty, stability and
// retrievability, version 6: one of the simulated learners has it for a memory,
// and one of the baselines schedules by it.
//
// Ye, Su & Cao, KDD 2022, doi 10.1145/3534678.3539081, and the published
// version 6 of that model with its default weights.
package dsr

import "math"

// A Grade is 1 missed, 2 slow, 3 steady, 4 quick; the publication counts 1 to 4 too.
type Grade int

// Weights are the 21 parameters.
type Weights [21]float64

// Published are the default weights of version 6.
var Published = Weights{
	0.212, 1.2931, 2.3065, 8.2956, 6.4133, 0.8334, 3.0194, 0.001, 1.8722, 0.1666, 0.796,
	1.4835, 0.0614, 0.2629, 1.6483, 0.6014, 1.8729, 0.5425, 0.0912, 0.0658, 0.1542,
}

// A Model is a set of weights with its constants worked out.
type Model struct {
	w      Weights
	factor float64
}

// NewModel returns the model of w.
func NewModel(w Weights) *Model {
	return &Model{w: w, factor: math.Pow(0.9, -1/w[20]) - 1}
}

// A Memory is the state of one item; the zero value was never met.
type Memory struct {
	Stability  float64 // days until recall falls to 0.9
	Difficulty float64 // 1 to 10
}

// Recall is the probability of recall after so many days, 0 to 1.
func (m *Model) Recall(s Memory, days float64) float64 {
	if s.Stability <= 0 {
		return 0
	}
	if days <= 0 {
		return 1
	}
	return math.Exp(-m.w[20] * math.Log(1+m.factor*days/s.Stability))
}

// Interval is the number of days after which recall falls to retention.
func (m *Model) Interval(s Memory, retention float64) float64 {
	return s.Stability / m.factor * (math.Pow(retention, -1/m.w[20]) - 1)
}

func (m *Model) firstDifficulty(g Grade) float64 {
	return m.w[4] - math.Exp(m.w[5]*float64(g-1)) + 1
}

// First is the memory after the first answer.
func (m *Model) First(g Grade) Memory {
	return Memory{m.w[g-1], bound(m.firstDifficulty(g), 1, 10)}
}

// Next is the memory after an answer of grade g so many days after the last;
// less than half a day is the same sitting.
func (m *Model) Next(s Memory, days float64, g Grade) Memory {
	if s.Stability <= 0 {
		return m.First(g)
	}
	w := &m.w
	drop := -w[6] * float64(g-3)
	d := s.Difficulty + drop*(10-s.Difficulty)/9
	d = bound(w[7]*m.firstDifficulty(4)+(1-w[7])*d, 1, 10)
	var stability float64
	r := m.Recall(s, days)
	switch {
	case days < 0.5:
		rise := math.Exp(w[17]*(float64(g-3)+w[18])) * math.Pow(s.Stability, -w[19])
		if g >= 3 {
			rise = max(rise, 1)
		}
		stability = s.Stability * rise
	case g == 1:
		stability = w[11] * math.Pow(s.Difficulty, -w[12]) * (math.Pow(s.Stability+1, w[13]) - 1) * math.Exp(w[14]*(1-r))
		stability = min(stability, s.Stability/math.Exp(w[17]*w[18]))
	default:
		factor := 1.0
		if g == 2 {
			factor = w[15]
		} else if g == 4 {
			factor = w[16]
		}
		stability = s.Stability * (1 + math.Exp(w[8])*(11-s.Difficulty)*math.Pow(s.Stability, -w[9])*(math.Exp(w[10]*(1-r))-1)*factor)
	}
	return Memory{bound(stability, 0.001, 36500), d}
}

func bound(x, low, high float64) float64 { return min(max(x, low), high) }
