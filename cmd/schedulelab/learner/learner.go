// Package learner simulates players who practise the neck. None of them is
// the scheduler's model: each family tells another published story of how
// practice becomes memory and speed, so that a policy that does well with all
// of them owes it to no single one.
//
// What they share is what the eye sees of a beginner: an answer is either
// retrieved, which is fast, or worked out by counting up the neck, which is
// slow and sometimes wrong. Every answer is followed by the right one, so a
// miss teaches too. A player comes with some facts half known from earlier
// playing, and what he learns of an item helps its kin, less than declared.
//
// Constants stand beside their source; "chosen, no source" marks the others.
// None was ever adjusted to a policy.
package learner

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"

	"surefret/cmd/schedulelab/board"
)

// A Learner is one simulated player. Times are days since the course began;
// they never run backwards from answer to answer.
type Learner interface {
	// Answer plays one question and learns from it.
	Answer(item int, day float64, luck Luck) Answer
	// Fluencies fills out with the true chance of each item, if it were asked
	// on that day, to be answered right within its aim. Nothing is learned.
	Fluencies(day float64, out []float64)
	// Fluency is the same for one item.
	Fluency(item int, day float64) float64
	// Seconds is the expected thinking time.
	Seconds(item int, day float64) float64
	// Ahead fills out[i] with the fluency of the item on day looks[i] if it
	// were practised on the days practices, in order, and nothing else was.
	Ahead(item int, practices, looks, out []float64)
}

// An Answer is what the room sees of it.
type Answer struct {
	Right    bool
	Thinking float64 // seconds
}

// Luck is the chance in one answer, each uniform in (0, 1). It is drawn by
// item and by how often the item was asked, so that two policies on one seed
// meet the same luck.
type Luck struct{ Retrieve, Time, Error float64 }

// Families lists the names that [New] knows and the table shows.
func Families() []string { return []string{"activation", "half-life", "published", "race"} }

// New returns a player of the family, drawn from seed, on board b.
func New(family string, b *board.Board, seed uint64) (Learner, error) {
	rng := rand.New(rand.NewPCG(seed, 0x5f7e7))
	p := newPlayer(b, rng)
	var l Learner
	switch family {
	case "activation":
		l = newActivation(p, rng)
	case "half-life":
		l = newHalfLife(p, rng)
	case "published":
		l = newPublished(p, rng)
	case "race":
		l = newRace(p, rng)
	case HeldOut:
		l = newPools(p, rng)
	default:
		return nil, fmt.Errorf("no family of learners is called %q: choose among %v", family, Families())
	}
	earlierPlaying(l, p, rng)
	return l, nil
}

// A player is what all families share: how he works things out, how sure his
// fingers are, how hard each item is for him and what kin are worth.
type player struct {
	aim   []float64      // seconds
	scale []float64      // of all thinking times: a walk-up takes longer than a note
	hard  []float64      // standard normal; each family gives it its own weight
	kin   [][]board.Link // true transfer
	steps []float64
	slip  float64 // chance that a thing known is answered wrong

	workMedian, workError []float64
	workFluent            []float64 // chance that working it out is right and within the aim
}

const (
	// Counting on costs 0.486 s a step in alphabet arithmetic (Logan & Klapp
	// 1991 and Logan 1988, from memory), and counting through the letters of
	// a string is the same task.
	countStep = 0.486
	// To read the question, to look in vain and to begin. Chosen, no source.
	countStart = 1.2
	// Spread of the logarithm of thinking times. Response times are close to
	// log-normal with 0.2 to 0.4 (common in the literature, from memory).
	workSpread = 0.25
	timeSpread = 0.25
	// Chance of miscounting a step, and of a false start. Chosen: it gives 88
	// to 97 % right, which is what working out is like.
	stepError  = 0.015
	startError = 0.02
	// True transfer is the declared kinship times this, by player, and times
	// 0.5 to 1.5 by link. Chosen, no source: what one procedure lends another
	// is what they share (Singley & Anderson 1989), and declared kin are told
	// by someone who hopes.
	transferLow, transferHigh = 0.25, 0.85
	// Of the items that need at most two steps, so many are half known.
	earlierShare = 0.4
)

