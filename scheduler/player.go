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
	Kin         Average         // how much of its kin's fluency a new item has
	Answers     uint32
}

// An Average is a mean that starts from a belief and moves with evidence.
type Average struct {
	Mean   float64
	Weight float64 // answers' worth of evidence behind it, belief included
}

// add moves the mean by an observation of some weight; the evidence behind it
// never grows past most, so that it keeps following the player.
func (a *Average) add(x, weight, most float64) {
	a.Weight = min(a.Weight+weight, most)
	a.Mean += (x - a.Mean) * weight / a.Weight
}

// Settings of the fluency model.
const (
	paceSpread = 0.33 // of ln thinking time from memory, around the item's pace
	slowSpread = 0.45 // of ln thinking time worked out
	paceSlope  = 0.2  // thinking time falls with this power of practice (the power law of practice)
	curve      = 0.3  // how fast forgetting slows; between the published 0.15 and 0.5 of older versions
	sureRight  = 0.98 // of the answers from memory
)

// NewPlayer returns what is believed of a player not yet heard.
func NewPlayer() Player {
	p := Player{
		Fast:        Average{math.Log(0.7), 10},
		Slow:        Average{math.Log(2.2), 10},
		WorkedRight: Average{0.85, 10},
		Kin:         Average{0.3, 10},
	}
	for i := range p.Recall {
		p.Recall[i] = Average{0, 2}
	}
	return p
}

// pace is the thinking time expected from memory, ln of the share of the aim:
// the item's own pace drawn towards what is usual after so much practice.
func (p *Player) pace(s *State, logAim float64) float64 {
	const draw = 2 // answers that the usual counts for
	usual := p.Fast.Mean - paceSlope*math.Log(float64(s.Asked+1))
	return (draw*usual + s.Timed*(s.Pace-logAim)) / (draw + s.Timed)
}

// recall is the probability of remembering after so many days, and its slope
// in ln stability.
func (p *Player) recall(stability, days float64, stage int) (probability, slope float64) {
	const curveFactor = 0.42077389389751185 // 0.9^(-1/curve) - 1
	x := curveFactor * days / (stability * math.Exp(p.Recall[stage].Mean))
	r := math.Pow(1+x, -curve)
	return r, curve * r * x / (1 + x)
}

func (p *Player) fluent(recall, inTime float64) float64 {
	return recall*inTime*sureRight + (1-recall)*p.lucky()
}

// lucky is the probability that an answer worked out is right and in time.
func (p *Player) lucky() float64 {
	return p.WorkedRight.Mean * normal(-p.Slow.Mean/slowSpread)
}

// read returns the probability that an answer came from memory: by its time,
// set against what both ways usually take.
func (p *Player) read(v view, r Review) float64 {
	switch {
	case !r.Right:
		return 0
	case r.Thinking <= 0:
		return 1
	}
	t := math.Log(r.Thinking.Seconds()) - v.logAim
	if t < v.pace {
		return 1 // quicker than usual
	}
	a, b := (t-v.pace)/paceSpread, (t-p.Slow.Mean)/slowSpread
	prior := clamp(v.recall, 0.1, 0.95)
	fast := prior * sureRight * math.Exp(-a*a/2) / paceSpread
	slow := (1 - prior) * p.WorkedRight.Mean * math.Exp(-b*b/2) / slowSpread
	if t > p.Slow.Mean {
		slow = max(slow, (1-prior)*p.WorkedRight.Mean/slowSpread)
	}
	return fast / (fast + slow)
}

// learn moves the player by one answer, seen before the item's state moved.
func (p *Player) learn(s *State, v view, remembered float64, r Review, kin float64) {
	p.Answers++
	if remembered < 0.5 {
		right := 0.0
		if r.Right {
			right = 1
		}
		p.WorkedRight.add(right, 1, 200)
	}
	if r.Right && r.Thinking > 0 {
		t := math.Log(r.Thinking.Seconds()) - v.logAim
		p.Fast.add(t+paceSlope*math.Log(float64(s.Asked+1)), remembered+1e-9, 200)
		p.Slow.add(t, 1-remembered+1e-9, 200)
	}
	switch {
	case s.Asked == 0 && kin > 0:
		// remembered ~ share * kin: least squares, one step
		w := kin * kin
		p.Kin.add(remembered/kin, w, 200)
		p.Kin.Mean = clamp(p.Kin.Mean, 0, 1)
	case s.Asked > 0 && v.days > 0:
		// One step of natural gradient on the log likelihood of remembered.
		q := clamp(v.recall, 0.02, 0.98)
		info := v.slope * v.slope / (q * (1 - q))
		a := &p.Recall[v.stage]
		a.Weight = min(a.Weight+info, 60)
		a.Mean = clamp(a.Mean+(remembered-q)*v.slope/(q*(1-q))/a.Weight, -4, 4)
	}
}
