package main

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"

	"surefret/cmd/schedulelab/learner"
	"surefret/drills"
)

// The bank is many players, each drawn from wide distributions, who practise the
// real catalogue without its ear drills. Settings are chosen on one bank; a verdict
// is drawn on another, seldom, and every draw is counted; the third has mechanisms
// of memory, and players who tire, that the others do not.
type bank struct {
	name     string
	memories []string
	seed     uint64
}

var banks = []bank{
	{"choose", learner.Memories, 1},
	{"verdict", learner.Memories, 2},
	{"other", learner.Others, 3},
}

// A bankPlayer is one player of a bank with his habits.
type bankPlayer struct {
	learner.Traits
	seed    uint64
	extra   float64 // seconds an answer takes besides, for entry and reading
	missed  float64 // chance that a day is missed after one that was not
	resumes float64 // chance that a run of missed days ends
	holiday int     // first of fourteen days off, 0 for none
	tuning  string  // of the instrument of a named player, "" for a guitar's
	knows   string  // what he says in the set-up of the notes' names, "" for nothing
}

// player draws the n-th of the bank. With the thinking an ask takes 4 to 12 seconds.
func (b bank) player(n int) bankPlayer {
	rng := rand.New(rand.NewPCG(b.seed, uint64(n)))
	p := bankPlayer{Traits: learner.Draw(b.memories, rng), seed: rng.Uint64()}
	p.extra = 0.8 + 5.5*rng.Float64()
	p.missed, p.resumes = 0.25*rng.Float64(), 0.4+0.6*rng.Float64()
	if rng.Float64() < 0.25 {
		p.holiday = 10 + rng.IntN(35)
	}
	return p
}

// days says when the player practises, in days; NaN on a day without.
func (p bankPlayer) days() (at [courseDays]float64) {
	rng := rand.New(rand.NewPCG(p.seed, 21))
	away := false
	for d := range at {
		if away {
			away = rng.Float64() >= p.resumes
		} else {
			away = rng.Float64() < p.missed
		}
		at[d] = float64(d) + (practiceHour+min(max(1.5*rng.NormFloat64(), -3), 6))/24
		if off := p.holiday > 0 && d >= p.holiday && d < p.holiday+14; d > 0 && (away || off) {
			at[d] = math.NaN()
		}
	}
	return at
}

// canBeQuick reports whether the player's speed can reach the aim: after forty days of
// daily practice most items would be sure.
func (m *material) canBeQuick(who bankPlayer) (bool, error) {
	p, err := learner.New(who.Traits, m.board, who.seed)
	if err != nil {
		return false, err
	}
	daily := make([]float64, 40)
	for d := range daily {
		daily[d] = float64(d)
	}
	quick, tried := 0, 0
	var out [1]float64
	for i := 0; i < len(m.board.Items); i += 17 {
		p.Ahead(i, daily, []float64{40}, out[:])
		quick += one(out[0] >= 0.8)
		tried++
	}
	return 4*quick >= 3*tried, nil
}

// A material is the catalogue with its topics.
type material struct {
	board    *learner.Board
	topics   [][]int // items, of each topic that has three or more
	families int
	basic    []int // items that nobody should wait for
	days     int   // to play, courseDays at most
}

// newMaterial lays items out.
func newMaterial(items []drills.Item) *material {
	m := &material{board: newBoard(items), days: courseDays}
	at, families := map[string]int{}, map[string]bool{}
	for i, it := range items {
		families[string(it.Family)] = true
		if it.Basic() {
			m.basic = append(m.basic, i)
		}
		k, ok := at[it.Topic()]
		if !ok {
			k = len(m.topics)
			at[it.Topic()] = k
			m.topics = append(m.topics, nil)
		}
		m.topics[k] = append(m.topics[k], i)
	}
	m.topics = slices.DeleteFunc(m.topics, func(items []int) bool { return len(items) < 3 })
	m.families = len(families)
	return m
}

// sure says which topics are sure: the mean chance of a topic's items to be right in
// time is at least mean, and none is under a half.
func (m *material) sure(fluent []float64, mean float64) []bool {
	sure := make([]bool, len(m.topics))
	for k, of := range m.topics {
		sum, least := 0.0, 1.0
		for _, i := range of {
			sum += fluent[i]
			least = min(least, fluent[i])
		}
		sure[k] = sum >= mean*float64(len(of)) && least >= 0.5
	}
	return sure
}

// play lets the first players of the bank practise by every rule.
func (b bank) play(m *material, players int, rules []candidate) ([]played, error) {
	all := make([]played, len(rules))
	for r := range rules {
		all[r] = played{rules[r], make([]record, players)}
	}
	err := parallel(len(rules)*players, func(k int) (err error) {
		r, n := k/players, k%players
		all[r].records[n], err = m.play(b.player(n), rules[r].rule)
		return err
	})
	return all, err
}

// parallel does jobs 0 to n-1, as many at a time as there are processors to use, and
// returns the first error.
func parallel(n int, do func(int) error) error {
	errs := make([]error, n)
	jobs := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for k := range jobs {
				errs[k] = do(k)
			}
		})
	}
	for k := range n {
		jobs <- k
	}
	close(jobs)
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
