package scheduler

import "math"

// The plan of an item is when to ask it again and again. Its worth is the
// expected number of fluent days within a horizon, less the price of the
// seconds that asking takes. A table holds the worth of the best plan from
// every stability and stage just after an answer, worked backwards from the
// horizon; what a delay costs is the worth of asking now less the worth of the
// best plan that begins tomorrow or later.
const (
	horizon   = 24
	gridLow   = -3.0 // ln days
	gridStep  = 0.35
	gridSteps = 28
)

var gaps = [...]int{1, 2, 3, 4, 6, 8, 11, 15, 20}

const typicalDifficulty = 5

type plan struct {
	price  float64 // fluent days a second is worth
	worth  [horizon + 1][stages][gridSteps]float32
	took   [horizon + 1][stages][gridSteps]float32 // seconds that the best plan will take
	fluent [stages]float64                         // probability of in time if remembered, typical
	cost   [stages + 1]float64
	miss   float64
	lucky  float64
}

const (
	overhead = 1.7 // seconds an answer takes besides thinking
	feedback = 2.8 // more after a miss, to read what was right
)

// at interpolates the tables: worth, price paid, and seconds.
func (l *plan) at(days, stage int, lnStability float64) (worth, seconds float64) {
	x := clamp((lnStability-gridLow)/gridStep, 0, gridSteps-1.001)
	i := int(x)
	x -= float64(i)
	w, t := &l.worth[days][stage], &l.took[days][stage]
	return float64(w[i])*(1-x) + float64(w[i+1])*x, float64(t[i])*(1-x) + float64(t[i+1])*x
}

func next(stage int) int {
	if stage < runOfOne {
		return runOfOne
	}
	return min(stage+1, lastStage)
}

// lay works out the table for a player at a price.
func (l *plan) lay(f *formulas, p *Player, price, aim float64) {
	l.price = price
	l.lucky = p.lucky()
	wrong := 1 - p.WorkedRight.Mean
	l.miss = min(aim*math.Exp(p.Slow.Mean+slowSpread*slowSpread/2), 12) + wrong*(feedback+overhead+aim)
	for k := range stages {
		pace := p.Fast.Mean - paceSlope*math.Log(float64(k+2))
		l.fluent[k] = normal(-pace/paceSpread) * sureRight
		l.cost[k] = overhead + aim*math.Exp(pace)
	}
	var recall, sum [stages][gridSteps][horizon + 1]float64
	var good, bad [gridSteps][len(gaps)]float64
	for s := range gridSteps {
		m := Memory{math.Exp(gridLow + gridStep*float64(s)), typicalDifficulty}
		for g, days := range gaps {
			r := f.retrievability(m.Stability, float64(days))
			good[s][g] = math.Log(f.nextAt(m, float64(days), r, GradeSteady).Stability)
			bad[s][g] = math.Log(f.nextAt(m, float64(days), r, GradeMissed).Stability)
		}
		for k := range stages {
			for d := 1; d <= horizon; d++ {
				r, _ := p.recall(m.Stability, float64(d), k)
				recall[k][s][d] = r
				sum[k][s][d] = sum[k][s][d-1] + r*l.fluent[k] + (1-r)*l.lucky
			}
		}
	}
	for h := 1; h <= horizon; h++ {
		for k := range stages {
			for s := range gridSteps {
				best, took := sum[k][s][h], 0.0
				for g, d := range gaps {
					if d > h {
						break
					}
					r := recall[k][s][d]
					c := r*l.cost[k] + (1-r)*(overhead+l.miss)
					wg, tg := l.at(h-d, next(k), good[s][g])
					wb, tb := l.at(h-d, lapsed, bad[s][g])
					v := sum[k][s][d] - price*c + r*wg + (1-r)*wb
					if v > best {
						best, took = v, c+r*tg+(1-r)*tb
					}
				}
				l.worth[h][k][s], l.took[h][k][s] = float32(best), float32(took)
			}
		}
	}
}

// An appraisal is what the plan makes of one item today.
type appraisal struct {
	loss    float64 // fluent days lost, prices paid, if it is not asked today
	seconds float64 // that asking takes
	took    float64 // seconds of its whole plan within the horizon
	fluent  float64 // probability, asked now
}

func (l *plan) appraise(f *formulas, p *Player, s *State, today Day, logAim, prior float64) appraisal {
	aim := math.Exp(logAim)
	v := f.view(p, s, today, logAim, prior)
	fast := aim * math.Exp(v.pace+paceSpread*paceSpread/2)
	cost := func(recall float64) float64 { return overhead + recall*fast + (1-recall)*l.miss }
	a := appraisal{seconds: cost(v.recall), fluent: v.fluent}
	if s.Asked == 0 {
		now, took := l.start(f, v, horizon)
		later, _ := l.start(f, v, horizon-1)
		now -= l.price * a.seconds
		later += v.fluent - l.price*a.seconds
		idle := v.fluent * horizon
		a.loss = now - max(later, idle)
		if now > idle {
			a.took = a.seconds + took
		}
		return a
	}
	now, took := l.branch(f, s, v, horizon)
	now -= l.price * a.seconds
	a.took = a.seconds + took
	// The best plan that waits.
	sum, wait, d := 0.0, math.Inf(-1), 0
	for _, g := range [...]int{1, 2, 4, 8, 16} {
		w := v
		for d < g {
			d++
			w.days = v.days + float64(d)
			w.recall, _ = p.recall(s.Stability, w.days, v.stage)
			sum += p.fluent(w.recall, w.inTime)
		}
		w.publish = f.retrievability(s.Stability, w.days)
		later, took := l.branch(f, s, w, horizon-g)
		c := cost(w.recall)
		if later += sum - l.price*c; later > wait {
			if wait = later; wait > now {
				a.took = c + took
			}
		}
	}
	a.loss = now - wait
	return a
}

// start is the worth and the seconds, over so many days, of a first asking.
func (l *plan) start(f *formulas, v view, days int) (worth, took float64) {
	wg, tg := l.at(days, runOfOne, math.Log(f.w[2]))
	wb, tb := l.at(days, metOnce, math.Log(f.w[1]))
	return v.recall*wg + (1-v.recall)*wb, v.recall*tg + (1-v.recall)*tb
}

// branch is the same of having just been asked again.
func (l *plan) branch(f *formulas, s *State, v view, days int) (worth, took float64) {
	good := f.nextAt(s.Memory, v.days, v.publish, GradeSteady)
	bad := f.nextAt(s.Memory, v.days, v.publish, GradeMissed)
	wg, tg := l.at(days, next(v.stage), math.Log(good.Stability))
	wb, tb := l.at(days, lapsed, math.Log(bad.Stability))
	return v.recall*wg + (1-v.recall)*wb, v.recall*tg + (1-v.recall)*tb
}
