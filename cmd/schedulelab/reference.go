package main

import (
	"cmp"
	"math"
	"slices"
	"time"

	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/schedulelab/policy"
)

// Two references cheat: they read the player's true state. Both are greedy and
// overlook what kin gain, so neither is the best possible; they show what seeing the
// truth is worth, one for each share.

// truth is what they have in common.
type truth struct {
	*material
	player *learner.Player
	extra  float64
	today  int
	last   int
}

func (r *truth) seconds(item int, at float64) float64 {
	f := r.player.Fluency(item, at)
	return r.player.Seconds(item, at) + entrySeconds + feedbackSeconds + r.extra + 0.1*(1-f)*missSeconds
}

// forFluency asks the item that would lose most, for the seconds it takes, if it
// waited until tomorrow: it lays out three more practices from now and from tomorrow.
type forFluency struct {
	truth
	worth []float64
}

func newForFluency(m *material, who bankPlayer, p *learner.Player) policy.Policy {
	return &forFluency{truth{m, p, who.extra, -1, -1}, make([]float64, len(m.board.Items))}
}

// Days after today of the practices that follow, and of the looks, at eight in
// the evening; the weights are the days each look stands for. There is a look
// on every day of a practice: there the two courses differ most.
var (
	followUps   = []float64{0, 2, 6}
	looks       = []float64{0, 1, 2, 4, 6, 9, 14}
	lookWeights = []float64{1, 1, 1.5, 2, 2.5, 4, 5}
)

func (r *forFluency) Next(now time.Time, _ time.Duration) (int, bool) {
	at := now.Sub(start).Hours() / 24
	if today := int(at); today != r.today {
		r.today = today
		for i := range r.worth {
			r.worth[i] = r.loss(i, at)
		}
	}
	best, most := 0, math.Inf(-1)
	for i, w := range r.worth {
		if w > most && i != r.last {
			best, most = i, w
		}
	}
	return best, true
}

// loss is the fluent days lost a second of asking if the item waits a day.
func (r *forFluency) loss(item int, at float64) float64 {
	var practices [3]float64
	var out, when [7]float64
	for i, d := range looks {
		when[i] = math.Floor(at) + lookHour/24 + d
	}
	value := func(from float64) float64 {
		for i, d := range followUps {
			practices[i] = from + d
		}
		r.player.Ahead(item, practices[:], when[:], out[:])
		sum := 0.0
		for i, f := range out {
			sum += lookWeights[i] * f
		}
		return sum
	}
	return (value(at) - value(at+1)) / r.seconds(item, at)
}

func (r *forFluency) Learn(v policy.Answer) {
	r.worth[v.Item] = r.loss(v.Item, v.At.Sub(start).Hours()/24)
	r.last = v.Item
}

// forUse finishes topics: every day it ranks them by the items that they bring for the
// seconds that are still missing, by the truth, and asks what would not be right in
// time tomorrow evening, topic by topic. What is sure already is only kept so.
type forUse struct {
	truth
	queue []int
	done  []bool // asked today
}

func newForUse(m *material, who bankPlayer, p *learner.Player) policy.Policy {
	return &forUse{truth: truth{m, p, who.extra, -1, -1}, done: make([]bool, len(m.board.Items))}
}

const (
	sureWanted = 0.83 // of an item: the mean of its topic must be 0.8
	planDays   = 15   // daily practices after which a topic is given up
)

func (r *forUse) Next(now time.Time, _ time.Duration) (int, bool) {
	at := now.Sub(start).Hours() / 24
	if today := int(at); today != r.today {
		r.today = today
		clear(r.done)
		r.plan(at)
	}
	for len(r.queue) > 0 && r.done[r.queue[0]] {
		r.queue = r.queue[1:]
	}
	if len(r.queue) > 0 {
		return r.queue[0], true
	}
	// Time is left: what is weakest of what was not asked today.
	best, least := -1, math.Inf(1)
	for i, done := range r.done {
		if f := r.player.Fluency(i, at); !done && i != r.last && f < least {
			best, least = i, f
		}
	}
	return best, best >= 0
}

func (r *forUse) Learn(v policy.Answer) { r.done[v.Item], r.last = true, v.Item }

// plan lays out the day.
func (r *forUse) plan(at float64) {
	evening := math.Floor(at) + lookHour/24
	daily, evenings := make([]float64, planDays), make([]float64, planDays)
	for d := range daily {
		daily[d], evenings[d] = at+float64(d), evening+float64(d)
	}
	type want struct {
		items []int
		score float64
	}
	var wants []want
	out := make([]float64, planDays)
	for _, items := range r.topics {
		w, cost, reach := want{}, 0.0, 0.0
		hopeless := false
		for _, i := range items {
			var idle [1]float64
			r.player.Ahead(i, nil, []float64{evening + 1}, idle[:])
			if idle[0] >= sureWanted {
				reach += idle[0]
				continue
			}
			r.player.Ahead(i, daily, evenings, out)
			best := slices.Max(out)
			needs := slices.IndexFunc(out, func(f float64) bool { return f >= min(sureWanted, best-0.01) }) + 1
			reach += best
			hopeless = hopeless || best < 0.5
			cost += float64(needs) * r.seconds(i, at)
			w.items = append(w.items, i)
		}
		if len(w.items) > 0 && !hopeless && reach >= 0.8*float64(len(items)) {
			w.score = float64(len(items)) / cost
			wants = append(wants, w)
		}
	}
	slices.SortStableFunc(wants, func(a, b want) int { return cmp.Compare(b.score, a.score) })
	r.queue = r.queue[:0]
	for _, w := range wants {
		r.queue = append(r.queue, w.items...)
	}
}
