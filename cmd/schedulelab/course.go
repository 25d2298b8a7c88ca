package main

import (
	"math"
	"math/rand/v2"
	"time"

	"surefret/cmd/schedulelab/board"
	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/schedulelab/policy"
	"surefret/scheduler"
)

// The course: sixty days of ten minutes.
const (
	courseDays = 60
	sitting    = 600.0 // seconds

	// What an answer takes besides thinking: to press it and to see the next
	// question, and after a miss to read the right one. Measured on the
	// program's own screens as 1.7 s and 2.8 s more.
	entrySeconds    = 0.7
	feedbackSeconds = 1.0
	missSeconds     = 2.8
	entrySpread     = 0.2 // of the logarithm of the time of entry. Chosen.

	// Practice is in the morning, around eight; the board is looked at at
	// eight in the evening, when gigs begin: no credit for what a sitting
	// leaves in mind for an hour.
	practiceHour   = 8.0
	practiceSpread = 1.5
	lookHour       = 20.0

	missedDay     = 0.1  // chance of any day but the first
	holidayChance = 0.33 // chance of five to nine days on end without practice

	gigDay      = 21 // its evening
	gigKnown    = 7  // its morning
	gigFraction = 7  // one item in seven
	calibrateAt = 1000
)

// start is an arbitrary Monday: policies see real instants.
var start = time.Date(2026, time.March, 2, 0, 0, 0, 0, time.UTC)

func instant(day float64) time.Time {
	return start.Add(time.Duration(day * 24 * float64(time.Hour)))
}

// A Course is one player of one seed on one board, before anybody has told him
// what to practise.
type Course struct {
	Family string
	Size   int
	Seed   int
}

// key seeds everything that the policies on one course share.
func (c Course) key() uint64 {
	h := uint64(c.Seed)*0x9e3779b97f4a7c15 + uint64(c.Size)
	for _, b := range []byte(c.Family) {
		h = mix(h ^ uint64(b))
	}
	return mix(h)
}

// Dates says when the player practises, in days; NaN on a day missed.
func (c Course) Dates() [courseDays]float64 {
	rng := rand.New(rand.NewPCG(c.key(), 11))
	var at [courseDays]float64
	holiday, length := -1, 0
	if rng.Float64() < holidayChance {
		holiday, length = 3+rng.IntN(courseDays-12), 5+rng.IntN(5)
	}
	for d := range at {
		hour := practiceHour + min(max(practiceSpread*rng.NormFloat64(), -3), 6)
		at[d] = float64(d) + hour/24
		missed := rng.Float64() < missedDay && d > 0
		if missed || d >= holiday && d < holiday+length && holiday >= 0 {
			at[d] = math.NaN()
		}
	}
	return at
}

// Gig lists the items of the gig, in order of their index.
func (c Course) Gig() []int {
	rng := rand.New(rand.NewPCG(c.key(), 12))
	perm := rng.Perm(c.Size)[:c.Size/gigFraction]
	in := make([]bool, c.Size)
	for _, i := range perm {
		in[i] = true
	}
	items := perm[:0]
	for i, yes := range in {
		if yes {
			items = append(items, i)
		}
	}
	return items
}

// A Record is what a course came to.
type Record struct {
	Share   [courseDays]float64 // true fluent share on each evening
	Gig     float64             // fluent share of the gig's items on its evening
	Half    float64             // minutes practised until half was fluent
	Never   bool                // or it never was: Half is then all minutes practised
	Answers int
	Right   int
	Tenths  [10]Tenth
}

// A Tenth collects the answers whose predicted fluency lay in that tenth.
type Tenth struct {
	N         int
	Predicted float64 // sum
	Observed  float64 // how many were right within the aim
}

// A Rule is a named way to choose: a policy, or the reference that cheats.
type Rule struct {
	Name string
	New  policy.Maker
	// Cheat, instead of New, is handed the player himself. Only the reference
	// has it.
	Cheat func(items []scheduler.Item, p learner.Learner) policy.Policy
	// Gig: told of the gig on its day, if the rule listens at all.
	Gig bool
	// Calibrate: collect Tenths.
	Calibrate bool
	// Until is the last day to play; 0 means the whole course.
	Until int
}

