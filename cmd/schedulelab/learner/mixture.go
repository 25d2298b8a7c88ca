package learner

import "math/rand/v2"

// mixture is a player with two memories: both learn from every answer, and by chance
// the one or the other gives it.
type mixture struct {
	a, b   memory
	weight float64 // of a
	other  []float64
}

// newMixture draws two of the other memories.
func newMixture(p *person, rng *rand.Rand) *mixture {
	first := rng.IntN(5)
	second := (first + 1 + rng.IntN(4)) % 5
	made := func(k int) memory {
		m, err := newMemory(Memories[k], p, rng)
		if err != nil {
			panic(err) // the names are ours
		}
		return m
	}
	return &mixture{made(first), made(second), 0.2 + 0.6*rng.Float64(), make([]float64, len(p.aim))}
}

func (m *mixture) mixed(a, b float64) float64 { return m.weight*a + (1-m.weight)*b }

func (m *mixture) answer(item int, day, gain float64, luck Luck) Answer {
	a, b := m.a.answer(item, day, gain, luck), m.b.answer(item, day, gain, luck)
	if more(luck.Retrieve) < m.weight {
		return a
	}
	return b
}

func (m *mixture) fluencyOn(item int, day float64) float64 {
	return m.mixed(m.a.fluencyOn(item, day), m.b.fluencyOn(item, day))
}

func (m *mixture) fluencies(day float64, out []float64) {
	fluencies(m.a, day, out)
	fluencies(m.b, day, m.other)
	for i := range out {
		out[i] = m.mixed(out[i], m.other[i])
	}
}

func (m *mixture) secondsOn(item int, day float64) float64 {
	return m.mixed(m.a.secondsOn(item, day), m.b.secondsOn(item, day))
}

func (m *mixture) ahead(item int, gain float64, practices, looks, out []float64) {
	other := m.other[:len(out)]
	m.a.ahead(item, gain, practices, looks, out)
	m.b.ahead(item, gain, practices, looks, other)
	for i := range out {
		out[i] = m.mixed(out[i], other[i])
	}
}
