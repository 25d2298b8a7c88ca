package fretboard

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Dynamic programming must find what trying every sequence of states finds.
func TestNoSequenceOfStatesIsCheaper(t *testing.T) {
	fb := Fretboard{Tuning: Standard, Frets: 22}
	rng := rand.New(rand.NewPCG(3, 4))
	for range 60 {
		var part []Sound
		for range 4 {
			part = append(part, Sound{MIDI: []int{45 + rng.IntN(12)}, Beats: []float64{0.25, 1}[rng.IntN(2)]})
		}
		w := Wish{High: 12}
		g := newGraph(fb, w)
		least := math.Inf(1)
		var try func(i int, prev *state, cost float64)
		try = func(i int, prev *state, cost float64) {
			if i == len(part) {
				least = min(least, cost)
				return
			}
			states := g.states(&part[i])
			for k := range states {
				c := cost + states[k].cost
				if prev != nil {
					c += g.effort.mover(part[i-1].Beats).move(prev, &states[k], nil)
				}
				try(i+1, &states[k], c)
			}
		}
		try(0, nil, 0)
		p, err := fb.Refinger(part, w)
		if err != nil || math.Abs(p.Cost-least) > 1e-9 {
			t.Fatalf("%v: found %.3f (%v), exhaustive search %.3f", part, p.Cost, err, least)
		}
	}
}