// Run plays the course by the rule.
func (c Course) Run(b *board.Board, rule Rule) (Record, error) {
	var rec Record
	player, err := learner.New(c.Family, b, c.key())
	if err != nil {
		return rec, err
	}
	var p policy.Policy
	if rule.Cheat != nil {
		p = rule.Cheat(b.Items, player)
	} else {
		p = rule.New(b.Items, c.key())
	}
	predictor, _ := p.(policy.Predictor)
	if !rule.Calibrate {
		predictor = nil
	}
	luck := lottery{key: c.key(), asked: make([]uint32, c.Size)}
	gig := c.Gig()
	fluent := make([]float64, c.Size)
	practised, earlier := 0.0, 0.0
	player.Fluencies(0, fluent)
	before := mean(fluent)
	half := before >= 0.5
	for d, at := range c.Dates() {
		if rule.Until > 0 && d >= rule.Until {
			break
		}
		if listener, ok := p.(policy.Performer); ok && rule.Gig && d+1 == gigKnown {
			listener.Expect(gig, instant(float64(gigDay-1)+lookHour/24))
		}
		if !math.IsNaN(at) {
			practised += c.sit(b, p, predictor, player, &luck, at, &rec)
		}
		player.Fluencies(float64(d)+lookHour/24, fluent)
		rec.Share[d] = mean(fluent)
		if now := rec.Share[d]; !half && now >= 0.5 {
			// Somewhere within the sitting: share the minutes out evenly.
			half, rec.Half = true, (earlier+(practised-earlier)*(0.5-before)/(now-before))/60
		}
		before, earlier = rec.Share[d], practised
		if d+1 == gigDay {
			for _, i := range gig {
				rec.Gig += fluent[i] / float64(len(gig))
			}
		}
	}
	if !half {
		rec.Half, rec.Never = practised/60, true
	}
	return rec, nil
}

// sit is one sitting; it returns the seconds it took.
func (c Course) sit(b *board.Board, p policy.Policy, predictor policy.Predictor, player learner.Learner, luck *lottery, day float64, rec *Record) float64 {
	spent := 0.0
	for spent < sitting {
		now := day + spent/86400
		item, ok := p.Next(instant(now), time.Duration((sitting-spent)*float64(time.Second)))
		if !ok {
			break
		}
		predicted := -1.0
		if predictor != nil && rec.Answers >= calibrateAt {
			predicted = predictor.Predict(item, instant(now))
		}
		chance, entryLuck := luck.draw(item)
		a := player.Answer(item, now, chance)
		entry := entrySeconds * math.Exp(entrySpread*math.Sqrt2*math.Erfinv(2*entryLuck-1))
		cost := a.Thinking + entry + feedbackSeconds
		if !a.Right {
			cost += missSeconds
		}
		// The program knows the usual time of entry, not this one's.
		seen := max(0.05, a.Thinking+entry-entrySeconds)
		p.Learn(policy.Answer{Item: item, Right: a.Right, Seconds: seen, At: instant(now + (a.Thinking+entry)/86400)})
		spent += cost
		rec.Answers++
		if a.Right {
			rec.Right++
		}
		if predicted >= 0 {
			t := &rec.Tenths[min(int(predicted*10), 9)]
			t.N++
			t.Predicted += predicted
			if a.Right && seen <= b.Items[item].Aim.Seconds() {
				t.Observed++
			}
		}
	}
	return spent
}

// A lottery draws the luck of an answer from the item and from how often it
// was asked, so that rules on one course meet the same luck.
type lottery struct {
	key   uint64
	asked []uint32
}

func (l *lottery) draw(item int) (learner.Luck, float64) {
	h := mix(l.key ^ uint64(item)<<32 ^ uint64(l.asked[item]))
	l.asked[item]++
	unit := func() float64 {
		h = mix(h + 0x9e3779b97f4a7c15)
		return (float64(h>>11) + 0.5) / (1 << 53)
	}
	return learner.Luck{Retrieve: unit(), Time: unit(), Error: unit()}, unit()
}

// mix is the finisher of splitmix64 (Steele, Lea & Flood 2014).
func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
