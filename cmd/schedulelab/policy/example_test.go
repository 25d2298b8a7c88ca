package policy_test

import (
	"fmt"
	"time"

	"surefret/cmd/schedulelab/policy"
	"surefret/scheduler"
)

// slowest is a rule from elsewhere: it asks what took longest last time, and
// what was never asked before that. It needs nothing but this package.
type slowest struct{ seconds []float64 }

func (s *slowest) Next(time.Time, time.Duration) (int, bool) {
	at := 0
	for i, t := range s.seconds {
		if t > s.seconds[at] {
			at = i
		}
	}
	return at, true
}

func (s *slowest) Learn(r policy.Answer) { s.seconds[r.Item] = r.Seconds }

func newSlowest(items []scheduler.Item, _ uint64) policy.Policy {
	s := &slowest{make([]float64, len(items))}
	for i := range s.seconds {
		s.seconds[i] = 60
	}
	return s
}

// A rule is driven by a log and the clock: answers go in, an item comes out.
func ExampleMaker() {
	items := []scheduler.Item{
		{ID: "note/E2+3/name", Family: "note"},
		{ID: "note/E4+3/name", Family: "note", Kin: []scheduler.Kin{{ID: "note/E2+3/name", Weight: 0.7}}},
		{ID: "note/A2+2/name", Family: "note"},
	}
	items[0].Kin = []scheduler.Kin{{ID: items[1].ID, Weight: 0.7}}
	var slow policy.Maker = newSlowest
	p := slow(items, 1)
	now := time.Date(2026, time.March, 2, 8, 0, 0, 0, time.UTC)
	for _, seconds := range []float64{1.1, 3.9, 2.0, 1.5} {
		i, _ := p.Next(now, 5*time.Minute)
		fmt.Println(items[i].ID)
		now = now.Add(5 * time.Second)
		p.Learn(policy.Answer{Item: i, Right: true, Seconds: seconds, At: now})
	}
	// Output:
	// note/E2+3/name
	// note/E4+3/name
	// note/A2+2/name
	// note/E4+3/name
}
