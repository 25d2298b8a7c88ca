package learner

import (
	"math"
	"math/rand/v2"
)

// halfLife forgets exponentially, with a half-life that is a power of two of
// the square root of how much was practised (Settles & Meeder, "A trainable
// spaced repetition model for language learning", ACL 2016), and answers
// faster by the power law of practice (Newell & Rosenbloom 1981). Speed, once
// gained, stays; memory fades.
type halfLife struct {
	*person
	theta    float64
	exponent float64
	state    []halfLived
}

type halfLived struct {
	practice float64 // effective practices of memory
	count    float64 // practices of speed, kin's parts included
	last     float64 // day; a kin's practice moves it on by its weight
	met      bool
}

const (
	// Half a day after no practice to speak of, 1.5 days after one, 4 after
	// four, 15 after ten well spaced. Chosen, no source: Settles & Meeder
	// print no weights for the counts alone.
	baseHalfLife = 0.5
	thetaRoot    = 1.55
	// What a practice counts when nothing had been forgotten; it counts whole
	// when all had. The benefit of a gap: Cepeda et al. 2006. Chosen value.
	massed = 0.3
	// A thing worked out, and one told after a miss. Chosen, no source.
	workedWorth = 0.8
	missedWorth = 0.5
	missedKeeps = 0.85

	// Exponents of practice run from 0.2 to 0.6 for such tasks (Newell &
	// Rosenbloom 1981, from memory); the seconds are chosen.
	speedExponent = 0.4
	speedLeast    = 0.6
	speedRoom     = 2.4
)

func newHalfLife(p *person, rng *rand.Rand) *halfLife {
	return &halfLife{
		person:   p,
		theta:    thetaRoot * math.Exp(0.12*rng.NormFloat64()),
		exponent: speedExponent * math.Exp(0.1*rng.NormFloat64()),
		state:    make([]halfLived, len(p.aim)),
	}
}

func (h *halfLife) recall(item int, s halfLived, day float64) float64 {
	if !s.met {
		return 0
	}
	life := baseHalfLife * math.Exp2(h.theta*math.Sqrt(s.practice)*math.Exp(-0.15*h.hard[item]))
	return math.Exp2(-max(0, day-s.last) / life)
}

func (h *halfLife) median(item int, s halfLived) float64 {
	return h.scale[item] * (speedLeast + speedRoom*math.Exp(0.15*h.hard[item])*math.Pow(max(1, s.count), -h.exponent))
}

// after is the state after one practice of so much gain, and how much of a practice
// it was.
func (h *halfLife) after(s halfLived, recall, rate float64, r route, day float64) (halfLived, float64) {
	gain := 0.0
	switch r {
	case retrieved:
		gain = massed + (1-massed)*(1-recall)
	case workedOut:
		gain = workedWorth
	case missed:
		s.practice *= missedKeeps
		gain = missedWorth
	}
	gain *= rate
	s.practice += gain
	s.count += rate
	s.last, s.met = day, true
	return s, gain
}

func (h *halfLife) answer(item int, day, gain float64, luck Luck) Answer {
	s := h.state[item]
	recall := h.recall(item, s, day)
	answer, r := h.play(item, recall, h.median(item, s), luck)
	next, gained := h.after(s, recall, gain, r, day)
	h.state[item] = next
	for _, k := range h.kin[item] {
		o := &h.state[k.Item]
		if !o.met {
			o.met, o.last = true, day
		}
		o.practice += k.Weight * gained
		o.count += k.Weight * gain
		o.last += k.Weight * (day - o.last)
	}
	return answer
}

func (h *halfLife) fluencyOn(item int, day float64) float64 {
	s := h.state[item]
	return h.fluency(item, h.recall(item, s, day), h.median(item, s))
}

func (h *halfLife) secondsOn(item int, day float64) float64 {
	s := h.state[item]
	return h.seconds(item, h.recall(item, s, day), h.median(item, s))
}

func (h *halfLife) ahead(item int, gain float64, practices, looks, out []float64) {
	along(h.state[item], practices, looks, out, func(s halfLived, day float64) halfLived {
		recall := h.recall(item, s, day)
		s, _ = h.after(s, recall, gain, likely(recall), day)
		return s
	}, func(s halfLived, day float64) float64 {
		return h.fluency(item, h.recall(item, s, day), h.median(item, s))
	})
}
