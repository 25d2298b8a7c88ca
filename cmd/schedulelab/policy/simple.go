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
