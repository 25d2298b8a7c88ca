package learner

import (
	"math"
	"math/rand/v2"

	"surefret/scheduler"
)

// A Board is the material that players practise: items with the kinship that the
// drills declare, and, hidden from every policy, how far one must count to work each
// out. Only Items may be shown to a policy.
type Board struct {
	Items []scheduler.Item
	Steps []float64 // steps of counting that work the item out without memory, 0 to 8
	Kin   [][]Link  // Items[i].Kin by index
}

// A Link is a kin by its index: weight 0 nothing in common, 1 the same thing.
type Link struct {
	Item   int
	Weight float64
}

// A person is what all memories share: how he works things out, how sure his
// fingers are, how hard each item is for him and what kin are worth.
type person struct {
	aim   []float64 // seconds
	scale []float64 // of all thinking times: a walk-up takes longer than a note
	hard  []float64 // standard normal; each memory gives it its own weight
	kin   [][]Link  // true transfer
	slip  float64   // chance that a thing known is answered wrong

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
	// Chance of miscounting a step, and of a false start, of who counts with care.
	// Chosen: it gives 88 to 97 % right, which is what working out is like.
	stepError  = 0.015
	startError = 0.02
)

func newPerson(t Traits, b *Board, rng *rand.Rand) *person {
	n := len(b.Items)
	p := &person{slip: 0.01 + t.Lapse}
	step := countStep * math.Exp(0.15*rng.NormFloat64())
	p.aim, p.scale, p.hard = make([]float64, n), make([]float64, n), make([]float64, n)
	p.workMedian, p.workError, p.workFluent = make([]float64, n), make([]float64, n), make([]float64, n)
	p.kin = make([][]Link, n)
	like := likes(b)
	for i, it := range b.Items {
		p.aim[i] = it.Aim.Seconds()
		p.scale[i] = t.Pace * p.aim[i] / 2
		p.hard[i] = t.strain + rng.NormFloat64()
		p.workMedian[i] = p.scale[i] * (countStart + step*b.Steps[i])
		if rng.Float64() < t.Stuck {
			// The fastest of memories takes a third of the scale.
			p.scale[i] = 4 * p.aim[i]
			p.workMedian[i] = max(p.workMedian[i], 1.6*p.aim[i])
		}
		p.workError[i] = min(0.9, 1-math.Pow(1-startError, t.Careless)*math.Pow(1-stepError, t.Careless*b.Steps[i]))
		p.workFluent[i] = (1 - p.workError[i]) * normal(math.Log(p.aim[i]/p.workMedian[i])/workSpread)
		for _, k := range b.Kin[i] {
			p.kin[i] = append(p.kin[i], Link{k.Item, min(0.9, k.Weight*t.Transfer*(0.5+rng.Float64()))})
		}
		// What helps without having been declared: another of the same group.
		of := like[it.Group]
		if other := of[rng.IntN(len(of))]; other != i && rng.Float64() < 0.5 {
			p.kin[i] = append(p.kin[i], Link{other, t.unsaid * rng.Float64()})
		}
	}
	return p
}

// likes lists the items of each group: a string, a key, a kind of shape.
func likes(b *Board) map[string][]int {
	of := map[string][]int{}
	for i, it := range b.Items {
		of[it.Group] = append(of[it.Group], i)
	}
	return of
}

// How an answer came about; the memories learn differently from each.
type route int

const (
	retrieved route = iota
	workedOut
	missed
)

// likely is the route to expect where nothing is drawn.
func likely(recall float64) route {
	if recall < 0.5 {
		return workedOut
	}
	return retrieved
}

// play answers by two routes: with chance recall retrieved, in log-normal time
// of the given median; else worked out. Memory that is slower than counting is
// not waited for: what is worked out in a second never took two.
func (p *person) play(item int, recall, median float64, luck Luck) (Answer, route) {
	if luck.Retrieve < recall {
		median = min(median, p.workMedian[item])
		a := Answer{luck.Error >= p.slip, median * math.Exp(timeSpread*quantile(luck.Time))}
		return a, retrieved
	}
	return p.workOut(item, luck)
}

func (p *person) workOut(item int, luck Luck) (Answer, route) {
	a := Answer{luck.Error >= p.workError[item], p.workMedian[item] * math.Exp(workSpread*quantile(luck.Time))}
	if a.Right {
		return a, workedOut
	}
	return a, missed
}

// fluency and seconds are what play yields on the average.
func (p *person) fluency(item int, recall, median float64) float64 {
	fast := normal(math.Log(p.aim[item]/min(median, p.workMedian[item])) / timeSpread)
	return recall*(1-p.slip)*fast + (1-recall)*p.workFluent[item]
}

func (p *person) seconds(item int, recall, median float64) float64 {
	const mean = 1.0317 // exp(0.25^2/2): the mean of a log-normal over its median
	return mean * (recall*min(median, p.workMedian[item]) + (1-recall)*p.workMedian[item])
}

// along takes a state through practices, in order, and looks at it in between.
func along[S any](s S, practices, looks, out []float64, practise func(S, float64) S, look func(S, float64) float64) {
	next := 0
	for i, day := range looks {
		for ; next < len(practices) && practices[next] <= day; next++ {
			s = practise(s, practices[next])
		}
		out[i] = look(s, day)
	}
}

// normal is the standard normal distribution function.
func normal(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }

// quantile is its inverse.
func quantile(u float64) float64 { return math.Sqrt2 * math.Erfinv(2*u-1) }
