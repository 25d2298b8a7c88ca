package scheduler

import (
	"context"
	"math"
)

// A Fit is what [FitWeights] found.
type Fit struct {
	Weights     Weights // the player's own if Kept, else [DefaultWeights]
	Kept        bool    // they predict the held-out reviews better
	Answers     int     // looked at
	HeldOut     int     // of them, held out: the latest fifth
	Before, Own float64 // log loss a held-out review by the default and by Weights, natural logarithm: lower is better
}

// Settings of fitting.
const (
	fitLeast   = 1000   // reviews before the player's own weights are worth trying
	fitMost    = 20_000 // the latest reviews looked at, so that it takes well under a second
	fitRounds  = 3
	fitMargin  = 0.0005 // log loss that own weights must win by,
	fitErrors  = 2      // and so many standard errors of what each held-out review gains
	heldOut    = 5      // one in so many, the latest
	fitSmaller = 0.5    // of a step, each round
)

// fitted are the weights that are moved, one after another: how long a first
// answer lasts, how much practice adds and how that saturates, what a miss
// leaves. The rest hardly show in a log of some thousand answers.
var fitted = [...]int{0, 1, 2, 8, 9, 10, 11, 14}

// FitWeights looks for the player's own weights in his log, in log order,
// beginning with opt's. Of those and what it finds it keeps whichever predicts
// his latest reviews best, which neither was fitted to now, and only if that is
// better than the default does. It replays the log some fifty times, well under
// a second: call it off the path of a key press. A log of fewer than 1,000
// reviews is left alone.
//
// Own weights are hardly ever kept. They move one input of the [Player]'s
// regression, which has learnt from the same log: of eight players of
// cmd/schedulelab, four weeks each, none kept any. None was predicted worse by it,
// and it costs a second now and then; it is there for players whom counting practice
// does not explain, such as one whose misses lose all.
//
// It fails as [NewPlanner] does, and with the context's error when that is done.
//
// The search is a coordinate descent on the logarithms of a few weights: the
// loss is cheap and smooth enough, and it cannot run away.
func FitWeights(ctx context.Context, items []Item, log []Answer, opt Options) (Fit, error) {
	if opt.Weights == (Weights{}) {
		opt.Weights = DefaultWeights
	}
	fit := Fit{Weights: DefaultWeights}
	if _, err := NewPlanner(items, opt); err != nil {
		return fit, err
	}
	if len(log) > fitMost {
		log = log[len(log)-fitMost:]
	}
	fit.Answers, fit.HeldOut = len(log), len(log)/heldOut
	if len(log) < fitLeast {
		return fit, nil
	}
	train := len(log) - fit.HeldOut
	losses := func(w Weights, from, to int) []float64 {
		o := opt
		o.Weights = w
		if ctx.Err() != nil {
			return nil
		}
		each, _ := logLosses(items, log[:to], o, from)
		return each // none for weights that no planner takes
	}
	loss := func(w Weights) float64 {
		if each := losses(w, 0, train); len(each) > 0 {
			return mean(each)
		}
		return math.Inf(1)
	}
	best := opt.Weights
	least := loss(best)
	step := 0.4
	for range fitRounds {
		for _, k := range fitted {
			for _, by := range [...]float64{step, -step} {
				w := best
				w[k] *= math.Exp(by)
				if l := loss(w); l < least {
					best, least = w, l
					break
				}
			}
		}
		step *= fitSmaller
	}
	before := losses(DefaultWeights, train, len(log))
	fit.Before = mean(before)
	fit.Own = fit.Before
	for _, w := range [...]Weights{opt.Weights, best} {
		own := losses(w, train, len(log))
		if l := mean(own); len(own) == len(before) && better(own, before) && l < fit.Own {
			fit.Weights, fit.Own, fit.Kept = w, l, true
		}
	}
	return fit, ctx.Err()
}

// better reports whether losses are less than others of the same reviews, by more
// than luck makes likely.
func better(own, before []float64) bool {
	gain := make([]float64, len(own))
	for i := range own {
		gain[i] = before[i] - own[i]
	}
	m := mean(gain)
	spread := 0.0
	for _, g := range gain {
		spread += (g - m) * (g - m)
	}
	n := float64(len(gain))
	return n > 1 && m > max(fitMargin, fitErrors*math.Sqrt(spread/(n-1)/n))
}

// mean is 0 for nothing.
func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(max(len(x), 1))
}
