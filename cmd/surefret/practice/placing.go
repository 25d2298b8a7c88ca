package practice

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"
	"time"

	"surefret/drills"
	"surefret/scheduler"
)

// A placing is a sitting in which a player proves what he knows already. It takes
// the place of the planner's choice: it asks a few items of a topic, from the middle of
// each drill outward, until it is likely enough that the rest of the topic is known or
// that it is not. What a player shows of one topic tells of the others, so that who
// knows much proves it soon, and a beginner is through with it soon.
//
// Answers count as in any sitting: the planner learns from each.
type placing struct {
	chosen  selected // what is no longer wanted is not asked
	regions []*region
	byItem  map[string]*region
	last    *region
}

// A region is what of a topic was never asked: it is proven or not as a whole.
type region struct {
	name   string
	family drills.Family
	stage  int
	items  []string
	asked  int // in this placing
	fluent int
	before [2]int // items of the topic that were asked before: fluent now, and not
}

// fluentWhere is the chance of a fluent answer where a topic is known, known in part
// and not known. All of these are chosen, no source.
var fluentWhere = [3]float64{0.95, 0.6, 0.08}

const (
	// What is believed before anything was asked, in topics seen. That much may be
	// known in part makes the first topics be asked twice.
	priorKnown, priorPart, priorNot = 1.2, 2.0, 1.0

	partly      = 0.5  // how likely known in part, against known, where a topic's answers alone are looked at
	provenFrom  = 0.83 // expected chance of a fluent answer from which a topic is proven
	hopeless    = 0.12 // chance that it is known under which it is not worth asking
	placingMost = 5    // questions about a topic
)

// belief is how likely the region is known, known in part and not known: prior
// moved by its answers.
func (r *region) belief(prior [3]float64) (p [3]float64) {
	fluent, not := float64(r.fluent+min(r.before[0], 2)), float64(r.asked-r.fluent+min(r.before[1], 2))
	sum := 0.0
	for i, f := range fluentWhere {
		p[i] = prior[i] * math.Pow(f, fluent) * math.Pow(1-f, not)
		sum += p[i]
	}
	for i := range p {
		p[i] /= sum
	}
	return p
}

// prior is what the other topics say of r: those of its own drill most, and of them a
// harder one that is known, or an easier one that is not.
func (p *placing) prior(r *region) (of [3]float64) {
	of = [3]float64{priorKnown, priorPart, priorNot}
	for _, q := range p.regions {
		if q == r || q.asked == 0 {
			continue
		}
		weight := 0.2
		if q.family == r.family {
			weight = 1
		}
		b := q.belief([3]float64{1, partly, 1})
		down, up := 1.0, 1.0 // of a failure, and of a success
		if q.stage > r.stage {
			down = 0.4
		} else if q.stage < r.stage {
			up = 0.6
		}
		of[0] += weight * up * b[0]
		of[1] += weight * b[1]
		of[2] += weight * down * b[2]
	}
	return of
}

// state says whether the region is proven, and whether there is more to ask of it.
func (p *placing) state(r *region) (known float64, proven, open bool) {
	b := r.belief(p.prior(r))
	chance := 0.0
	for i, f := range fluentWhere {
		chance += b[i] * f
	}
	proven = r.asked > 0 && r.fluent > 0 && chance >= provenFrom
	return b[0], proven, !proven && b[0] >= hopeless && r.asked < min(placingMost, len(r.items))
}

// newPlacing returns a placing over what was selected and never asked.
func newPlacing(p *Player, chosen selected) *placing {
	pl := &placing{chosen: chosen, byItem: map[string]*region{}}
	named := map[string]*region{}
	for _, it := range chosen.source.Items() {
		st, ok := p.planner.State(it.ID)
		if !ok {
			continue
		}
		r := named[it.Topic()]
		if r == nil {
			r = &region{name: it.Topic(), family: it.Family, stage: it.Stage}
			named[r.name] = r
		}
		switch {
		case st.Asked > 0:
			r.before[one(p.planner.Fluency(it.ID, p.Now()) < weakFrom)]++
		case chosen.wants(it.ID):
			r.items = append(r.items, it.ID)
			pl.byItem[it.ID] = r
		}
	}
	for _, it := range chosen.source.Items() {
		if r := pl.byItem[it.ID]; r != nil && !slices.Contains(pl.regions, r) {
			pl.regions = append(pl.regions, r)
		}
	}
	slices.SortStableFunc(pl.regions, func(a, b *region) int { return cmp.Compare(a.stage, b.stage) })
	return pl
}

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// opening is how many questions come first about what is met first, each of another
// drill, so that nobody is met with what is hard.
const opening = 4

// easiest are the topics that are met first, of each drill one.
func (p *placing) easiest() (easy []*region) {
	for _, r := range p.regions {
		if len(easy) < opening && !slices.ContainsFunc(easy, func(e *region) bool { return e.family == r.family }) {
			easy = append(easy, r)
		}
	}
	return easy
}

// Next asks of the topic that promises most: many items, likely known. The first
// questions are easy ones. Each drill then begins in the middle of its order, and two questions in a row are about two drills
// where there are others.
func (p *placing) Next(now time.Time, left time.Duration) (scheduler.Choice, bool) {
	if left <= owedTime { // what it asks was never asked before
		return scheduler.Choice{}, false
	}
	easy := p.easiest()
	begun, count := map[drills.Family]bool{}, map[drills.Family]int{}
	for _, r := range p.regions {
		_, _, open := p.state(r)
		begun[r.family] = begun[r.family] || r.asked > 0 && !(open && slices.Contains(easy, r))
		count[r.family]++
	}
	var best *region
	most, rank := 0.0, map[drills.Family]int{}
	for _, r := range p.regions {
		rank[r.family]++
		known, _, open := p.state(r)
		if !open || !begun[r.family] && rank[r.family] != (count[r.family]+1)/2 {
			continue
		}
		promise := known * float64(len(r.items))
		if p.last != nil && p.last.family == r.family {
			promise /= 2
		}
		if !begun[r.family] {
			promise *= 10
		}
		if promise > most {
			best, most = r, promise
		}
	}
	if i := slices.IndexFunc(easy, func(r *region) bool { return r.asked == 0 }); i >= 0 {
		best = easy[i]
	}
	if best == nil {
		return scheduler.Choice{}, false
	}
	// Spread over the topic: its middle, its ends, and between them.
	n := len(best.items) - 1
	at := []int{n / 2, 0, n, n / 4, n - n/4}[best.asked%5]
	p.last = best
	if item := best.items[at]; p.chosen.wants(item) {
		return scheduler.Choice{Item: item}, true
	}
	best.asked++ // what cannot be asked proves nothing
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

// proven lists the items of the topics that were proven, and the topics by name.
func (p *placing) proven() (items, words []string) {
	for _, r := range p.regions {
		if _, proven, _ := p.state(r); proven {
			items = append(items, r.items...)
			words = append(words, r.name)
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
