// Package fingering finds where the hand goes: through the notes of a walk-up ([Walk]), and
// through a part in another key ([Move]), which is one search over whole phrases for what
// keeps most of what is in the hand. Whatever a move breaks is told, and nothing is dropped.
//
// It uses [surefret/drills/fretboard] for necks, parts and what a hand can hold.
package fingering

import (
	"fmt"
	"slices"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A How is a way to move a part to another key.
type How string

const (
	SameStrings  How = "same-strings"  // the notes stay on their strings
	OtherStrings How = "other-strings" // the same shapes some strings over
	Refingered   How = "refinger"      // new places, the easiest that there are
)

var hows = []How{SameStrings, OtherStrings, Refingered}

// Asked narrows how a part may be moved. The zero value leaves all open.
type Asked struct {
	How      How // "" for all
	Up, Down bool
	Octave   int // octaves up from the nearest place in the key, below zero down, -2 to 2
	Position int // the fret where the index finger lies, 0 for anywhere; open strings may ring
}

// Check returns an error, one sentence, unless a can be asked of a neck.
func (a Asked) Check(fb fretboard.Fretboard) error {
	switch {
	case a.How != "" && !slices.Contains(hows, a.How):
		return fmt.Errorf("%q is no way to move a part: give %s, %s or %s", a.How, SameStrings, OtherStrings, Refingered)
	case a.Up && a.Down:
		return fmt.Errorf("a part cannot be moved up and down at once: give one of the two")
	case a.Octave < -2 || a.Octave > 2:
		return fmt.Errorf("%d octaves are too many to move a part: give -2 to 2", a.Octave)
	case a.Position < 0 || a.Position > fb.Last():
		return fmt.Errorf("position %d is not on this neck: give a fret from 1 to %d, or 0 for anywhere", a.Position, fb.Last())
	}
	return nil
}

// halfSteps returns how far a part may move, the shorter way first.
func (a Asked) halfSteps(from, to theory.Key) []int {
	all := directions(from, to)
	if a.Octave != 0 || all[0] == 0 && !a.Up && !a.Down {
		all = []int{all[0] + 12*a.Octave}
	}
	return slices.DeleteFunc(all, func(n int) bool { return a.Up && n <= 0 || a.Down && n >= 0 })
}

// A Moved is a part in another key, with all that breaks on the way.
type Moved struct {
	From, To  theory.Key
	Semitones int // up, or below zero down
	How       How
	Neck      fretboard.Fretboard
	was       []fretboard.Event
	Events    []fretboard.Event // one for each of Was; Fret is outside of the neck where a note has no place
	Problems  []Problem
	Ways      []Way // ways out with a capo or another tuning, the best first; none when there is no problem
	cost      float64

	names   theory.Names
	route   *route
	origins [][]fretboard.Position
	flat    []fretboard.Position // what origins are cut from
	tally   tally
	high    int    // the highest fret
	limit   *tally // what a trial must stay below to be of use; nil for all
	beyond  bool   // whether it did not
}

// Broken counts the places that cannot be played as they are.
func (m Moved) Broken() int {
	breaks, _ := m.tally.count()
	return breaks
}

// origin returns where note n of event e came from.
func (m Moved) origin(e, n int) fretboard.Position { return m.origins[e][n] }

// A Problem is one thing that a move breaks or changes.
type Problem struct {
	event   int // index
	kind    ProblemKind
	message string // one sentence, with the bar

	what string // the sentence without the bar
}

// Offers are different ways to move one part, the best first.
type Offers []Moved

// fewNotes is how many notes of a part stand against each that leaves its octave, or more,
// where the nearer way comes first all the same: chosen.
const fewNotes = 4

// mostOffers is how many ways to move a part are offered.
const mostOffers = 3

// Move moves a part from one key to another of the same mode, the keys that its
// shapes are in: see [fretboard.Fretboard.ShapeKey]. It returns the best way by what a player
// would give up, see [carrying], and after it those that differ in their direction
// or in how they go, at most three, without those that are far worse. No note is
// dropped: what cannot be played is kept, and told in Problems.
//
// The error is one sentence: keys of different modes, or something asked for that
// there is not.
func Move(p fretboard.Part, from, to theory.Key, asked Asked) (Offers, error) {
	return offersFor(p, from, to, asked, false)
}

func offersFor(p fretboard.Part, from, to theory.Key, asked Asked, near bool) (Offers, error) {
	if from.Mode != to.Mode {
		return nil, fmt.Errorf("a part in %s cannot be moved to %s: use another %s key", from, to, from.Mode)
	}
	if err := asked.Check(p.Neck); err != nil {
		return nil, err
	}
	var w wish
	if asked.Position > 0 {
		w.low, w.high = asked.Position, min(asked.Position+p.Neck.Reach(), p.Neck.Last())
	}
	r := newRouter(p, w)
	var all Offers
	steps := asked.halfSteps(from, to)
	routes := r.routes(steps, asked.How)
	if near {
		routes = nearFirst(p, routes, steps[0])
	}
	for _, rt := range routes {
		if len(all) == mostOffers || len(all) > 0 && rt.cost > all[0].cost+r.bearable() {
			break
		}
		if rt.elsewhere && (asked.Up || asked.Down || asked.Octave != 0) {
			continue
		}
		if slices.ContainsFunc(all, func(m Moved) bool { return m.route.like(&rt) }) {
			continue
		}
		m := layOut(p, rt)
		m.From, m.To = from, to
		all = append(all, m)
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("the part does not fit on the neck like that from %s to %s: leave the direction, octave or position open", from, to)
	}
	all[0].Ways = waysOut(p, all[0])
	return all, nil
}

// MoveNear is [Move] with all left open, and puts the nearer way first, which the song
// goes, where it can be played so and few notes leave their octave.
func MoveNear(p fretboard.Part, from, to theory.Key) (Offers, error) {
	return offersFor(p, from, to, Asked{}, true)
}

// nearFirst puts the cheapest route by so many half steps first that can be played and in
// which few notes leave their octave.
func nearFirst(p fretboard.Part, routes []route, by int) []route {
	for i, rt := range routes {
		if rt.semitones != by || rt.elsewhere {
			continue
		}
		m := layOut(p, rt)
		if m.Broken() == 0 && fewNotes*m.tally[octaveChange.index()] < len(m.flat) {
			return slices.Concat(routes[i:i+1], routes[:i], routes[i+1:])
		}
	}
	return routes
}

// directions returns the semitones from one tonic to the other, the shorter way
// first, and the other way.
func directions(from, to theory.Key) []int {
	n := mod(to.Tonic.PitchClass()-from.Tonic.PitchClass(), 12)
	switch {
	case n == 0:
		return []int{0, 12, -12}
	case n > 6:
		return []int{n - 12, n}
	}
	return []int{n, n - 12}
}

func mod(a, n int) int { return ((a % n) + n) % n }
