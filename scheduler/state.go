package scheduler

// The model, one item's part: what is known of it, what is expected of it and what
// an answer changes. The player's part is in model.go.

import (
	"math"
	"time"
)

// A State is all that is known of one item in one player. The zero State is an
// item never met, nor any of its kin.
type State struct {
	Day        Day     // practice day of the last answer
	Practice   float64 // answers on different days, more on one day in part
	Lent       float64 // what its kin's practice was worth
	Since      float64 // practice day of the last of it, which what kin lend moves on in part
	difference         // how it differs from other items

	Slow average // thinking time of right answers over the aim, the first of each day, ln of the share of it

	Asked, Right, Fluent uint32
	Days                 uint32  // on which it was asked
	Last                 Outcome // meaningful once Asked > 0
}

// difference is how an item differs from what practice and rest would make it.
type difference struct {
	Offset  float64 // easier above 0, logit
	Known   float64 // evidence for it: the precision beyond that of any item
	Obvious float64 // evidence that it needs no memory: what the odds are multiplied by, less 1
}

// variance is how little the offset is known.
func (o *difference) variance() float64 { return 1 / (1/itemVariance + o.Known) }

// easy is the probability, 0 to 1, that the item needs no memory.
func (o *difference) easy() float64 {
	odds := easyOdds * (1 + o.Obvious)
	return odds / (1 + odds)
}

// fluency is the probability, 0 to 1, of right and within the aim, for an item
// that is easy and one that is not weighed by how likely it is easy.
func fluency(easy, practised float64) float64 { return easy*easyFluent + (1-easy)*practised }

// quickShare is the share of the aim within which a fluent answer is [Quick]:
// with half the aim to spare the answer survives a bad day.
const quickShare = 0.5

// judge returns the outcome of an answer: right or wrong, in so much thinking
// time, against the aim (0 means [DefaultAim]). A right answer that could not
// be timed counts as [Steady].
func judge(right bool, thinking, aim time.Duration) Outcome {
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
	case float64(thinking) <= quickShare*float64(aim):
		return Quick
	}
	return Steady
}

// A view is what is expected of an item before it is asked.
type view struct {
	x         [features]float64
	days      float64 // since the last answer
	logAim    float64 // ln seconds
	variance  float64 // of its own offset
	practised float64 // probability of right and within the aim, if it is not easy
	fluent    float64 // the same, whether or not
	guess     float64 // chance that a guess is right
}

// proven is what an answer proves that is so much within the aim, 0 to 1: the less, the
// likelier it was a lucky guess.
func (v *view) proven(fluent float64) float64 {
	return fluent * v.fluent / (v.fluent + (1-v.fluent)*v.guess)
}

// view looks at s on a day.
func newView(p *player, s *State, day Day, logAim float64) view {
	v := view{logAim: logAim, variance: s.variance()}
	v.days = max(float64(day-s.Day), 0) // a clock set back counts as the same day
	v.x = inputs(s, float64(day))
	v.practised = s.practised(p, &v.x)
	v.fluent = fluency(s.easy(), v.practised)
	return v
}

const (
	overhead = 1.7 // seconds an answer takes besides thinking, measured on the screens: until the player's own are known
	feedback = 2.8 // more after a miss, to read what was right
)

// seconds is what asking an item takes, all told.
func (v *view) seconds(p *player, s *State) float64 {
	slow := (usualDraw*p.Slow.Mean + s.Slow.Weight*s.Slow.Mean) / (usualDraw + s.Slow.Weight)
	fast := math.Exp(p.Fast.Mean + v.logAim)
	return p.Besides.Mean + v.fluent*fast + (1-v.fluent)*(min(math.Exp(slow+v.logAim), slowest)+p.Wrong.Mean*feedback)
}

// update returns the player and the item's state after one answer to it on a day,
// with what was expected of it and the outcome. It is pure: a log replayed gives
// the same, bit for bit.
func update(p player, s State, v view, r Answer, day Day, o Outcome) (player, State) {
	took := 0.0 // ln of the share of the aim
	if r.Thinking > 0 {
		took = math.Log(r.Thinking.Seconds()) - v.logAim
	}
	p.times(r, o, took)
	switch {
	case s.Asked > 0 && v.days < 1: // what a sitting leaves in mind for an hour says nothing of tomorrow
	case !r.Right:
		s.difference = p.learn(&v, 0, s.difference)
	case r.Thinking > 0: // untimed, it says nothing of fluency
		s.difference = p.learn(&v, v.proven(inTime(took)), s.difference)
		if !o.Fluent() {
			s.Slow.add(took, 1, itemTimesMost)
		}
	}
	s.practise(v.days, day)
	if r.Right {
		s.Right++
	}
	if o.Fluent() {
		s.Fluent++
	}
	s.Last = o
	return p, s
}

// practise is the part of update that practice itself makes, whatever it shows, so
// many days after the last answer.
func (s *State) practise(days float64, day Day) {
	share := 1.0
	if s.Asked > 0 && days < 1 {
		share = sameDay
	} else {
		s.Days++
	}
	s.Asked++
	s.Practice += share
	s.Since, s.Day = float64(day), day
}

// lend is what a kin's practice does for an item: share is the part of a
// practice that it is worth. Kin alone prove nothing: until an item is asked
// they are worth one practice at most.
func (s *State) lend(share float64, day Day) {
	if s.Practice+s.Lent == 0 {
		s.Since = float64(day)
	}
	if s.Asked > 0 || s.Lent < 1 {
		s.Lent += share
	}
	s.Since += share * max(float64(day)-s.Since, 0)
}
