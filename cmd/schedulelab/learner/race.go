package learner

import (
	"math"
	"math/rand/v2"
)

// race is Logan, "Toward an instance theory of automatization", Psychological
// Review 95 (1988), doi 10.1037/0033-295X.95.4.492: every encounter stores an
// instance, all instances race, and they race against the algorithm, here
// counting up the neck; the first to finish answers. With Weibull finishing
// times of shape c the winner's time falls as the power 1/c of the number of
// instances.
//
// The theory has no forgetting and no spacing. Here an instance loses weight
// as a power of its age (Wixted & Ebbesen 1991), and one stored soon after
// another of the same item adds less, for they share their context (encoding
// variability, Bower 1972). Weights scale the hazard, so the winner's time is
// still Weibull.
type race struct {
	*person
	instance    []float64 // seconds: the scale of a single instance, by item
	nondecision float64
	fade        float64
	stored      [][]instanceOf
	own         []float64
	workTimes   [raceNodes]float64 // quantiles of the algorithm's time over its median
}

type instanceOf struct{ day, weight float64 }

const (
	raceShape      = 2.0  // power 1/2 of practice: within Logan's fits of 0.3 to 0.9, from memory
	raceScale      = 4.4  // seconds. Chosen, no source: about ten fresh instances beat the aim
	raceStart      = 0.35 // seconds to see and to press. Chosen.
	fadeExponent   = 0.2  // within the 0.1 to 0.5 of Wixted & Ebbesen 1991, from memory
	fadeDays       = 0.25 // age at which fading sets in. Chosen.
	contextOverlap = 0.7  // of an instance stored at once after another. Chosen.
	contextDays    = 0.7  // and its time constant. Chosen.
	raceNodes      = 8    // equally likely algorithm times of the integral over the race
)

func newRace(p *person, rng *rand.Rand) *race {
	r := &race{
		person:      p,
		nondecision: raceStart * math.Exp(0.1*rng.NormFloat64()),
		fade:        fadeExponent * math.Exp(0.15*rng.NormFloat64()),
		instance:    make([]float64, len(p.aim)),
		stored:      make([][]instanceOf, len(p.aim)),
		own:         make([]float64, len(p.aim)),
	}
	base := raceScale * math.Exp(0.2*rng.NormFloat64())
	for i, z := range p.hard {
		r.instance[i] = base * math.Exp(0.2*z) * p.scale[i]
	}
	for k := range r.workTimes {
		r.workTimes[k] = math.Exp(workSpread * quantile((float64(k)+0.5)/raceNodes))
	}
	return r
}

func (r *race) weight(stored []instanceOf, day float64) float64 {
	sum := 0.0
	for _, s := range stored {
		sum += s.weight * math.Exp(-r.fade*math.Log1p(max(0, day-s.day)/fadeDays))
	}
	return sum
}

func (r *race) total(item int, day float64) float64 {
	sum := r.weight(r.stored[item], day)
	for _, k := range r.kin[item] {
		if len(r.stored[k.Item]) > 0 {
			sum += k.Weight * r.weight(r.stored[k.Item], day)
		}
	}
	return sum
}

// unfinished is the chance that no instance has finished by t seconds.
func (r *race) unfinished(item int, total, t float64) float64 {
	x := (t - r.nondecision*r.scale[item]) / r.instance[item]
	if x <= 0 {
		return 1
	}
	return math.Exp(-total * x * x) // x^raceShape
}

func (r *race) fluencyAt(item int, total float64) float64 {
	// Right within the aim: an instance wins by then, or the algorithm does
	// and counts right. The algorithm's time is integrated over equally
	// likely values.
	aim := r.aim[item]
	byMemory, byWork := 0.0, 0.0
	late := 1 - r.unfinished(item, total, aim)
	for _, q := range r.workTimes {
		t := q * r.workMedian[item]
		if t >= aim {
			byMemory += late
			continue
		}
		left := r.unfinished(item, total, t)
		byMemory += 1 - left
		byWork += left
	}
	return (byMemory*(1-r.slip) + byWork*(1-r.workError[item])) / raceNodes
}

func (r *race) answer(item int, day, gain float64, luck Luck) Answer {
	total := r.total(item, day)
	work := r.workMedian[item] * math.Exp(workSpread*quantile(luck.Time))
	memory := math.Inf(1)
	if total > 0 {
		memory = r.nondecision*r.scale[item] + r.instance[item]*math.Sqrt(-math.Log(luck.Retrieve)/total)
	}
	answer := Answer{luck.Error >= r.workError[item], work}
	if memory < work {
		answer = Answer{luck.Error >= r.slip, memory}
	}
	r.store(item, day, gain)
	return answer
}

func (r *race) store(item int, day, gain float64) {
	weight := 1.0
	if n := len(r.stored[item]); n > 0 {
		gap := day - r.stored[item][n-1].day
		weight -= contextOverlap * math.Exp(-gap/contextDays)
	}
	r.stored[item] = append(r.stored[item], instanceOf{day, gain * weight})
}

func (r *race) fluencyOn(item int, day float64) float64 {
	return r.fluencyAt(item, r.total(item, day))
}

func (r *race) fluencies(day float64, out []float64) {
	for i := range r.own {
		r.own[i] = r.weight(r.stored[i], day)
	}
	for i := range out {
		total := r.own[i]
		for _, k := range r.kin[i] {
			total += k.Weight * r.own[k.Item]
		}
		out[i] = r.fluencyAt(i, total)
	}
}

func (r *race) secondsOn(item int, day float64) float64 {
	total := r.total(item, day)
	if total == 0 {
		return r.workMedian[item]
	}
	const mean = 0.8862 // of the Weibull with shape 2: gamma(1.5)
	return min(r.workMedian[item], r.nondecision*r.scale[item]+r.instance[item]*mean/math.Sqrt(total))
}

func (r *race) ahead(item int, gain float64, practices, looks, out []float64) {
	keep, next := len(r.stored[item]), 0
	for i, look := range looks {
		for ; next < len(practices) && practices[next] <= look; next++ {
			r.store(item, practices[next], gain)
		}
		out[i] = r.fluencyAt(item, r.total(item, look))
	}
	r.stored[item] = r.stored[item][:keep]
}
