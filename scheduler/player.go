package scheduler

import "math"

// A Player is what is known of the player apart from any one item: how fast he
// answers from memory and when he works the answer out, and how much longer or
// shorter he remembers than the published model expects. It is learnt from
// every answer in a few steps of arithmetic.
type Player struct {
	Fast, Slow  Average         // thinking time from memory and worked out, ln of the share of the aim
	WorkedRight Average         // share right of the answers worked out
	Recall      [stages]Average // own factor on stability, ln, by stage of learning
	InTime      Average         // how much likelier from memory is in time than expected, logit
	Kin         Average         // how much of its kin's fluency a new item has
	Answers     uint32
}

// A Family is the same for the items of one family, as far as it differs.
type Family struct {
	Slow Average // thinking time worked out, ln of the share of the aim
	Ease Average // factor on stability, ln
}

// An Average is a mean that starts from a belief and moves with evidence.
type Average struct {
	Mean   float64
	Weight float64 // evidence behind it
}

// add moves the mean by an observation of some weight; the evidence behind it
// never grows past most, so that it keeps following the player.
func (a *Average) add(x, weight, most float64) {
	if weight <= 0 {
		return
	}
	a.Weight += weight
	a.Mean += (x - a.Mean) * weight / a.Weight
	a.Weight = min(a.Weight, most)
}

// climb takes one step of natural gradient on the log likelihood of an answer
// that was fluent (1) or not (0): slope is d fluency / d mean.
func (a *Average) climb(fluent, expected, slope, belief, most float64) {
	q := clamp(expected, 0.02, 0.98)
	a.Weight = min(a.Weight+slope*slope/(q*(1-q)), most)
	a.Mean = clamp(a.Mean+(fluent-q)*slope/(q*(1-q))/(belief+a.Weight), -4, 4)
}

// Settings of the fluency model. Where no source is named they are plain
// guesses of the right size; the predictions hardly change when one is halved
// or doubled, because all but the spreads give way to evidence.
const (
	sureRight   = 0.98 // of the answers from memory; the rest are slips
	paceSpread  = 0.4  // of ln thinking time from memory around the item's pace
	workSpread  = 0.35 // of ln thinking time worked out around the item's own
	workBetween = 0.5  // of the items' own around their family's
	paceSlope   = 0.2  // power law of practice: Newell & Rosenbloom 1981 have 0.1 to 0.4

	// Forgetting slows with time as (1 + factor days/S)^-curve; the published
	// default of 0.15 is very flat, versions before it had 0.5.
	curve       = 0.3
	curveFactor = 0.42077389389751185 // 0.9^(-1/curve) - 1

	// How many answers' worth of evidence it takes to move a belief half way,
	// and how much is kept, so that a player who changes is followed.
	easeBelief, easeMost     = 2, 20
	familyBelief, familyMost = 4, 60
	playerBelief, playerMost = 1, 60
	inTimeBelief, inTimeMost = 4, 100
	timesMost                = 200 // answers behind the player's usual times
	itemTimesMost            = 5   // behind an item's, which fall with practice
	usualDraw                = 4   // answers that the usual counts for in an item's pace
)

// NewPlayer returns what is believed of a player not yet heard.
func NewPlayer() Player {
	return Player{
		Fast:        Average{math.Log(0.7), 10},
		Slow:        Average{math.Log(2.2), 10},
		WorkedRight: Average{0.85, 10},
		Kin:         Average{0.3, 10},
	}
}

// pace is the thinking time expected from memory, ln of the share of the aim:
// the item's own pace drawn towards what is usual after so much practice.
func (p *Player) pace(s *State, practice, logAim float64) float64 {
	usual := p.Fast.Mean - paceSlope*practice
	return (usualDraw*usual + s.Pace.Weight*(s.Pace.Mean-logAim)) / (usualDraw + s.Pace.Weight)
}

// work is the thinking time expected if the item must be worked out, ln of the
// share of the aim, and its spread.
func (p *Player) work(g *Family, s *State, logAim float64) (mean, spread float64) {
	const draw = 5 // answers that the player counts for against the family
	usual := (draw*p.Slow.Mean + g.Slow.Weight*g.Slow.Mean) / (draw + g.Slow.Weight)
	n := s.Work.Weight * (workBetween * workBetween) / (workSpread * workSpread)
	return (usual + n*(s.Work.Mean-logAim)) / (1 + n), math.Sqrt(workSpread*workSpread + workBetween*workBetween/(1+n))
}

// recall is the probability of remembering after so many days with a stability
// and an own factor on it, and its slope in ln stability.
func recall(stability, own, days float64) (probability, slope float64) {
	x := curveFactor * days / (stability * math.Exp(own))
	r := power(1+x, -curve)
	return r, curve * r * x / (1 + x)
}

// read returns the probability that an answer came from memory: by its time,
// set against what both ways usually take. It notes the time in v.
func (p *Player) read(v *view, r Review) float64 {
	switch {
	case !r.Right:
		return 0
	case r.Thinking <= 0:
		return 1
	}
	t := math.Log(r.Thinking.Seconds()) - v.logAim
	v.took = t
	if t < v.pace {
		return 1 // quicker than usual
	}
	a, b := (t-v.pace)/paceSpread, min(t-v.work, 0)/v.spread
	prior := clamp(v.recall, 0.1, 0.95)
	fast := prior * sureRight * math.Exp(-a*a/2) / paceSpread
	slow := (1 - prior) * p.WorkedRight.Mean * math.Exp(-b*b/2) / v.spread
	return fast / (fast + slow)
}

// learn moves the player by one answer, seen before the item's state moved.
func (p *Player) learn(g *Family, s *State, v *view, remembered, kin float64, r Review, o Outcome) {
	p.Answers++
	if remembered < 0.5 {
		right := 0.0
		if r.Right {
			right = 1
		}
		p.WorkedRight.add(right, 1, timesMost)
	}
	if r.Right && r.Thinking > 0 {
		p.Fast.add(v.took+paceSlope*v.practice, remembered, timesMost)
		p.Slow.add(v.took, 1-remembered, timesMost)
		g.Slow.add(v.took, 1-remembered, familyMost)
	}
	switch {
	case s.Asked == 0 && kin > 0:
		// remembered is about Kin times kin: least squares.
		p.Kin.add(remembered/kin, kin*kin, timesMost)
		p.Kin.Mean = clamp(p.Kin.Mean, 0, 1)
	case s.Asked > 0 && v.days > 0:
		fluent, slope := o.share(), v.slope*(v.inTime-v.lucky)
		p.Recall[v.stage].climb(fluent, v.fluent, slope, playerBelief, playerMost)
		g.Ease.climb(fluent, v.fluent, slope, familyBelief, familyMost)
		p.InTime.climb(fluent, v.fluent, v.recall*v.inTime*(1-v.inTime), inTimeBelief, inTimeMost)
	}
}
