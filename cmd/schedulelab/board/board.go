// Package board lays out the material that simulated players practise: facts
// about the neck with the kinship that the drills declare, and, hidden from
// every policy, how far one must count to work each fact out.
//
// The structure is that of the drills: every note of six strings to be named
// and to be found, where the outer strings are octave twins; intervals and
// chord shapes, which recur on strings an equal gap apart; degrees and
// walk-ups of the twelve keys, where neighbours on the circle of fifths share
// all notes but one. The numbers of the kinship are chosen, no source.
package board

import (
	"fmt"
	"time"

	"surefret/scheduler"
)

// A Board is the material of one size. Only Items may be shown to a policy.
type Board struct {
	Items []scheduler.Item
	Steps []float64 // steps of counting that work the item out without memory, 0 to 8
	Kin   [][]Link  // Items[i].Kin by index
}

// A Link is a kin by its index: weight 0 nothing in common, 1 the same thing.
type Link struct {
	Item   int
	Weight float64
}

// Declared kinship.
const (
	twin      = 0.7  // the same fret on strings 6 and 1
	converse  = 0.3  // to name a note, and to find it
	pattern   = 0.5  // an interval on other strings an equal gap apart
	shapeAway = 0.4  // a chord shape on the next strings
	neighbour = 0.25 // the same degree a fifth away
)

const (
	factAim   = 2 * time.Second
	walkUpAim = 3 * time.Second
)

// New returns a board of the given number of items, 200 to 1,600.
func New(size int) (*Board, error) {
	if size < 200 || size > 1600 {
		return nil, fmt.Errorf("a board has 200 to 1,600 items, not %d", size)
	}
	b := &builder{index: map[string]int{}}
	b.notes()
	rest := size - len(b.Items)
	intervals := min(216, rest*45/100)
	shapes := min(240, rest*20/100)
	b.intervals(intervals)
	b.shapes(shapes)
	b.keys(rest - intervals - shapes)
	b.stage()
	b.link()
	return &b.Board, nil
}

type builder struct {
	Board
	index map[string]int
}

func (b *builder) add(family, group, id string, steps float64, aim time.Duration, kin ...scheduler.Kin) {
	b.index[id] = len(b.Items)
	b.Items = append(b.Items, scheduler.Item{ID: id, Family: family, Group: group, Aim: aim, Kin: kin})
	b.Steps = append(b.Steps, steps)
}

// notes adds 144 items: six strings, twelve frets, to name and to find.
func (b *builder) notes() {
	id := func(str, fret int, way string) string { return fmt.Sprintf("note/%d+%d/%s", str, fret, way) }
	for fret := range 12 {
		for str := 1; str <= 6; str++ {
			for _, way := range []string{"name", "find"} {
				other := "find"
				if way == "find" {
					other = "name"
				}
				kin := []scheduler.Kin{{ID: id(str, fret, other), Weight: converse}}
				if str == 1 || str == 6 {
					kin = append(kin, scheduler.Kin{ID: id(7-str, fret, way), Weight: twin})
				}
				// Counted up from the open string or down from the octave.
				steps := float64(min(fret, 12-fret))
				b.add("note", fmt.Sprintf("string %d", str), id(str, fret, way), steps, factAim, kin...)
			}
		}
	}
}

// intervals adds up to 216: twelve sizes on nine pairs of strings, both ways.
func (b *builder) intervals(n int) {
	id := func(size, pair int, way string) string { return fmt.Sprintf("interval/%d/%d/%s", size, pair, way) }
	for size := 1; size <= 12; size++ {
		for pair := range 9 {
			for _, way := range []string{"up", "down"} {
				if n == 0 {
					return
				}
				n--
				other := "down"
				if way == "down" {
					other = "up"
				}
				kin := []scheduler.Kin{{ID: id(size, pair, other), Weight: converse}}
				for q := range 9 {
					// Pairs 0 to 4 are adjacent strings, 5 to 8 skip one;
					// among either the pairs over the third behave otherwise.
					if q != pair && (q < 5) == (pair < 5) && overThird(q) == overThird(pair) {
						kin = append(kin, scheduler.Kin{ID: id(size, q, way), Weight: pattern})
					}
				}
				b.add("interval", fmt.Sprintf("pair %d", pair), id(size, pair, way), 1+float64(size+1)/2, factAim, kin...)
			}
		}
	}
}

// overThird reports whether a pair spans the major third of the tuning,
// between strings 3 and 2.
func overThird(pair int) bool { return pair == 3 || pair == 6 || pair == 7 }

// shapes adds up to 240: eight qualities in three inversions on five sets of
// strings, to recognise and to place.
func (b *builder) shapes(n int) {
	id := func(q, inv, set int, way string) string { return fmt.Sprintf("shape/%d.%d/%d/%s", q, inv, set, way) }
	for q := range 8 {
		for inv := range 3 {
			for set := range 5 {
				for _, way := range []string{"name", "place"} {
					if n == 0 {
						return
					}
					n--
					var kin []scheduler.Kin
					for _, s := range []int{set - 1, set + 1} {
						if s >= 0 && s < 5 {
							kin = append(kin, scheduler.Kin{ID: id(q, inv, s, way), Weight: shapeAway})
						}
					}
					b.add("shape", fmt.Sprintf("strings %d", set), id(q, inv, set, way), 3+float64(inv), factAim, kin...)
				}
			}
		}
	}
}

// keys adds up to 1,008: twelve keys, seven degrees, twelve things to know of
// each; the last four of the twelve are walk-ups and take longer.
func (b *builder) keys(n int) {
	id := func(kind, degree, key int) string { return fmt.Sprintf("key/%d/%d/%d", kind, degree, key) }
	for kind := range 12 {
		family, aim := "key", factAim
		if kind >= 8 {
			family, aim = "walkup", walkUpAim
		}
		for degree := 1; degree <= 7; degree++ {
			for key := range 12 {
				if n == 0 {
					return
				}
				n--
				b.add(family, fmt.Sprintf("key %d", key), id(kind, degree, key),
					1+float64(degree)/2+float64(min(key, 12-key))/3, aim,
					scheduler.Kin{ID: id(kind, degree, (key+1)%12), Weight: neighbour},
					scheduler.Kin{ID: id(kind, degree, (key+11)%12), Weight: neighbour})
			}
		}
	}
}

// link drops kin that the size left out and notes the others by index.
func (b *builder) link() {
	b.Kin = make([][]Link, len(b.Items))
	for i := range b.Items {
		kept := b.Items[i].Kin[:0]
		for _, k := range b.Items[i].Kin {
			if j, ok := b.index[k.ID]; ok {
				kept = append(kept, k)
				b.Kin[i] = append(b.Kin[i], Link{j, k.Weight})
			}
		}
		b.Items[i].Kin = kept
	}
}
