package policy

import (
	"math/rand/v2"
	"time"

	"surefret/scheduler"
)

// Random asks any item, each as likely as another, but none twice in a row.
func Random(items []scheduler.Item, seed uint64) Policy {
	return &random{n: len(items), rng: rand.New(rand.NewPCG(seed, 1)), last: -1}
}

type random struct {
	n, last int
	rng     *rand.Rand
}

func (r *random) Next(time.Time, time.Duration) (int, bool) {
	i := r.rng.IntN(r.n)
	if i == r.last {
		i = (i + 1) % r.n
	}
	return i, true
}

func (r *random) Learn(v Answer) { r.last = v.Item }

// Blocked drills one item so many times in a row before it goes to the next,
// and begins anew at the end: the opposite of what Shea & Morgan 1979 found to
// last.
func Blocked(times int) Maker {
	return func(items []scheduler.Item, _ uint64) Policy {
		return &blocked{n: len(items), times: times}
	}
}

type blocked struct{ n, times, item, done int }

func (b *blocked) Next(time.Time, time.Duration) (int, bool) {
	if b.done >= b.times {
		b.item, b.done = (b.item+1)%b.n, 0
	}
	return b.item, true
}

func (b *blocked) Learn(Answer) { b.done++ }

// BlockedGroups keeps to one group, a string or a key, for a whole day.
func BlockedGroups(items []scheduler.Item, seed uint64) Policy {
	g := &groupADay{rng: rand.New(rand.NewPCG(seed, 2)), last: -1}
	at := map[string]int{}
	for i, it := range items {
		key := it.Family + it.Group
		if _, ok := at[key]; !ok {
			at[key] = len(g.groups)
			g.groups = append(g.groups, nil)
		}
		g.groups[at[key]] = append(g.groups[at[key]], i)
	}
	return g
}

type groupADay struct {
	groups     [][]int
	rng        *rand.Rand
	day, group int
	last       int
}

func (g *groupADay) Next(now time.Time, _ time.Duration) (int, bool) {
	if today := int(day(now)); today != g.day {
		if g.day != 0 {
			g.group = (g.group + 1) % len(g.groups)
		}
		g.day = today
	}
	group := g.groups[g.group]
	i := group[g.rng.IntN(len(group))]
	if i == g.last && len(group) > 1 {
		return g.Next(now, 0)
	}
	return i, true
}

func (g *groupADay) Learn(v Answer) { g.last = v.Item }
