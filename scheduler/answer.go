// Package scheduler decides what to practise next so that a short sitting
// makes the most items fluent: right, and within the aim.
//
// It knows no music. An item is an opaque id with its kin; an answer is what
// the player did with it: right or wrong, in how many seconds, when. From the
// answers it learns how this player's practice and rest make answers fluent, and
// how each item differs; it plans the next question by what a delay would cost,
// for the item and for the kin that its practice helps. Time and chance come in
// as arguments.
package scheduler

import "time"

// An Item is one thing to be remembered, known only by its id.
type Item struct {
	ID     string
	Family string        // items of one family are practised interleaved with others
	Group  string        // what should not come twice in a row: for a note, its string
	Topic  string        // items that are worth most when all of them are sure; "" is its family and group
	Aim    time.Duration // thinking time that counts as fluent; 0 means [DefaultAim]
	Stage  int           // items open in the order of their stages, 0 first
	Soon   bool          // nobody should wait for it, nor for what opens before it: all is met within three weeks, see soonDays
	Guess  float64       // chance that a guess is right, 0 to below 1: a half between two choices
	Kin    []Kin
}

// A Kin is another item whose practice helps this one.
type Kin struct {
	ID     string
	Weight float64 // 0 nothing in common, 1 the same thing
}

// DefaultAim is the thinking time within which a right answer counts as
// fluent when the item does not say otherwise.
const DefaultAim = 2 * time.Second

// A Answer is one answer to one item.
type Answer struct {
	Item     string
	At       time.Time
	Right    bool
	Thinking time.Duration // 0 when it could not be timed: judged, not timed
	Day      Day           // practice day as logged where it happened; 0: read from At
}

// An Outcome is what an answer says of the player's fluency. It follows from
// the answer and its time; the player is never asked to grade himself.
type Outcome uint8

const (
	Missed Outcome = iota // wrong
	Slow                  // right, over the aim
	Steady                // right, within the aim
	Quick                 // right, well within the aim
)

// String returns the outcome's word: "missed", "slow", "steady" or "quick".
func (o Outcome) String() string { return [...]string{"missed", "slow", "steady", "quick"}[o] }

// Fluent reports whether o counts as fluent: right within the aim.
func (o Outcome) Fluent() bool { return o >= Steady }
