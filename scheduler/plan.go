package scheduler

import "math"

// The plan of an item is when to ask it again and again. Its worth is the
// expected number of fluent evenings within the horizon, less the price of the
// seconds that asking takes. Tables hold the best plan from every stability
// and stage just after an answer, worked backwards from the horizon (Bellman).
//
// What a delay costs is the worth of asking today less the worth of asking
// tomorrow and going on. Comparing with the best of all later days was tried
// and lost: where the model is too sure of an item, it always finds a later
// day that looks as good. So did ranking by gain a second without looking
// ahead: fluency is S-shaped in practice, and the first answers gain least.
const (
	horizon   = 24   // days; with 12 and 36 the choices hardly change
	evening   = 0.5  // days from practice to when the player is heard
	gridLow   = -3.0 // ln days, the grid of stabilities
	gridStep  = 0.35
	gridSteps = 28

	typicalDifficulty = 5 // within the tables; the item's own counts today

	overhead = 1.7 // seconds an answer takes besides thinking, measured on the screens
	feedback = 2.8 // more after a miss, to read what was right
	longest  = 15  // seconds of thinking that are counted
)

// gaps are the days between answers that a plan chooses from.
var gaps = [...]int{1, 2, 3, 4, 6, 8, 11, 15, 20}

// A prospect is what a plan comes to: evenings on which the item is remembered
// and how often it is asked and then remembered, or not.
type prospect struct{ kept, good, bad float64 }

func (a prospect) mix(share float64, b prospect) prospect {
	return prospect{
		share*a.kept + (1-share)*b.kept,
		share*a.good + (1-share)*b.good,
		share*a.bad + (1-share)*b.bad,
	}
}

type plan struct {
	price float64 // fluent evenings a second is worth
	best  [horizon + 1][stages][gridSteps]prospect
}

// costs are what an item's asking takes, and gives.
type costs struct {
	good, bad float64 // seconds, remembered or not
	gain      float64 // fluency if remembered, over that if not
	lucky     float64 // fluency if not
}

func (p *Player) costs(v *view) costs {
	aim := math.Exp(v.logAim)
	wrong := 1 - p.WorkedRight.Mean
	return costs{
		good:  overhead + aim*math.Exp(v.pace+paceSpread*paceSpread/2),
		bad:   overhead + min(aim*math.Exp(v.work+v.spread*v.spread/2), longest) + wrong*(feedback+overhead+aim),
		gain:  v.inTime - v.lucky,
		lucky: v.lucky,
	}
}

func (c *costs) worth(days int, p prospect, price float64) float64 {
	return float64(days)*c.lucky + c.gain*p.kept - price*c.seconds(p)
}

func (c *costs) seconds(p prospect) float64 { return c.good*p.good + c.bad*p.bad }

// at interpolates the tables.
func (l *plan) at(days, stage int, lnStability float64) prospect {
	x := clamp((lnStability-gridLow)/gridStep, 0, gridSteps-1.001)
	i := int(x)
	row := &l.best[days][stage]
	return row[i+1].mix(x-float64(i), row[i])
}

func next(stage int) int {
	if stage < runOfOne {
		return runOfOne
	}
	return min(stage+1, lastStage)
}

