package learner

import (
	"math"
	"math/rand/v2"
)

// allOrNone learns in steps: an item is not known, known for a short while, or known
// for long, and one practice takes it a step up or leaves it where it is (Bower 1961;
// Atkinson & Crothers 1964, both from memory). There is no strength in between, so
// nothing is half known. Speed grows by the practices since it was last forgotten.
type allOrNone struct {
	*person
	up    [2]float64 // chances of the two steps
	short float64    // days after which one in three of what is known for a short while is left
	long  float64    // and for long
	state []step
}

type step struct {
	high  int // 0 not known, 1 for a short while, 2 for long
	count float64
	last  float64 // day
}

const (
	firstStep, secondStep = 0.55, 0.3
	shortDays, longDays   = 4.0, 150.0
	stepSpeed             = 0.5
)

func newAllOrNone(p *person, rng *rand.Rand) *allOrNone {
	vary := func() float64 { return math.Exp(0.2 * rng.NormFloat64()) }
	return &allOrNone{
		person: p, up: [2]float64{firstStep * vary(), secondStep * vary()},
		short: shortDays * vary(), long: longDays * vary(), state: make([]step, len(p.aim)),
	}
}

// recall is the chance that it is still known.
func (m *allOrNone) recall(s step, day float64) float64 {
	if s.high == 0 {
		return 0
	}
	return math.Exp(-max(0, day-s.last) / [...]float64{1: m.short, 2: m.long}[s.high])
}

func (m *allOrNone) median(item int, s step) float64 {
	return m.scale[item] * (speedLeast + speedRoom*math.Exp(0.15*m.hard[item])*math.Pow(1+s.count, -stepSpeed))
}

// practise takes the item a step up with its chance. What was practised a moment ago
// may not rise to what lasts long: the second step needs a night.
func (m *allOrNone) practise(item int, s step, gain, day, luck float64) step {
	rested := math.Floor(day) > math.Floor(s.last)
	if s.high == 0 || s.high == 1 && rested {
		if luck < m.up[s.high]*gain*math.Exp(-0.2*m.hard[item]) {
			s.high++
		}
	}
	s.count += gain
	s.last = day
	return s
}

func (m *allOrNone) answer(item int, day, gain float64, luck Luck) Answer {
	s := m.state[item]
	a, r := m.play(item, m.recall(s, day), m.median(item, s), luck)
	if r != retrieved && s.high > 0 {
		s = step{count: s.count / 2, last: s.last}
	}
	m.state[item] = m.practise(item, s, gain, day, more(luck.Retrieve))
	for _, k := range m.kin[item] {
		// One that is known is left as it is: kin only help to begin.
		if o := &m.state[k.Item]; o.high == 0 {
			*o = m.practise(k.Item, *o, gain*k.Weight/2, day, more(more(luck.Retrieve)+float64(k.Item)))
		}
	}
	return a
}

func (m *allOrNone) fluencyOn(item int, day float64) float64 {
	s := m.state[item]
	return m.fluency(item, m.recall(s, day), m.median(item, s))
}

func (m *allOrNone) secondsOn(item int, day float64) float64 {
	s := m.state[item]
	return m.seconds(item, m.recall(s, day), m.median(item, s))
}

// ahead rises at every step whose chance is one in four or more.
func (m *allOrNone) ahead(item int, gain float64, practices, looks, out []float64) {
	along(m.state[item], practices, looks, out, func(s step, day float64) step {
		return m.practise(item, s, gain, day, 0.25)
	}, func(s step, day float64) float64 {
		return m.fluency(item, m.recall(s, day), m.median(item, s))
	})
}
