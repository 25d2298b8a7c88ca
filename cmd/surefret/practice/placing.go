package practice

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"surefret/scheduler"
)

// A placing is a sitting in which a player proves what he knows already. It takes
// the place of the planner's choice: from each region, the items of one drill that
// are met together, it asks a few, and a region in which all of them come fluently
// is proven. The first answer that does not decides against the region, so a
// beginner is through with it soon.
//
// Answers count as in any sitting: the planner learns from each.
type placing struct {
	chosen  selected // what is no longer wanted is not asked
	regions []*region
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

func (r *region) decided() bool { return r.asked > r.fluent || r.fluent >= min(proofs, len(r.items)) }

func (r *region) proven() bool { return r.decided() && r.asked == r.fluent }

// newPlacing returns a placing over what was selected and never asked, in the order
// in which it would be met.
func newPlacing(p *Player, chosen selected) *placing {
	pl := &placing{chosen: chosen, byItem: map[string]*region{}}
	named := map[string]*region{}
	for _, it := range chosen.source.Items() {
		if st, ok := p.planner.State(it.ID); !ok || st.Asked > 0 || !chosen.wants(it.ID) {
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

// Next takes the undecided regions in turn, so that two questions in a row are about
// two things, and stays with the earliest few until they are decided.
func (p *placing) Next(now time.Time, left time.Duration) (scheduler.Choice, bool) {
	const together = 4
	if left <= owedTime { // what it asks was never asked before
		return scheduler.Choice{}, false
	}
	var open []*region
	for _, r := range p.regions {
		if !r.decided() {
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
	if item := r.items[at]; p.chosen.wants(item) {
		return scheduler.Choice{Item: item}, true
	}
	r.asked++ // what cannot be asked proves nothing
	return p.Next(now, left)
}

// learn counts an answer for its region, by 1, or by -1 one that was taken back.
func (p *placing) learn(item string, fluent bool, by int) {
	if r := p.byItem[item]; r != nil {
		r.asked += by
		if fluent {
			r.fluent += by
		}
	}
}

// proven lists the items of the regions that were proven, and the regions in words.
func (p *placing) proven() (items, words []string) {
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

// restProven is how many days an item that was proven without being asked is left
// alone before it is met like any other.
const restProven = 60

// proven reports whether an item that was never asked was proven lately.
func (p *Player) proven(item string) bool {
	day, ok := p.placed[item]
	if !ok {
		return false
	}
	if st, _ := p.planner.State(item); st.Asked > 0 {
		return false
	}
	return int(p.today())-day < restProven
}

// place keeps what a placing proved, and says it.
func (p *Player) place(ctx context.Context, proved *placing) []string {
	items, words := proved.proven()
	day := int(p.today())
	if err := p.log.Place(context.WithoutCancel(ctx), day, items...); err != nil {
		return []string{"What was proven could not be kept: " + err.Error() + "."}
	}
	for _, id := range items {
		p.placed[id] = day
	}
	if len(words) == 0 {
		return []string{"Nothing is proven yet, and nothing you knew before is lost: 'surefret practice --placing' goes on."}
	}
	return []string{"You know these; they will not be asked for a while: " + strings.Join(words, "; ") + "."}
}
