package policy

import (
	"time"

	"surefret/scheduler"
)

// Narrow turns a rule into a player who, once told of a gig, practises nothing
// but the gig's items until it is over, and the whole board before and after.
func Narrow(m Maker) Maker {
	return func(items []scheduler.Item, seed uint64) Policy {
		return &narrow{Policy: m(items, seed), maker: m, items: items, seed: seed}
	}
}

type narrow struct {
	Policy // of the whole board, which learns from every answer
	maker  Maker
	items  []scheduler.Item
	seed   uint64
	log    []Answer

	gig   Policy // of the gig's items alone
	gigAt time.Time
	real  []int       // index on the board of each of the gig's items
	place map[int]int // and back
}

// Expect implements [Performer].
func (n *narrow) Expect(items []int, at time.Time) {
	n.gigAt, n.real, n.place = at, items, map[int]int{}
	id := map[string]bool{}
	for k, i := range items {
		n.place[i] = k
		id[n.items[i].ID] = true
	}
	var few []scheduler.Item
	for _, i := range items {
		it := n.items[i]
		var kin []scheduler.Kin
		for _, k := range it.Kin {
			if id[k.ID] {
				kin = append(kin, k)
			}
		}
		it.Kin = kin
		few = append(few, it)
	}
	n.gig = n.maker(few, n.seed)
	for _, r := range n.log {
		if k, ok := n.place[r.Item]; ok {
			r.Item = k
			n.gig.Learn(r)
		}
	}
}

func (n *narrow) Next(now time.Time, left time.Duration) (int, bool) {
	if n.gig == nil || now.After(n.gigAt) {
		return n.Policy.Next(now, left)
	}
	k, ok := n.gig.Next(now, left)
	if !ok {
		return 0, false
	}
	return n.real[k], true
}

func (n *narrow) Learn(r Answer) {
	n.log = append(n.log, r)
	n.Policy.Learn(r)
	if k, ok := n.place[r.Item]; ok && n.gig != nil {
		r.Item = k
		n.gig.Learn(r)
	}
}
