package learner

import (
	"math"
	"math/rand/v2"
)

// activation is declarative memory after Pavlik & Anderson, "Practice and
// forgetting effects on vocabulary memory: an activation-based model of the
// spacing effect", Cognitive Science 29 (2005), doi 10.1207/s15516709cog0000_14:
// every practice leaves a trace that decays as a power of its age, the faster
// the more active the item was when the trace was laid, which yields the
// spacing effect; psychological time runs slower outside the sitting. What the
// activation with its logistic noise does not lift over the threshold is not
// retrieved; what it does takes F e^-A seconds (Anderson & Lebiere 1998).
//
// Kin lend a part of their strength to the sum under the logarithm.
type activation struct {
	*person
	intercept, scaleC, noise, latency, fixed float64
	threshold                                []float64 // by item
	offset                                   []float64 // of activation, by item: easy above 0
	traces                                   [][]decaying
	own                                      []float64 // scratch of fluencies
	lastDay, lastClock                       float64
}

type decaying struct{ at, decay, weight float64 }

const (
	// The fit of Pavlik & Anderson 2005, from memory.
	decayIntercept = 0.177
	decayScale     = 0.217
	recallTau      = -0.704
	recallNoise    = 0.255
	outsideTime    = 0.025 // seconds of psychological time in one outside the sitting

	// Chosen, no source: a fact at activation 0 comes in 1.35 s, one at the
	// threshold in 2.3 s, a thoroughly known one in 0.7 s.
	latencyF     = 0.9
	latencyFixed = 0.45
	sittingGap   = 60.0 // seconds between answers that still count as the sitting
)

func newActivation(p *person, rng *rand.Rand) *activation {
	vary := func(sd float64) float64 { return math.Exp(sd * rng.NormFloat64()) }
	a := &activation{
		person:    p,
		intercept: decayIntercept * vary(0.1),
		scaleC:    decayScale * vary(0.1),
		noise:     recallNoise * vary(0.1),
		latency:   latencyF * vary(0.1),
		fixed:     latencyFixed * vary(0.1),
		threshold: make([]float64, len(p.aim)),
		offset:    make([]float64, len(p.aim)),
		traces:    make([][]decaying, len(p.aim)),
		own:       make([]float64, len(p.aim)),
		lastDay:   -100,
	}
	tau := recallTau + 0.15*rng.NormFloat64()
	for i, z := range p.hard {
		a.offset[i] = -0.3 * z
		// A memory slower than counting is not waited for.
		a.threshold[i] = max(tau, a.enough(p.workMedian[i]/p.scale[i]))
	}
	return a
}

// clock is psychological time in seconds.
func (a *activation) clock(day float64) float64 {
	gap := (day - a.lastDay) * 86400
	return a.lastClock + min(gap, sittingGap) + outsideTime*max(0, gap-sittingGap)
}

func sumTraces(traces []decaying, clock float64) float64 {
	sum := 0.0
	for _, t := range traces {
		sum += t.weight * math.Exp(-t.decay*math.Log(max(1, clock-t.at)))
	}
	return sum
}

func (a *activation) lent(item int, clock float64) float64 {
	sum := 0.0
	for _, k := range a.kin[item] {
		if len(a.traces[k.Item]) > 0 {
			sum += k.Weight * sumTraces(a.traces[k.Item], clock)
		}
	}
	return sum
}

// level is the activation without its noise; minus infinity when never met.
func (a *activation) level(item int, clock float64) float64 {
	return math.Log(sumTraces(a.traces[item], clock)+a.lent(item, clock)) + a.offset[item]
}

// enough is the activation that answers within so many seconds at scale 1.
func (a *activation) enough(seconds float64) float64 {
	if room := seconds - a.fixed; room > 0 {
		return -math.Log(room / a.latency)
	}
	return math.Inf(1)
}

func (a *activation) fluencyAt(item int, level float64) float64 {
	recall := logistic((level - a.threshold[item]) / a.noise)
	least := max(a.threshold[item], a.enough(a.aim[item]/a.scale[item]))
	fast := logistic((level - least) / a.noise)
	return fast*(1-a.slip) + (1-recall)*a.workFluent[item]
}

func (a *activation) answer(item int, day, gain float64, luck Luck) Answer {
	now := a.clock(day)
	level := a.level(item, now)
	noisy := level + a.noise*math.Log((1-luck.Retrieve)/luck.Retrieve)
	var answer Answer
	if noisy > a.threshold[item] {
		// The luck of time is in the activation already; a small rest is motor.
		took := a.scale[item] * (a.fixed + a.latency*math.Exp(-noisy))
		answer = Answer{luck.Error >= a.slip, took}
	} else {
		answer, _ = a.workOut(item, luck)
	}
	a.traces[item] = append(a.traces[item], decaying{now, a.decay(level), gain})
	a.lastDay, a.lastClock = day, now
	return answer
}

func (a *activation) decay(level float64) float64 {
	return a.scaleC*math.Exp(level) + a.intercept
}

func (a *activation) fluencyOn(item int, day float64) float64 {
	return a.fluencyAt(item, a.level(item, a.clock(day)))
}

func (a *activation) fluencies(day float64, out []float64) {
	now := a.clock(day)
	for i := range a.own {
		a.own[i] = sumTraces(a.traces[i], now)
	}
	for i := range out {
		sum := a.own[i]
		for _, k := range a.kin[i] {
			sum += k.Weight * a.own[k.Item]
		}
		out[i] = a.fluencyAt(i, math.Log(sum)+a.offset[i])
	}
}

func (a *activation) secondsOn(item int, day float64) float64 {
	level := a.level(item, a.clock(day))
	recall := logistic((level - a.threshold[item]) / a.noise)
	if recall < 1e-6 {
		return a.workMedian[item]
	}
	took := a.scale[item] * (a.fixed + a.latency*math.Exp(-max(level, a.threshold[item])))
	return recall*took + (1-recall)*a.workMedian[item]
}

func (a *activation) ahead(item int, gain float64, practices, looks, out []float64) {
	keep := len(a.traces[item])
	next := 0
	for i, look := range looks {
		for ; next < len(practices) && practices[next] <= look; next++ {
			now := a.clock(practices[next])
			a.traces[item] = append(a.traces[item], decaying{now, a.decay(a.level(item, now)), gain})
		}
		out[i] = a.fluencyAt(item, a.level(item, a.clock(look)))
	}
	a.traces[item] = a.traces[item][:keep]
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }
