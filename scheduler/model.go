package scheduler

import (
	"math"
	"time"
)

// A Model says how one review changes the [State] of its item. The zero Model
// is the published one with its default weights.
type Model struct {
	Weights Weights // all zero: [DefaultWeights]
}

// A State is all that is known of one item in one player. The zero State is an
// item never met.
type State struct {
	Memory
	Day   Day     // practice day of the last answer
	Pace  float64 // usual thinking time when remembered, as ln seconds; meaningful once Timed > 0
	Timed float64 // how many timed answers Pace rests on; older ones fade

	Asked, Right, Fluent uint32
	Last                 Outcome // meaningful once Asked > 0
	Run                  uint16  // fluent answers in a row, at most one counted a day
}

// Update returns the state after reviews of one item, in log order, each
// judged against aim. It is pure: the same states and reviews give the same
// state, bit for bit. The reviews' Day fields must be set, or their At is read
// in UTC.
func (m Model) Update(s State, aim time.Duration, reviews ...Review) State {
	w := m.Weights
	if w == (Weights{}) {
		w = DefaultWeights
	}
	f := newFormulas(w)
	for _, r := range reviews {
		day := r.Day
		if day == 0 {
			day = DayOf(r.At, nil)
		}
		s = f.update(s, r, day, aim)
	}
	return s
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

func (f *formulas) update(s State, r Review, day Day, aim time.Duration) State {
	o := Judge(r.Right, r.Thinking, aim)
	days := max(float64(day-s.Day), 0) // a clock set back counts as the same day
	s.Memory = f.next(s.Memory, days, Grade(o)+GradeMissed)
	if r.Right && r.Thinking > 0 && o.Fluent() {
		const fade = 0.8
		s.Timed = s.Timed*fade + 1
		s.Pace += (math.Log(r.Thinking.Seconds()) - s.Pace) / s.Timed
	}
	s.Asked++
	if r.Right {
		s.Right++
	}
	switch {
	case !o.Fluent():
		s.Run = 0
	default:
		s.Fluent++
		if s.Run == 0 || days > 0 {
			s.Run++
		}
	}
	s.Last, s.Day = o, day
	return s
}
