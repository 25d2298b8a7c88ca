package main

import (
	"fmt"
	"slices"

	"surefret/cmd/schedulelab/policy"
)

// A candidate is a baseline at one setting.
type candidate struct {
	rule
	kind string // what is tuned against each other
}

// isBaseline reports whether it is a rule that the planner is compared with.
func (c candidate) isBaseline() bool {
	return !slices.Contains([]string{planner, cheating, gigKind, gigKind + " told"}, c.kind)
}

const (
	random      = "uniform random"
	leitner     = "Leitner"
	plainBoxes  = "plain boxes, lowest first"
	growingGaps = "growing gaps (1990)"
	published   = "published"
	fewAtATime  = "few at a time"
	planner     = "SUREFRET"
	cheating    = "(reference, CHEATS)"
	gigKind     = "gig"
	toldOfGig   = "SUREFRET, told of the gig"
)

// candidates are all settings that baselines are tuned over: the pace of new items,
// right or right in time, what returns in the sitting, how far a miss throws back, which
// box first, retention, and the limit. All meet the items in the planner's order.
func candidates() []candidate {
	all := []candidate{{rule{Name: random, New: policy.Random}, random}}
	add := func(kind, setting string, m policy.Maker) {
		all = append(all, candidate{rule{Name: kind + " " + setting, New: m}, kind})
	}
	for _, g := range []policy.Grading{policy.ByAnswer, policy.BySpeed} {
		for _, p := range policy.Paces {
			for _, r := range []policy.Repeat{policy.RepeatMissed, policy.RepeatNone} {
				s := policy.Setting{Grading: g, Pace: p, Repeat: r}
				add(growingGaps, s.String(), policy.GrowingGaps(s))
				for _, retention := range []float64{0.85, 0.90, 0.95} {
					add(published, fmt.Sprintf("%s at %.2f", s, retention), policy.Published(s, retention))
				}
				for _, kind := range []string{leitner, plainBoxes} {
					s.Lowest = kind == plainBoxes
					add(kind, s.String(), policy.Leitner(s, false))
					add(kind, s.String()+", gentle", policy.Leitner(s, true))
				}
			}
		}
	}
	for _, limit := range limits {
		add(fewAtATime, limitName(limit), policy.Few(limit))
	}
	return all
}

// limits are those of few at a time, 0 for none.
var limits = []int{10, 25, 50, 100, 0}

func limitName(limit int) string {
	if limit == 0 {
		return "no limit"
	}
	return fmt.Sprintf("%d", limit)
}

// tuned are the settings of each kind that did best on the bank "choose", for the usable
// share and for the fluent share: see testdata/schedulelab-tune.txt, whose first line is
// the command that found them.
var tuned = []string{
	leitner + " by speed, meeting at will, misses again",
	leitner + " by speed, meeting first, no repeats, gentle",
	plainBoxes + " by speed, meeting at will, misses again, lowest box first",
	plainBoxes + " by answer, meeting first, no repeats, lowest box first, gentle",
	growingGaps + " by answer, meeting 10 facts a day, no repeats",
	growingGaps + " by speed, meeting first, no repeats",
	published + " by speed, meeting at will, no repeats at 0.95",
	published + " by speed, meeting first, no repeats at 0.85",
}

// baselines are uniform random, the tuned ones, and few at a time with every limit.
func baselines() []candidate {
	var chosen []candidate
	for _, c := range candidates() {
		if c.kind == random || c.kind == fewAtATime || slices.Contains(tuned, c.Name) {
			chosen = append(chosen, c)
		}
	}
	return chosen
}

// planners are the planner as it is shipped, and at other limits on what is in the
// making.
func planners() []candidate {
	all := []candidate{{rule{Name: planner, New: policy.Ours}, planner}}
	for _, limit := range []int{10, 40, 80, 1000} {
		all = append(all, candidate{rule{Name: fmt.Sprintf("%s %d", planner, limit), New: policy.OursAt(limit), Until: shareDays}, planner})
	}
	return all
}

// references read the player's mind, one for each share.
func references() []candidate {
	return []candidate{
		{rule{Name: "a reference for usable share, which cheats,", Cheat: newForUse}, cheating},
		{rule{Name: "a reference for fluent share, which cheats,", Cheat: newForFluency}, cheating},
	}
}

// gigRules are the planner told of a gig, and ways to practise nothing but the gig's
// items until it is over.
func gigRules() []candidate {
	rules := []candidate{
		{rule{Name: toldOfGig, New: policy.Ours, Gig: true, Until: shareDays}, gigKind + " told"},
		{rule{Name: "only the gig, SUREFRET's order", New: policy.Narrow(policy.Ours), Gig: true, Until: shareDays}, gigKind},
		{rule{Name: "only the gig, few at a time without limit", New: policy.Narrow(policy.Few(0)), Gig: true, Until: shareDays}, gigKind},
	}
	for _, c := range baselines() {
		if c.kind == leitner || c.kind == plainBoxes {
			rules = append(rules, candidate{rule{Name: "only the gig, " + c.Name, New: policy.Narrow(c.New), Gig: true, Until: shareDays}, gigKind})
		}
	}
	return rules
}
