package learner

import (
	"math"
	"math/rand/v2"
)

// pools remembers in leaky pools of many time scales, each correcting what
// the faster ones leave (Mozer, Pashler, Cepeda, Lindsey & Vul, "Predicting
// the optimal spacing of study: a multiscale context model of memory", NIPS
// 2009). Speed lives apart, as a habit that grows with every practice by a
// share of what is missing and is slowly lost without.
type pools struct {
	*person
	leak  [poolCount]float64 // days
	gamma [poolCount]float64
	rate  float64
	state []pooled
}

const poolCount = 6

type pooled struct {
	x     [poolCount]float64
	habit float64 // 0 to 1
	last  float64
}

const (
	// Time constants 0.02 days to 60 days in equal ratios, and each slower pool
	// weighing 0.9 of the one before: the form is the paper's, values chosen.
	poolFirst, poolLast = 0.02, 60.0
	poolWeight          = 0.9
	poolRate            = 0.35 // of the error, after a success; more after a failure
	poolFailure         = 1.8
	// Recall is a steep function of the pooled strength. Chosen.
	poolMiddle, poolSteep = 0.22, 0.05
	// Habit: chosen, no source.
	habitGain, habitDays = 0.11, 90.0
	habitSlow, habitFast = 2.8, 0.75
)

func newPools(p *person, rng *rand.Rand) *pools {
	m := &pools{person: p, rate: poolRate * math.Exp(0.15*rng.NormFloat64()), state: make([]pooled, len(p.aim))}
	for i := range m.state {
		m.state[i].last = -100
	}
	ratio := math.Pow(poolLast/poolFirst, 1.0/(poolCount-1))
	for i := range poolCount {
		m.leak[i] = poolFirst * math.Pow(ratio, float64(i)) * math.Exp(0.1*rng.NormFloat64())
		m.gamma[i] = math.Pow(poolWeight, float64(i))
	}
	return m
}

func (m *pools) at(s pooled, day float64) pooled {
	gap := max(0, day-s.last)
	for i := range s.x {
		s.x[i] *= math.Exp(-gap / m.leak[i])
	}
	s.habit *= math.Exp(-gap / habitDays)
	s.last = max(s.last, day)
	return s
}

func (m *pools) recall(item int, s pooled) float64 {
	sum, weight := 0.0, 0.0
	for i, x := range s.x {
		sum += m.gamma[i] * x
		weight += m.gamma[i]
	}
	if sum == 0 {
		return 0
	}
	return logistic((sum/weight - poolMiddle - 0.02*m.hard[item]) / poolSteep)
}

func (m *pools) median(item int, s pooled) float64 {
	return m.scale[item] * math.Exp(0.1*m.hard[item]) * (habitFast + (habitSlow-habitFast)*(1-s.habit)*(1-s.habit))
}

// practise moves every pool towards 1 by what it and the faster ones miss.
func (m *pools) practise(s pooled, part float64, failed bool) pooled {
	rate := m.rate * part
	if failed {
		rate = min(1, rate*poolFailure)
	}
	sum, weight := 0.0, 0.0
	for i := range s.x {
		sum += m.gamma[i] * s.x[i]
		weight += m.gamma[i]
		s.x[i] += rate * max(0, 1-sum/weight)
	}
	s.habit += habitGain * part * (1 - s.habit)
	return s
}

func (m *pools) answer(item int, day, gain float64, luck Luck) Answer {
	s := m.at(m.state[item], day)
	answer, r := m.play(item, m.recall(item, s), m.median(item, s), luck)
	m.state[item] = m.practise(s, gain, r != retrieved)
	for _, k := range m.kin[item] {
		m.state[k.Item] = m.practise(m.at(m.state[k.Item], day), k.Weight*gain, false)
	}
	return answer
}

func (m *pools) fluencyOn(item int, day float64) float64 {
	s := m.at(m.state[item], day)
	return m.fluency(item, m.recall(item, s), m.median(item, s))
}

func (m *pools) secondsOn(item int, day float64) float64 {
	s := m.at(m.state[item], day)
	return m.seconds(item, m.recall(item, s), m.median(item, s))
}

func (m *pools) ahead(item int, gain float64, practices, looks, out []float64) {
	along(m.state[item], practices, looks, out, func(s pooled, day float64) pooled {
		s = m.at(s, day)
		return m.practise(s, gain, likely(m.recall(item, s)) != retrieved)
	}, func(s pooled, day float64) float64 {
		s = m.at(s, day)
		return m.fluency(item, m.recall(item, s), m.median(item, s))
	})
}
