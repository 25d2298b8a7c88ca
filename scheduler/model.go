package scheduler

import (
	"math"
	"time"
)

// A State is all that is known of one item in one player. The zero State is an
// item never met.
type State struct {
	Memory
	Day  Day     // practice day of the last answer
	Pace Average // thinking time when remembered, ln seconds; older answers fade
	Work Average // thinking time when worked out, ln seconds; older answers fade
	Ease Average // own factor on stability, ln

	Asked, Right, Fluent uint32
	Run                  uint16  // answers in a row that were remembered, at most one counted a day
	Last                 Outcome // meaningful once Asked > 0
}

// QuickShare is the share of the aim within which a fluent answer is [Quick]:
// with half the aim to spare the answer survives a bad day.
const QuickShare = 0.5

// Judge returns the outcome of an answer: right or wrong, in so much thinking
// time, against the aim (0 means [DefaultAim]). A right answer that could not
// be timed counts as [Steady].
func Judge(right bool, thinking, aim time.Duration) Outcome {
	if aim <= 0 {
		aim = DefaultAim
	}
	switch {
	case !right:
		return Missed
	case thinking <= 0:
		return Steady
	case thinking > aim:
		return Slow
	case float64(thinking) <= QuickShare*float64(aim):
		return Quick
	}
	return Steady
}

// A Model says how one review changes the [State] of its item. The zero Model
// is the published one with its default weights and a player not yet known.
type Model struct {
	Weights Weights // all zero: [DefaultWeights]
	Player  Player  // zero: [NewPlayer]
	Family  Family  // the item's; zero: nothing known
}

// Update returns the state after reviews of one item, in log order, each
// judged against aim. It is pure: the same states and reviews give the same
// state, bit for bit. A review whose Day is not set has its At read in UTC.
func (m Model) Update(s State, aim time.Duration, reviews ...Review) State {
	if m.Weights == (Weights{}) {
		m.Weights = DefaultWeights
	}
	if m.Player == (Player{}) {
		m.Player = NewPlayer()
	}
	if aim <= 0 {
		aim = DefaultAim
	}
	f := newFormulas(m.Weights)
	for _, r := range reviews {
		day := r.Day
		if day == 0 {
			day = DayOf(r.At, nil)
		}
		v := f.view(&m.Player, &m.Family, &s, day, math.Log(aim.Seconds()), 0)
		remembered := m.Player.read(&v, r)
		s = f.update(s, &v, remembered, r, day, Judge(r.Right, r.Thinking, aim))
	}
	return s
}

// A view is what is expected of an item before it is asked.
type view struct {
	days     float64 // since the last answer
	publish  float64 // the published model's retrievability
	recall   float64 // probability that it is remembered: the same, as this player has shown
	slope    float64 // d recall / d ln stability
	stage    int     // of learning, for the player's own factors
	own      float64 // all factors on stability, ln
	logAim   float64 // ln seconds
	pace     float64 // thinking time if remembered, ln of the share of the aim
	work     float64 // the same if worked out
	spread   float64 // of work
	inTime   float64 // probability of right and within the aim if remembered
	lucky    float64 // the same if worked out
	fluent   float64 // the same, whichever
	practice float64 // ln of answers so far and this one
	took     float64 // thinking time, once read, ln of the share of the aim
}

// Stages of learning: each has the player's own factor on stability.
const (
	metOnce   = iota // asked once, not remembered
	lapsed           // asked more often, not remembered the last time
	runOfOne         // remembered once in a row, twice, ...
	lastStage = runOfOne + 4
	stages    = lastStage + 1
)

func (s *State) stage() int {
	switch {
	case s.Run == 0 && s.Asked <= 1:
		return metOnce
	case s.Run == 0:
		return lapsed
	}
	return min(runOfOne+int(s.Run)-1, lastStage)
}

// view looks at s on a day. For an item never met, prior is the probability
// that its kin give it away.
func (f *formulas) view(p *Player, g *Family, s *State, day Day, logAim, prior float64) view {
	v := view{logAim: logAim, practice: math.Log(float64(s.Asked + 1))}
	v.pace = p.pace(s, v.practice, logAim)
	if s.Asked == 0 {
		v.recall = prior
	} else {
		v.days = max(float64(day-s.Day), 0) // a clock set back counts as the same day
		v.stage = s.stage()
		v.own = p.Recall[v.stage].Mean + g.Ease.Mean + s.Ease.Mean
		v.publish = f.retrievability(s.Stability, v.days)
		v.recall, v.slope = recall(s.Stability, v.own, v.days)
	}
	v.work, v.spread = p.work(g, s, logAim)
	v.inTime = sureRight * normal(-v.pace/paceSpread)
	v.inTime = 1 / (1 + (1-v.inTime)/v.inTime*math.Exp(-p.InTime.Mean))
	v.lucky = p.WorkedRight.Mean * normal(-v.work/v.spread)
	v.fluent = v.at(v.recall)
	return v
}

// at is the probability of right and within the aim, if remembered with
// probability r.
func (v *view) at(r float64) float64 { return r*v.inTime + (1-r)*v.lucky }

// update is one step: remembered is the probability that the answer came from
// memory, not from working it out.
func (f *formulas) update(s State, v *view, remembered float64, r Review, day Day, o Outcome) State {
	g := GradeMissed
	if remembered > 0.5 {
		g = GradeSteady
	} else if r.Right && s.Asked == 0 {
		g = GradeSlow
	}
	if s.Asked == 0 {
		s.Memory = f.first(g)
	} else {
		s.Memory = f.nextAt(s.Memory, v.days, v.publish, g)
	}
	if r.Right && r.Thinking > 0 {
		t := v.took + v.logAim
		s.Pace.add(t, remembered, itemTimesMost)
		s.Work.add(t, 1-remembered, itemTimesMost)
	}
	if s.Asked > 0 && v.days > 0 {
		s.Ease.climb(o.share(), v.fluent, v.slope*(v.inTime-v.lucky), easeBelief, easeMost)
	}
	switch {
	case remembered <= 0.5:
		s.Run = 0
	case s.Run == 0 || v.days > 0:
		s.Run++
	}
	s.Asked++
	if r.Right {
		s.Right++
	}
	if o.Fluent() {
		s.Fluent++
	}
	s.Last, s.Day = o, day
	return s
}

// share is 1 for a fluent outcome and 0 for another.
func (o Outcome) share() float64 {
	if o.Fluent() {
		return 1
	}
	return 0
}

// normal is the cumulative normal distribution.
func normal(x float64) float64 { return 0.5 * math.Erfc(-x*math.Sqrt2/2) }
