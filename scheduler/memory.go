package scheduler

import "math"

// A Grade is the published model's name for an outcome, 1 to 4.
type Grade uint8

// The four grades. What earns which is Outcome.grade's business, not the formulas'.
const (
	GradeMissed Grade = 1 + iota
	GradeSlow
	GradeSteady
	GradeQuick
)

// Weights are the 21 parameters of the difficulty-stability-retrievability
// model, version 6.
//
// The line of work: Wozniak, "Optimization of learning" (1990) on two
// variables of memory; Ye, Su & Cao, "A Stochastic Shortest Path Algorithm for
// Optimizing Spaced Repetition Scheduling", KDD 2022, doi
// 10.1145/3534678.3539081; Su, Ye, Nie, Cao & Chen, "Optimizing Spaced
// Repetition Schedule by Capturing the Dynamics of Memory", IEEE TKDE 2023,
// doi 10.1109/TKDE.2023.3251721. Version 6 adds the last two weights: how
// practice on the same day saturates (19) and how fast forgetting slows (20).
type Weights [21]float64

// DefaultWeights are the published defaults of version 6.
var DefaultWeights = Weights{
	0.212, 1.2931, 2.3065, 8.2956, 6.4133, 0.8334, 3.0194, 0.001, 1.8722, 0.1666, 0.796,
	1.4835, 0.0614, 0.2629, 1.6483, 0.6014, 1.8729, 0.5425, 0.0912, 0.0658, 0.1542,
}

// Bounds of the published model.
const (
	MinStability = 0.001   // days
	MaxStability = 36500.0 // days
)

// Memory is the published state of one item in one head. The zero value is an
// item never met.
type Memory struct {
	Stability  float64 // days until retrievability falls to 0.9; [MinStability, MaxStability]
	Difficulty float64 // 1 easy to 10 hard
}

// formulas is [Weights] with what depends on them alone worked out once.
type formulas struct {
	w       Weights
	factor  float64 // of the forgetting curve: 0.9^(-1/w20) - 1
	growth  float64 // e^w8
	mean    float64 // the difficulty that all difficulties drift to
	lapse   float64 // e^(w17 w18): the least that missing costs
	sameDay [5]float64
	floor   Grade   // least grade at which a second answer on one day cannot weaken
	slowly  float64 // stability after a first slow answer
}

func newFormulas(w Weights) formulas {
	f := formulas{w: w, floor: GradeSteady}
	f.factor = math.Pow(0.9, -1/w[20]) - 1
	f.growth = math.Exp(w[8])
	f.mean = firstDifficulty(&w, GradeQuick)
	f.lapse = math.Exp(w[17] * w[18])
	for g := GradeMissed; g <= GradeQuick; g++ {
		f.sameDay[g] = math.Exp(w[17] * (float64(g) - 3 + w[18]))
	}
	f.slowly = f.first(GradeSlow).Stability
	return f
}

func firstDifficulty(w *Weights, g Grade) float64 {
	return w[4] - math.Exp(w[5]*(float64(g)-1)) + 1
}

// Retrievability is the probability of recall, 0 to 1, after so many days
// (0 or more) without practice: (1 + factor days/S)^-w20.
func (w Weights) Retrievability(m Memory, days float64) float64 {
	f := newFormulas(w)
	return f.retrievability(m.Stability, days)
}

// Next is the memory after an answer of grade g, so many whole days (0 or
// more: 0 is the same practice day) after the one before. A zero m is an item
// never met, and days is then ignored.
func (w Weights) Next(m Memory, days int, g Grade) Memory {
	f := newFormulas(w)
	return f.next(m, float64(days), g)
}

func (f *formulas) retrievability(stability, days float64) float64 {
	if stability <= 0 {
		return 0
	}
	if days <= 0 {
		return 1
	}
	return power(1+f.factor*days/stability, -f.w[20])
}

func (f *formulas) next(m Memory, days float64, g Grade) Memory {
	if m.Stability <= 0 {
		return f.first(g)
	}
	return f.nextAt(m, days, f.retrievability(m.Stability, days), g)
}

func (f *formulas) first(g Grade) Memory {
	return Memory{
		Stability:  clamp(f.w[g-1], MinStability, MaxStability),
		Difficulty: clamp(firstDifficulty(&f.w, g), 1, 10),
	}
}

// nextAt is next for a memory already met whose retrievability r is known.
func (f *formulas) nextAt(m Memory, days, r float64, g Grade) Memory {
	w, s, d := &f.w, m.Stability, m.Difficulty
	switch {
	case days < 1:
		grow := f.sameDay[g] * power(s, -w[19])
		if g >= f.floor {
			grow = max(grow, 1)
		}
		s *= grow
	case g == GradeMissed:
		after := w[11] * power(d, -w[12]) * (power(s+1, w[13]) - 1) * math.Exp((1-r)*w[14])
		s = min(after, s/f.lapse)
	default:
		grow := f.growth * (11 - d) * power(s, -w[9]) * (math.Exp((1-r)*w[10]) - 1)
		switch g {
		case GradeSlow:
			grow *= w[15]
		case GradeQuick:
			grow *= w[16]
		}
		s *= 1 + grow
	}
	// Difficulty moves less the nearer it is to 10, and drifts to the mean.
	d += -w[6] * (float64(g) - 3) * (10 - d) / 9
	d = w[7]*f.mean + (1-w[7])*d
	return Memory{Stability: clamp(s, MinStability, MaxStability), Difficulty: clamp(d, 1, 10)}
}

func clamp(x, low, high float64) float64 { return min(max(x, low), high) }

// power is x to the y for x > 0: half the time of math.Pow, whose special cases
// do not arise here, and as exact as the formulas need.
func power(x, y float64) float64 { return math.Exp(y * math.Log(x)) }
