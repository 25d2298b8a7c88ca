// Package learner simulates players who practise the neck. None of them is
// the scheduler's model: each memory tells another published story of how
// practice becomes recall and speed, and each player is drawn from wide
// distributions of what players differ in, so that a policy that does well with
// all of them owes it to no single one.
//
// What they share is what the eye sees of a player: an answer is either
// retrieved, which is fast, or worked out by counting up the neck, which is
// slow and sometimes wrong. Every answer is followed by the right one, so a
// miss teaches too.
//
// Constants stand beside their source; "chosen, no source" marks the others.
// None was adjusted to the planner; the race of memories was eased, as no rule at all
// ever finished a topic with it.
package learner

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
)

// An Answer is what the room sees of it.
type Answer struct {
	Right    bool
	Thinking float64 // seconds
}

// Luck is the chance in one answer, each uniform in (0, 1). It is drawn by
// item and by how often the item was asked, so that two policies with one player
// meet the same luck.
type Luck struct{ Retrieve, Time, Error float64 }

// more is further luck of the same answer: one of its numbers, far down its digits.
func more(of float64) float64 {
	_, rest := math.Modf(of * 9973)
	return rest
}

// A memory is one story of what practice does. Times are days since the course
// began; they never run backwards from answer to answer. Gain is what one practice
// is worth, 1 for a usual player without anything in the way.
type memory interface {
	answer(item int, day, gain float64, luck Luck) Answer
	fluencyOn(item int, day float64) float64
	secondsOn(item int, day float64) float64
	ahead(item int, gain float64, practices, looks, out []float64)
}

// Memories and Others name the memories that [Draw] knows. No setting of any rule is
// chosen on players with one of the others.
var (
	Memories = []string{"activation", "half-life", "published", "race", "sleep", "mixture"}
	Others   = []string{"pools", "all-or-none"}
)

func newMemory(name string, p *person, rng *rand.Rand) (memory, error) {
	switch name {
	case "activation":
		return newActivation(p, rng), nil
	case "half-life":
		return newHalfLife(p, rng), nil
	case "published":
		return newPublished(p, rng), nil
	case "race":
		return newRace(p, rng), nil
	case "sleep":
		return newSleep(p, rng), nil
	case "mixture":
		return newMixture(p, rng), nil
	case "pools":
		return newPools(p, rng), nil
	case "all-or-none":
		return newAllOrNone(p, rng), nil
	}
	return nil, fmt.Errorf("no memory is called %q: choose among %v and %v", name, Memories, Others)
}

// Traits are what players differ in. All ranges are chosen, no source, and wide on
// purpose.
type Traits struct {
	Memory       string
	Pace         float64 // of all thinking times, 1 in the middle
	strain       float64 // added to how hard every item is, standard deviations
	Rate         float64 // what a practice is worth, 1 in the middle
	Interference float64 // how much items alike that are not sure take off a practice: 0 to 1
	Transfer     float64 // of what is declared, what kin truly lend: 0 to 1
	unsaid       float64 // what items lend that were not declared kin: 0 to 0.4
	Lapse        float64 // chance that a thing known is answered wrong: 0 to 0.1
	Careless     float64 // how often working out goes wrong, 1 for who counts with care
	Stuck        float64 // share of items whose speed never reaches the aim
	Known        float64 // share of the board that was played for years
	Wrong        float64 // chance that an item is answered wrong when it is first seen
	Tail         float64 // chance that an answer takes far longer than usual
	tires        float64 // how much longer an answer takes after ten minutes: 0 to 0.5
}

// Draw draws a player with one of the memories.
func Draw(memories []string, rng *rand.Rand) Traits {
	t := Traits{
		Memory:       memories[rng.IntN(len(memories))],
		Pace:         math.Exp(0.15 * rng.NormFloat64()),
		strain:       0.5 * rng.NormFloat64(),
		Rate:         1.2 * math.Exp(0.3*rng.NormFloat64()),
		Interference: rng.Float64() * rng.Float64(),
		Transfer:     rng.Float64(),
		unsaid:       0.4 * max(0, 2*rng.Float64()-1),
		Lapse:        0.1 * rng.Float64() * rng.Float64(),
		Careless:     0.5 + rng.Float64(),
		Stuck:        0.06 * max(0, 2*rng.Float64()-1),
		Tail:         0.08 * rng.Float64() * rng.Float64(),
	}
	switch kind := rng.Float64(); {
	case kind < 0.4: // a beginner
		t.Wrong, t.Careless = 0.4+0.5*rng.Float64(), 1+5*rng.Float64()
	case kind < 0.8: // some years
		t.Known, t.Wrong = 0.05+0.3*rng.Float64(), 0.3*rng.Float64()
	default: // an old hand
		t.Known = 0.5 + 0.25*rng.Float64()
	}
	if slices.Equal(memories, Others) {
		t.tires = 0.5 * rng.Float64()
	}
	return t
}

// A Player is one simulated player: his memory, and what befalls every memory.
type Player struct {
	Traits
	memory memory
	aim    []float64

	met   []bool    // asked, in the course or long before
	asked []float64 // day of the last time in the course, negative for never
	group []int     // of each item

	// What is in the making, counted once a day: asked in the last fourteen days,
	// and not sure then.
	counted int
	unsure  []bool
	alike   []int // by group
	all     int

	began, last float64 // of the sitting, days
}

