package scheduler

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

// remembering is the log of a player who remembers by the published formulas
// with weights of his own: in time what he remembers, over the aim what he
// works out. Items are asked at random, a hundred a day.
func remembering(items []Item, n int, w Weights, seed uint64) []Answer {
	rng := rand.New(rand.NewPCG(seed, 4))
	f := newFormulas(w)
	states := make([]State, len(items))
	log := make([]Answer, 0, n)
	for k := range n {
		i, day := rng.IntN(len(items)), Day(k/100)
		s := &states[i]
		days := float64(day - s.Day)
		r := f.retrievability(s.Stability, days)
		remembered := rng.Float64() < r
		thinking := 2.2 * math.Exp(0.2+0.2*rng.NormFloat64())
		if remembered {
			thinking = 0.9 * math.Exp(0.2*rng.NormFloat64())
		}
		g := GradeSlow
		if remembered {
			g = GradeSteady
		}
		s.Memory = f.next(s.Memory, days, g)
		s.Asked, s.Day = s.Asked+1, day
		log = append(log, Answer{Item: items[i].ID, At: morning.AddDate(0, 0, int(day)).Add(time.Duration(k%100) * 5 * time.Second),
			Right: remembered || rng.Float64() < 0.9, Thinking: time.Duration(thinking * float64(time.Second))})
	}
	return log
}

// lossOf counts the log loss again, by what anybody may ask of a planner: over
// the answers from one on, the first of their item on a day.
func lossOf(t *testing.T, items []Item, log []Answer, from int, w Weights) float64 {
	t.Helper()
	p := newPlanner(t, items, Options{Weights: w})
	sum, n := 0.0, 0.0
	for k, r := range log {
		if s, _ := p.State(r.Item); k >= from && s.Asked > 0 && DayOf(r.At, nil) > s.Day {
			f := min(max(p.Fluency(r.Item, r.At), 0.001), 0.999)
			if !p.Outcome(r).Fluent() {
				f = 1 - f
			}
			sum -= math.Log(f)
			n++
		}
		p.Learn(r)
	}
	return sum / n
}

func TestOnlyTheLatestAnswersAreFitted(t *testing.T) {
	if testing.Short() {
		t.Skip("two long fits")
	}
	items := board(60)
	log := history(items, fitMost+2000, 150, 3)
	all, err := FitWeights(t.Context(), items, log, Options{})
	if err != nil {
		t.Fatal(err)
	}
	latest, err := FitWeights(t.Context(), items, log[2000:], Options{})
	if err != nil || all != latest || all.Answers != fitMost {
		t.Errorf("of all %+v, of the latest %+v, %v", all, latest, err)
	}
}

// Weights up to four times off the default: what is fitted to sixty days never
// predicts the twenty after them worse, which the fit never saw.
func TestOwnWeightsNeverPredictWhatComesLaterWorse(t *testing.T) {
	items := board(300)
	const players = 5
	for seed := range uint64(players) {
		own := DefaultWeights
		rng := rand.New(rand.NewPCG(seed, 9))
		for _, k := range fitted {
			own[k] *= math.Exp(0.7 * rng.NormFloat64())
		}
		log := remembering(items, 8000, own, seed)
		fit, err := FitWeights(t.Context(), items, log[:6000], Options{})
		if err != nil {
			t.Fatal(err)
		}
		by := lossOf(t, items, log, 6000, DefaultWeights) - lossOf(t, items, log, 6000, fit.Weights)
		if by < -0.002 {
			t.Errorf("player %d: later answers are predicted worse by %.4f", seed, -by)
		}
	}
}

func TestWeightsInUseGiveWayWhenTheyPredictNoBetter(t *testing.T) {
	items := board(300)
	log := remembering(items, 3000, DefaultWeights, 3)
	bad := DefaultWeights
	bad[8] -= 3
	bad[0], bad[1], bad[2] = bad[0]/100, bad[1]/100, bad[2]/100
	fit, err := FitWeights(t.Context(), items, log, Options{Weights: bad})
	if err != nil {
		t.Fatal(err)
	}
	if fit.Weights == bad || fit.Own > fit.Before || !fit.Kept && fit.Weights != DefaultWeights {
		t.Errorf("%+v", fit)
	}
}

func TestFittingCanBeCalledOff(t *testing.T) {
	items := board(60)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	fit, err := FitWeights(ctx, items, history(items, 3000, 100, 9), Options{})
	if !errors.Is(err, context.Canceled) || fit.Kept || fit.Weights != DefaultWeights {
		t.Errorf("called off: %v %+v", err, fit)
	}
}

func TestOwnWeightsAreKeptOnlyIfTheyPredictBetter(t *testing.T) {
	items := board(60)
	noise := history(items, 3000, 100, 9) // luck, that no weights predict
	for seed := range uint64(4) {
		noise = history(items, 3000, 100, 9+seed)
		fit, err := FitWeights(t.Context(), items, noise, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if fit.Kept || fit.Weights != DefaultWeights || fit.Own != fit.Before {
			t.Errorf("%+v", fit)
		}
		if fit.HeldOut != 600 {
			t.Errorf("%d held out of 3000", fit.HeldOut)
		}
		for w, said := range map[Weights]float64{DefaultWeights: fit.Before, fit.Weights: fit.Own} {
			if want := lossOf(t, items, noise, 2400, w); math.Abs(said-want) > 1e-12 {
				t.Errorf("held-out loss %.6f, counted again %.6f", said, want)
			}
		}
	}
	if fit, _ := FitWeights(t.Context(), items, noise[:500], Options{}); fit.Kept || fit.Weights != DefaultWeights {
		t.Errorf("fitted to 500 reviews: %+v", fit)
	}
	if _, err := FitWeights(t.Context(), []Item{{}}, noise, Options{}); err == nil || !strings.Contains(err.Error(), "no id") {
		t.Errorf("error %v", err)
	}
}

func TestBetterIsMoreThanLuck(t *testing.T) {
	row := func(n int, gain, luck float64) (own, before []float64) {
		for i := range n {
			before = append(before, 0.6)
			own = append(own, 0.6-gain+luck*float64(i%2*2-1))
		}
		return own, before
	}
	for _, c := range []struct {
		n          int
		gain, luck float64
		want       bool
	}{
		{200, 0.02, 0.05, true},
		{200, 0.02, 0.5, false},   // the same gain among more luck
		{200, 0.0001, 0, false},   // too little to matter
		{200, -0.02, 0.05, false}, // worse
		{1, 0.1, 0, false},        // one review proves nothing
		{0, 0, 0, false},
	} {
		if got := better(row(c.n, c.gain, c.luck)); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}
