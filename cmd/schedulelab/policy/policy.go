// Package policy holds the rules that choose what to practise next: the
// baselines that our planner is measured against, and our planner itself.
//
// A policy sees the items with their declared kin, whether an answer was
// right, how many seconds it took, and the clock. The types leave no other
// way in: nothing here knows of learners, and a policy that wants to peek has
// nothing to peek at. Rules from elsewhere are measured by writing one more
// [Maker].
package policy

import (
	"time"

	"surefret/scheduler"
)

// A Answer is one answer as the program saw it.
type Answer struct {
	Item    int       // index into the items that the policy was made with
	Right   bool      //
	Seconds float64   // thinking time: what was measured less the usual time of entry
	At      time.Time // when the answer came
}

// A Policy chooses questions.
type Policy interface {
	// Next returns the index of the item to ask, with so much time left in
	// the sitting; false ends the sitting.
	Next(now time.Time, left time.Duration) (item int, ok bool)
	// Learn takes in the answer to it.
	Learn(Answer)
}

// A Maker returns a fresh policy for the items. Chance, where a rule needs
// some, comes from the seed.
type Maker func(items []scheduler.Item, seed uint64) Policy

// A Predictor also says how probable it holds a right answer within the aim.
type Predictor interface {
	Policy
	Predict(item int, at time.Time) float64
}

// A Performer also can be told of a gig: the items it needs and its time.
type Performer interface {
	Policy
	Expect(items []int, at time.Time)
}

// A Grading says what a right answer over the aim is worth.
type Grading int

const (
	ByAnswer Grading = iota // as much as a fast one
	BySpeed                 // less
)

func (g Grading) String() string {
	if g == BySpeed {
		return "by speed"
	}
	return "by answer"
}

// outcome of an answer under the grading: without speed a right answer is steady.
func (g Grading) outcome(it *scheduler.Item, r Answer) scheduler.Outcome {
	aim := it.Aim.Seconds()
	if aim <= 0 {
		aim = scheduler.DefaultAim.Seconds()
	}
	switch {
	case !r.Right:
		return scheduler.Missed
	case g == ByAnswer:
		return scheduler.Steady
	case r.Seconds > aim:
		return scheduler.Slow
	case r.Seconds > aim/2:
		return scheduler.Steady
	}
	return scheduler.Quick
}

// day is a time in days, for reckoning intervals.
func day(t time.Time) float64 { return float64(t.Unix()) / 86400 }