// New returns the player of some traits, drawn from seed, on board b.
func New(t Traits, b *Board, seed uint64) (*Player, error) {
	rng := rand.New(rand.NewPCG(seed, 0xd4a3))
	shared := newPerson(t, b, rng)
	m, err := newMemory(t.Memory, shared, rng)
	if err != nil {
		return nil, err
	}
	n := len(b.Items)
	p := &Player{Traits: t, memory: m, aim: shared.aim, met: make([]bool, n), asked: make([]float64, n), group: make([]int, n), unsure: make([]bool, n), counted: -1, last: -1}
	at := map[string]int{}
	for i, it := range b.Items {
		if _, ok := at[it.Group]; !ok {
			at[it.Group] = len(at)
		}
		p.group[i], p.asked[i] = at[it.Group], -1
	}
	p.alike = make([]int, len(at))
	p.playedForYears(b, rng)
	return p, nil
}

// playedForYears lets the player learn what he knows in a month of the year before
// last and use it now and then since: groups more than single items, and what comes
// first in the order of stages more than what comes last. Memories want their past in
// order.
func (p *Player) playedForYears(b *Board, rng *rand.Rand) {
	if p.Known == 0 {
		return
	}
	type past struct {
		day  float64
		item int
	}
	var all []past
	known := make([]float64, len(p.alike))
	for g := range known {
		known[g] = p.Known + 0.6*(rng.Float64()-0.5)
	}
	for i, it := range b.Items {
		early := 0.4 * (0.5 - float64(min(it.Stage, 11))/11)
		if p.met[i] = rng.Float64() < known[p.group[i]]+early; p.met[i] {
			first := -700 + 300*rng.Float64()
			for _, later := range []float64{0, 1, 3, 7, 14, 28} {
				all = append(all, past{first + later, i})
			}
			for range 24 {
				all = append(all, past{first + 28 + (-33-first)*rng.Float64(), i})
			}
		}
	}
	sort.Slice(all, func(i, j int) bool { return all[i].day < all[j].day })
	for _, a := range all {
		p.memory.answer(a.item, a.day, 1, Luck{rng.Float64(), 1 - rng.Float64(), rng.Float64()})
	}
}

// count notes, once a day, what is in the making.
func (p *Player) count(day float64) {
	if int(day) == p.counted {
		return
	}
	p.counted, p.all = int(day), 0
	clear(p.alike)
	for i, last := range p.asked {
		if p.unsure[i] = last >= 0 && day-last < 14 && p.Fluency(i, day) < 0.8; p.unsure[i] {
			p.alike[p.group[i]]++
			p.all++
		}
	}
}

// gain is what a practice of the item is worth as things stand. What is alike and not
// sure gets in the way: the more facts hang on one cue, the slower each comes (the fan
// effect, Anderson 1974), and what is like another is confused with it (interference,
// Underwood 1957). Both from memory; that it takes off the gain, by the logarithm of
// their number, and that ten others weigh as much as one alike, is chosen.
func (p *Player) gain(item int) float64 {
	alike, others := p.alike[p.group[item]], p.all-p.alike[p.group[item]]
	if p.unsure[item] {
		alike--
	}
	return p.Rate / (1 + p.Interference*math.Log1p(float64(alike)+float64(others)/10))
}

// Answer plays one question and learns from it.
func (p *Player) Answer(item int, day float64, luck Luck) Answer {
	p.count(day)
	gain := p.gain(item)
	if !p.unsure[item] && p.asked[item] < 0 {
		p.unsure[item] = true
		p.alike[p.group[item]]++
		p.all++
	}
	if day-p.last > 1.0/24 {
		p.began = day
	}
	a := p.memory.answer(item, day, gain, luck)
	if !p.met[item] && more(luck.Error) < p.Wrong {
		a.Right = false
	}
	a.Thinking *= 1 + p.tires*(day-p.began)*24*6
	if tail := more(luck.Time); tail < p.Tail {
		a.Thinking += p.aim[item] * (1 + 4*tail/p.Tail)
	}
	p.met[item], p.asked[item], p.last = true, day, day
	return a
}

// Show shows the player an item before he is asked: it teaches what the right answer does
// after a miss, and he is not seeing the item for the first time any more.
func (p *Player) Show(item int, day float64) {
	p.Answer(item, day, Luck{Retrieve: 1, Time: 0.5})
}

// Fluency is the true chance of the item, if it were asked on that day by a player
// who is rested, to be answered right within its aim. Nothing is learned.
func (p *Player) Fluency(item int, day float64) float64 {
	return p.spoilt(item, p.memory.fluencyOn(item, day))
}

// spoilt takes off what first sight and long answers do.
func (p *Player) spoilt(item int, fluency float64) float64 {
	fluency *= 1 - p.Tail
	if !p.met[item] {
		fluency *= 1 - p.Wrong
	}
	return fluency
}

// Fluencies fills out with the fluency of every item.
func (p *Player) Fluencies(day float64, out []float64) {
	fluencies(p.memory, day, out)
	for i := range out {
		out[i] = p.spoilt(i, out[i])
	}
}

// fluencies asks a memory for all items at once, which some of them do faster.
func fluencies(m memory, day float64, out []float64) {
	if m, ok := m.(interface{ fluencies(float64, []float64) }); ok {
		m.fluencies(day, out)
		return
	}
	for i := range out {
		out[i] = m.fluencyOn(i, day)
	}
}

// Seconds is the expected thinking time.
func (p *Player) Seconds(item int, day float64) float64 {
	return p.memory.secondsOn(item, day) + p.Tail*3*p.aim[item]
}

// Ahead fills out[i] with the fluency of the item on day looks[i] if it were
// practised on the days practices, in order, and nothing else was.
func (p *Player) Ahead(item int, practices, looks, out []float64) {
	p.memory.ahead(item, p.gain(item), practices, looks, out)
	for i := range out {
		out[i] *= 1 - p.Tail
		if !p.met[item] && (len(practices) == 0 || practices[0] > looks[i]) {
			out[i] *= 1 - p.Wrong
		}
	}
}
