package learner

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"

	"surefret/cmd/schedulelab/board"
)

// Traits are what players of one family differ in, beside what every family draws.
// All ranges are chosen, no source, and wide on purpose.
type Traits struct {
	Family   string
	Transfer float64 // of what is declared, what kin lend truly: 0 to 1
	Strain   float64 // added to how hard every item is, standard deviations
	Lapse    float64 // chance that a thing known is answered wrong
	Stuck    float64 // share of items that take twice the time for ever
	Known    float64 // share of the board that was played for years
	Wrong    float64 // chance that an item is answered wrong when it is first seen
	Tail     float64 // chance that an answer takes two to four times as long
}

// DrawTraits draws a player of one of the families.
func DrawTraits(families []string, rng *rand.Rand) Traits {
	t := Traits{
		Family:   families[rng.IntN(len(families))],
		Transfer: rng.Float64(),
		Strain:   0.7 * rng.NormFloat64(),
		Lapse:    0.1 * rng.Float64() * rng.Float64(),
		Stuck:    0.1 * max(0, 2*rng.Float64()-1),
		Tail:     0.08 * rng.Float64(),
	}
	switch kind := rng.Float64(); {
	case kind < 0.4: // a beginner
		t.Wrong = 0.2 + 0.6*rng.Float64()
	case kind < 0.8: // some years
		t.Known, t.Wrong = 0.35*rng.Float64(), 0.3*rng.Float64()
	default: // an old hand
		t.Known = 0.4 + 0.35*rng.Float64()
	}
	return t
}

// NewDrawn returns the player of some traits, drawn from seed, on board b.
func NewDrawn(t Traits, b *board.Board, seed uint64) (Learner, error) {
	rng := rand.New(rand.NewPCG(seed, 0xd4a3))
	p := newPlayer(b, rng)
	p.slip = 0.01 + t.Lapse
	for i := range p.hard {
		p.hard[i] += t.Strain
		if rng.Float64() < t.Stuck {
			p.scale[i] *= 2
			p.workMedian[i] *= 2
			p.workFluent[i] = (1 - p.workError[i]) * normal(math.Log(p.aim[i]/p.workMedian[i])/workSpread)
		}
		for k, l := range b.Kin[i] {
			p.kin[i][k].Weight = min(0.9, l.Weight*t.Transfer*(0.5+rng.Float64()))
		}
	}
	var inner Learner
	switch t.Family {
	case "activation":
		inner = newActivation(p, rng)
	case "half-life":
		inner = newHalfLife(p, rng)
	case "published":
		inner = newPublished(p, rng)
	case "race":
		inner = newRace(p, rng)
	case HeldOut:
		inner = newPools(p, rng)
	default:
		return nil, fmt.Errorf("no family of learners is called %q", t.Family)
	}
	d := &drawn{Learner: inner, traits: t, seen: make([]bool, len(p.aim))}
	d.playedForYears(rng)
	return d, nil
}

// drawn wraps a family: what is new to the player goes wrong, and time has a tail.
type drawn struct {
	Learner
	traits Traits
	seen   []bool
}

// playedForYears lets the player meet what he knows eight times in the two years
// before the course. Learners want their past in order.
func (d *drawn) playedForYears(rng *rand.Rand) {
	type past struct {
		day  float64
		item int
	}
	var all []past
	for i := range d.seen {
		if d.seen[i] = rng.Float64() < d.traits.Known; d.seen[i] {
			for range 8 {
				all = append(all, past{-700 + 695*math.Sqrt(rng.Float64()), i})
			}
		}
	}
	sort.Slice(all, func(i, j int) bool { return all[i].day < all[j].day })
	for _, a := range all {
		d.Learner.Answer(a.item, a.day, Luck{rng.Float64(), 1 - rng.Float64(), rng.Float64()})
	}
}

func (d *drawn) Answer(item int, day float64, luck Luck) Answer {
	a := d.Learner.Answer(item, day, luck)
	// More luck from the same draw, far down its digits.
	_, first := math.Modf(luck.Error * 9973)
	_, tail := math.Modf(luck.Time * 7919)
	if !d.seen[item] && first < d.traits.Wrong {
		a.Right = false
	}
	d.seen[item] = true
	if tail < d.traits.Tail {
		a.Thinking *= 2 + 2*tail/d.traits.Tail
	}
	return a
}

func (d *drawn) Fluency(item int, day float64) float64 {
	f := d.Learner.Fluency(item, day) * (1 - d.traits.Tail)
	if !d.seen[item] {
		f *= 1 - d.traits.Wrong
	}
	return f
}

func (d *drawn) Fluencies(day float64, out []float64) {
	d.Learner.Fluencies(day, out)
	for i := range out {
		out[i] *= 1 - d.traits.Tail
		if !d.seen[i] {
			out[i] *= 1 - d.traits.Wrong
		}
	}
}