func newPlayer(b *board.Board, rng *rand.Rand) *player {
	n := len(b.Items)
	p := &player{steps: b.Steps, slip: 0.01 + 0.02*rng.Float64()}
	pace := math.Exp(0.12 * rng.NormFloat64())
	step := countStep * math.Exp(0.15*rng.NormFloat64())
	miscount := stepError * math.Exp(0.3*rng.NormFloat64())
	transfer := transferLow + (transferHigh-transferLow)*rng.Float64()
	p.aim, p.scale, p.hard = make([]float64, n), make([]float64, n), make([]float64, n)
	p.workMedian, p.workError, p.workFluent = make([]float64, n), make([]float64, n), make([]float64, n)
	p.kin = make([][]board.Link, n)
	for i, it := range b.Items {
		p.aim[i] = it.Aim.Seconds()
		p.scale[i] = pace * p.aim[i] / 2
		p.hard[i] = rng.NormFloat64()
		p.workMedian[i] = p.scale[i] * (countStart + step*b.Steps[i])
		p.workError[i] = 1 - (1-startError)*math.Pow(1-miscount, b.Steps[i])
		p.workFluent[i] = (1 - p.workError[i]) * normal(math.Log(p.aim[i]/p.workMedian[i])/workSpread)
		for _, k := range b.Kin[i] {
			p.kin[i] = append(p.kin[i], board.Link{Item: k.Item, Weight: min(0.9, k.Weight*transfer*(0.5+rng.Float64()))})
		}
	}
	return p
}

// earlierPlaying gives the player a little past: some of the easy items were
// met four times in the three months before the course.
func earlierPlaying(l Learner, p *player, rng *rand.Rand) {
	type past struct {
		day  float64
		item int
	}
	var all []past
	for i, s := range p.steps {
		if s <= 2 && rng.Float64() < earlierShare {
			for range 4 {
				all = append(all, past{-90 + 85*rng.Float64(), i})
			}
		}
	}
	sort.Slice(all, func(i, j int) bool { return all[i].day < all[j].day })
	for _, a := range all {
		l.Answer(a.item, a.day, Luck{rng.Float64(), 1 - rng.Float64(), rng.Float64()})
	}
}

// How an answer came about; the families learn differently from each.
type route int

const (
	retrieved route = iota
	workedOut
	missed
)

// play answers by two routes: with chance recall retrieved, in log-normal time
// of the given median; else worked out. Memory that is slower than counting is
// not waited for: what is worked out in a second never took two.
func (p *player) play(item int, recall, median float64, luck Luck) (Answer, route) {
	if luck.Retrieve < recall {
		median = min(median, p.workMedian[item])
		a := Answer{luck.Error >= p.slip, median * math.Exp(timeSpread*quantile(luck.Time))}
		return a, retrieved
	}
	return p.workOut(item, luck)
}

func (p *player) workOut(item int, luck Luck) (Answer, route) {
	a := Answer{luck.Error >= p.workError[item], p.workMedian[item] * math.Exp(workSpread*quantile(luck.Time))}
	if a.Right {
		return a, workedOut
	}
	return a, missed
}

// fluency and seconds are what play yields on the average.
func (p *player) fluency(item int, recall, median float64) float64 {
	fast := normal(math.Log(p.aim[item]/min(median, p.workMedian[item])) / timeSpread)
	return recall*(1-p.slip)*fast + (1-recall)*p.workFluent[item]
}

func (p *player) seconds(item int, recall, median float64) float64 {
	const mean = 1.0317 // exp(0.25^2/2): the mean of a log-normal over its median
	return mean * (recall*min(median, p.workMedian[item]) + (1-recall)*p.workMedian[item])
}

// normal is the standard normal distribution function.
func normal(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }

// quantile is its inverse.
func quantile(u float64) float64 { return math.Sqrt2 * math.Erfinv(2*u-1) }
