package learner

import (
	"math"
	"math/rand/v2"
)

// sleep remembers in two stores: practice fills a fresh one that fades in days,
// and a night carries part of it over to a lasting one, whose half-life grows with
// every night that carried something. Speed comes of the nights, not of the day
// (gains overnight: Walker and others 2002; Simmons 2012 with musicians, both from
// memory; the form and the numbers are chosen, no source).
type sleep struct {
	*person
	carried float64 // part of what is fresh that a night keeps
	state   []slept
}

type slept struct {
	fresh, lasting float64 // recall is their sum
	life           float64 // days in which what lasts halves
	nights         float64 // that carried something, for speed
	last           float64 // day
	met            bool
}

const (
	freshDays   = 2.0 // in which what is fresh falls to a third, were it not for the night
	freshGain   = 0.6
	nightKeeps  = 0.85
	firstLife   = 2.5 // days
	lifeGrowth  = 2.2 // of the half-life, by a night that carried all
	sleepSpeed  = 0.55
	sleepLeast  = 0.6
	sleepLonger = 2.4
)

func newSleep(p *person, rng *rand.Rand) *sleep {
	return &sleep{person: p, carried: nightKeeps * math.Exp(0.15*rng.NormFloat64()), state: make([]slept, len(p.aim))}
}

// at is the state on a day without anything in between.
func (m *sleep) at(item int, s slept, day float64) slept {
	if !s.met || day <= s.last {
		return s
	}
	if math.Floor(day) > math.Floor(s.last) {
		evening := s.fresh * math.Exp(-(math.Floor(s.last)+1-s.last)/freshDays)
		taken := min(1, m.carried*evening)
		s.nights += taken
		s.life *= 1 + (lifeGrowth*math.Exp(-0.2*m.hard[item])-1)*taken
		s.lasting, s.fresh = min(1, s.lasting+taken), 0
	}
	s.fresh *= math.Exp(-(day - s.last) / freshDays)
	s.lasting *= math.Exp2(-(day - s.last) / s.life)
	s.last = day
	return s
}

func (m *sleep) practise(s slept, gain, day float64) slept {
	if !s.met {
		s = slept{met: true, last: day, life: firstLife}
	}
	s.fresh += freshGain * min(gain, 2) * max(0, 1-s.fresh-s.lasting)
	// What is known is strengthened too, if less.
	s.nights += 0.1 * gain
	return s
}

func (m *sleep) recall(s slept) float64 { return min(1, s.fresh+s.lasting) }

func (m *sleep) median(item int, s slept) float64 {
	return m.scale[item] * (sleepLeast + sleepLonger*math.Exp(0.15*m.hard[item])*math.Pow(1+2*s.nights, -sleepSpeed))
}

func (m *sleep) answer(item int, day, gain float64, luck Luck) Answer {
	s := m.at(item, m.state[item], day)
	a, _ := m.play(item, m.recall(s), m.median(item, s), luck)
	m.state[item] = m.practise(s, gain, day)
	for _, k := range m.kin[item] {
		m.state[k.Item] = m.practise(m.at(k.Item, m.state[k.Item], day), gain*k.Weight, day)
	}
	return a
}

func (m *sleep) fluencyOn(item int, day float64) float64 {
	s := m.at(item, m.state[item], day)
	return m.fluency(item, m.recall(s), m.median(item, s))
}

func (m *sleep) secondsOn(item int, day float64) float64 {
	s := m.at(item, m.state[item], day)
	return m.seconds(item, m.recall(s), m.median(item, s))
}

func (m *sleep) ahead(item int, gain float64, practices, looks, out []float64) {
	along(m.state[item], practices, looks, out, func(s slept, day float64) slept {
		return m.practise(m.at(item, s, day), gain, day)
	}, func(s slept, day float64) float64 {
		s = m.at(item, s, day)
		return m.fluency(item, m.recall(s), m.median(item, s))
	})
}
