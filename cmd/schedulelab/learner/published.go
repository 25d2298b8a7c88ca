package learner

import (
	"math"
	"math/rand/v2"

	"surefret/cmd/schedulelab/dsr"
)

// published remembers by the published model of difficulty, stability and
// retrievability, version 6, with weights and difficulties of his own. The
// publication says nothing of time: here it follows the power law of practice
// with the seconds of half-life, longer the less retrievable the fact is.
type published struct {
	*person
	model    *dsr.Model
	exponent float64
	state    []dsrState
}

type dsrState struct {
	memory dsr.Memory
	last   float64 // day
	count  float64
}

const (
	weightSpread    = 0.15 // of the logarithm of each weight. Chosen, no source.
	stabilitySpread = 0.4  // of the first stability, by player and by item
	difficultyItem  = 1.0  // standard deviation of first difficulties
)

func newPublished(p *person, rng *rand.Rand) *published {
	w := dsr.Published
	for i := range w {
		w[i] *= math.Exp(weightSpread * rng.NormFloat64())
	}
	first := math.Exp(stabilitySpread * rng.NormFloat64())
	for i := range 4 {
		w[i] = dsr.Published[i] * first
	}
	w[20] = min(max(w[20], 0.1), 0.3)
	return &published{
		person:   p,
		model:    dsr.NewModel(w),
		exponent: speedExponent * math.Exp(0.1*rng.NormFloat64()),
		state:    make([]dsrState, len(p.aim)),
	}
}

func (d *published) recall(s dsrState, day float64) float64 {
	return d.model.Recall(s.memory, day-s.last)
}

func (d *published) median(item int, s dsrState, recall float64) float64 {
	room := speedRoom * math.Exp(0.15*d.hard[item]+1-recall)
	return d.scale[item] * (speedLeast + room*math.Pow(max(1, s.count), -d.exponent))
}

func (d *published) first(item int, g dsr.Grade) dsr.Memory {
	m := d.model.First(g)
	m.Stability *= math.Exp(-stabilitySpread * d.hard[item])
	m.Difficulty = min(max(m.Difficulty+difficultyItem*d.hard[item], 1), 10)
	return m
}

func (d *published) after(item int, s dsrState, g dsr.Grade, gain, day float64) dsrState {
	before := s.memory.Stability
	if before == 0 {
		s.memory = d.first(item, g)
	} else {
		s.memory = d.model.Next(s.memory, day-s.last, g)
	}
	if s.memory.Stability > before { // of what is gained the player keeps his part
		s.memory.Stability = before + gain*(s.memory.Stability-before)
	}
	s.count += gain
	s.last = day
	return s
}

func (d *published) answer(item int, day, gain float64, luck Luck) Answer {
	s := d.state[item]
	recall := d.recall(s, day)
	answer, r := d.play(item, recall, d.median(item, s, recall), luck)
	g := dsr.Grade(3)
	switch {
	case !answer.Right:
		g = 1
	case r == workedOut:
		g = 2
	case answer.Thinking < d.aim[item]/2:
		g = 4
	}
	d.state[item] = d.after(item, s, g, gain, day)
	for _, k := range d.kin[item] {
		o := &d.state[k.Item]
		o.count += k.Weight * gain
		if o.memory.Stability == 0 {
			o.memory = d.first(k.Item, 3)
			o.memory.Stability *= k.Weight * gain
			o.last = day
			continue
		}
		// A part of what practice would have done.
		stronger := d.model.Next(o.memory, day-o.last, 3).Stability
		o.memory.Stability += k.Weight * gain / 2 * (stronger - o.memory.Stability)
		o.last += k.Weight / 2 * (day - o.last)
	}
	return answer
}

func (d *published) fluencyOn(item int, day float64) float64 {
	s := d.state[item]
	recall := d.recall(s, day)
	return d.fluency(item, recall, d.median(item, s, recall))
}

func (d *published) secondsOn(item int, day float64) float64 {
	s := d.state[item]
	recall := d.recall(s, day)
	return d.seconds(item, recall, d.median(item, s, recall))
}

func (d *published) ahead(item int, gain float64, practices, looks, out []float64) {
	along(d.state[item], practices, looks, out, func(s dsrState, day float64) dsrState {
		g := dsr.Grade(3)
		if likely(d.recall(s, day)) != retrieved {
			g = 2
		}
		return d.after(item, s, g, gain, day)
	}, func(s dsrState, day float64) float64 {
		recall := d.recall(s, day)
		return d.fluency(item, recall, d.median(item, s, recall))
	})
}