// lay works out the tables for a player at a price.
func (l *plan) lay(f *formulas, p *Player, price float64, logAim float64) {
	l.price = price
	var chance, sum [stages][gridSteps][horizon + 1]float64
	var good, bad [gridSteps][len(gaps)]float64
	var typical [stages]costs
	for k := range stages {
		s := State{Asked: uint32(k + 1)}
		v := f.view(p, &Family{}, &s, 0, logAim, 0)
		typical[k] = p.costs(&v)
	}
	for s := range gridSteps {
		m := Memory{math.Exp(gridLow + gridStep*float64(s)), typicalDifficulty}
		for g, days := range gaps {
			r := f.retrievability(m.Stability, float64(days))
			good[s][g] = math.Log(f.nextAt(m, float64(days), r, GradeSteady).Stability)
			bad[s][g] = math.Log(f.nextAt(m, float64(days), r, GradeMissed).Stability)
		}
		for k := range stages {
			for d := 1; d <= horizon; d++ {
				r, _ := recall(m.Stability, p.Recall[k].Mean, float64(d)-1+evening)
				sum[k][s][d] = sum[k][s][d-1] + r
				chance[k][s][d], _ = recall(m.Stability, p.Recall[k].Mean, float64(d))
			}
		}
	}
	for h := 1; h <= horizon; h++ {
		for k := range stages {
			c := &typical[k]
			for s := range gridSteps {
				best := prospect{kept: sum[k][s][h]}
				most := c.worth(h, best, price)
				for g, d := range gaps {
					if d > h {
						break
					}
					r := chance[k][s][d]
					q := l.at(h-d, next(k), good[s][g]).mix(r, l.at(h-d, lapsed, bad[s][g]))
					q.kept += sum[k][s][d]
					q.good += r
					q.bad += 1 - r
					if v := c.worth(h, q, price); v > most {
						best, most = q, v
					}
				}
				l.best[h][k][s] = best
			}
		}
	}
}

// An appraisal is what the plan makes of one item today.
type appraisal struct {
	loss    float64 // fluent evenings lost, prices paid, if it is not asked today
	seconds float64 // that asking takes
	took    float64 // seconds of its whole plan within the horizon
	view    view
	state   State // as asked, or as its kin make it seem
}

func (l *plan) appraise(f *formulas, p *Player, g *Family, s *State, today Day, logAim, prior float64) appraisal {
	v := f.view(p, g, s, today, logAim, prior)
	c := p.costs(&v)
	ease := g.Ease.Mean + s.Ease.Mean
	a := appraisal{seconds: v.recall*c.good + (1-v.recall)*c.bad, view: v, state: *s}
	if s.Asked == 0 {
		now := l.branch(f, s, v, ease, horizon)
		later := l.branch(f, s, v, ease, horizon-1)
		later.kept += v.recall
		worth := c.worth(horizon, now, l.price)
		idle := c.worth(horizon, prospect{kept: v.recall * horizon}, l.price)
		a.loss = worth - max(c.worth(horizon, later, l.price), idle)
		if worth > idle {
			a.took = c.seconds(now)
		}
		return a
	}
	now := l.branch(f, s, v, ease, horizon)
	a.took = c.seconds(now)
	w := v
	w.days++
	w.recall, _ = recall(s.Stability, v.own, w.days)
	w.publish = f.retrievability(s.Stability, w.days)
	later := l.branch(f, s, w, ease, horizon-1)
	tonight, _ := recall(s.Stability, v.own, v.days+evening)
	later.kept += tonight
	a.loss = c.worth(horizon, now, l.price) - c.worth(horizon, later, l.price)
	return a
}

// branch is the prospect over so many days of being asked and going on.
func (l *plan) branch(f *formulas, s *State, v view, ease float64, days int) prospect {
	good, bad := f.after(s, v)
	stage := missedStage(s)
	p := l.at(days, next(v.stage), math.Log(good.Stability)+ease).mix(v.recall, l.at(days, stage, math.Log(bad.Stability)+ease))
	p.good += v.recall
	p.bad += 1 - v.recall
	return p
}

// after is the memory after an answer that was remembered, and one that was not.
func (f *formulas) after(s *State, v view) (good, bad Memory) {
	if s.Asked == 0 {
		return f.first(GradeSteady), f.first(GradeSlow)
	}
	return f.nextAt(s.Memory, v.days, v.publish, GradeSteady), f.nextAt(s.Memory, v.days, v.publish, GradeMissed)
}

// missedStage is the stage after an answer that was not remembered.
func missedStage(s *State) int {
	if s.Asked == 0 {
		return metOnce
	}
	return lapsed
}
