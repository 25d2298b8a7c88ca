package practice

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"surefret/drills"
	"surefret/scheduler"
)

// A Placing is a sitting in which a player proves what he knows already. It
// takes the place of the planner's choice: from each region, the items of one
// drill that are met together, it asks a few, and a region in which all of them
// come fluently is proven. The first answer that does not settles a region the
// other way, so a beginner is through with it soon.
//
// Answers count as in any sitting: the planner learns from each.
type Placing struct {
	Planner
	regions []*region
	keep    func(item string) bool // may still be asked: not set aside meanwhile, and heard
	turn    int
	byItem  map[string]*region
}

// proofs is how many fluent answers in a row prove a region.
const proofs = 3

// A region is what is proven or not as a whole.
type region struct {
	name   string
	stage  int
	items  []string
	asked  int
	fluent int
}

func (r *region) settled() bool { return r.asked > r.fluent || r.fluent >= min(proofs, len(r.items)) }

func (r *region) proven() bool { return r.settled() && r.asked == r.fluent }

// NewPlacing returns a placing over those of items that keep wants and that were
// never asked, in the order in which they would be met.
func NewPlacing(p Planner, items []drills.Item, keep func(item string) bool) *Placing {
	pl := &Placing{Planner: p, keep: keep, byItem: map[string]*region{}}
	named := map[string]*region{}
	for _, it := range items {
		if st, ok := p.State(it.ID); !ok || st.Asked > 0 || !keep(it.ID) {
			continue
		}
		name := fmt.Sprintf("%s, %s, stage %d", it.Family, it.Group, it.Stage)
		r := named[name]
		if r == nil {
			r = &region{name: fmt.Sprintf("%s: %s", it.Family, it.Group), stage: it.Stage}
			named[name] = r
			pl.regions = append(pl.regions, r)
		}
		r.items = append(r.items, it.ID)
		pl.byItem[it.ID] = r
	}
	slices.SortStableFunc(pl.regions, func(a, b *region) int { return cmp.Compare(a.stage, b.stage) })
	return pl
}

// Next takes the open regions in turn, so that two questions in a row are about
// two things, and stays with the earliest few until they are settled.
func (p *Placing) Next(now time.Time, left time.Duration) (scheduler.Choice, bool) {
	const together = 4
	if left <= owed { // what it asks was never asked before
		return scheduler.Choice{}, false
	}
	var open []*region
	for _, r := range p.regions {
		if !r.settled() {
			open = append(open, r)
		}
		if len(open) == together {
			break
		}
	}
	if len(open) == 0 {
		return scheduler.Choice{}, false
	}
	p.turn++
	r := open[p.turn%len(open)]
	// Spread over the region: its first, its last, its middle.
	at := []int{0, len(r.items) - 1, len(r.items) / 2}[min(r.asked, 2)]
	if item := r.items[at]; p.keep(item) {
		return scheduler.Choice{Item: item}, true
	}
	r.asked++ // what cannot be asked proves nothing
	return p.Next(now, left)
}

// Learn passes the answer on and settles its region.
func (p *Placing) Learn(r scheduler.Answer) {
	if reg := p.byItem[r.Item]; reg != nil {
		reg.asked++
		if p.Outcome(r).Fluent() && r.Thinking > 0 {
			reg.fluent++
		}
	}
	p.Planner.Learn(r)
}

// Forget takes an answer that was taken back out of its region. What the planner
// learned of it is not Forget's.
func (p *Placing) Forget(r scheduler.Answer) {
	if reg := p.byItem[r.Item]; reg != nil {
		reg.asked--
		if p.Outcome(r).Fluent() && r.Thinking > 0 {
			reg.fluent--
		}
	}
}

// Proven lists the items of the regions that were proven, and the regions in
// words.
func (p *Placing) Proven() (items, words []string) {
	for _, r := range p.regions {
		if r.proven() {
			items = append(items, r.items...)
			if !slices.Contains(words, r.name) {
				words = append(words, r.name)
			}
		}
	}
	return items, words
}
