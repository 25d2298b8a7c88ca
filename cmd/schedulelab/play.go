package main

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/schedulelab/policy"
)

// The course: ninety days of ten minutes, sixty of which count for the two shares.
const (
	courseDays = 90
	shareDays  = 60
	sitting    = 600.0 // seconds

	// What an answer takes besides thinking: to press it and to see the next
	// question, and after a miss to read the right one. Measured on the
	// program's own screens as 1.7 s and 2.8 s more; players of the bank take longer.
	entrySeconds    = 0.7
	feedbackSeconds = 1.0
	missSeconds     = 2.8
	entrySpread     = 0.2 // of the logarithm of the time of entry. Chosen.

	// Practice is in the morning; the board is looked at at eight in the evening,
	// when gigs begin: no credit for what a sitting leaves in mind for an hour.
	practiceHour = 8.0
	lookHour     = 20.0

	gigDay      = 21 // its evening
	gigKnown    = 7  // its morning
	gigFraction = 7  // one item in seven
	calibrateAt = 1000
	parkedAfter = 10 // sittings in which an item was asked and never became sure
	threeWeeks  = 21 // sittings of who plays daily
)

// start is an arbitrary Monday: policies see real instants.
var start = time.Date(2026, time.March, 2, 0, 0, 0, 0, time.UTC)

func instant(day float64) time.Time {
	return start.Add(time.Duration(day * 24 * float64(time.Hour)))
}

// A rule is a named way to choose: a policy, or a reference that cheats.
type rule struct {
	Name string
	New  policy.Maker
	// Cheat, instead of New, is handed the player himself. Only the references
	// have it.
	Cheat func(m *material, who bankPlayer, p *learner.Player) policy.Policy
	// Gig: told of the gig on its day, if the rule listens at all.
	Gig bool
	// Until is how many days to play; 0 is all.
	Until int
}

// A record is what the days of one player came to. Days count from 0.
type record struct {
	fluent, usable [courseDays]float64 // share of the board on each evening
	topics, firm   [courseDays]float64 // sure at 0.8, and at 0.9
	first          int                 // day, from 1, of the first topic sure that was not brought along; 0 for never
	halfKnown      float64             // items asked and truly under 0.8, mean over the sittings' ends
	open, openMost float64             // items asked, never yet sure and not parked at a sitting's end: mean, and largest
	newFirst       int                 // new items on day 1

	sittings, under20, under50 int // after day 7: all, and those with so few fluent answers in a hundred
	right, early               int // in the first ten sittings: right answers, and all
	answers                    int
	seconds, sureSeconds       float64 // of practice: all, and on items that were truly sure already
	unasked                    int     // families not asked by day 14
	basics                     float64 // share of the basic items met within three weeks of daily sittings
	tomorrow                   float64 // minutes that tomorrow wanted, mean over the sittings; NaN where a rule can't say
	gig                        float64 // fluent share of the gig's items on its evening
	tenths                     [10]tenth
}

// A tenth collects the answers whose predicted fluency lay in that tenth.
type tenth struct {
	n                   int
	predicted, observed float64 // sum; and how many were right within the aim
}

// A course is one player who practises by one rule.
type course struct {
	*material
	rec       record
	who       bankPlayer
	policy    policy.Policy
	player    *learner.Player
	luck      lottery
	fluent    []float64 // by item, when last looked at
	asked     []int     // sittings in which each item was asked
	ever      []bool    // it was sure at the end of a sitting
	sat       int
	tomorrows []float64
}

// newCourse returns the player before his first day.
func (m *material) newCourse(who bankPlayer, rule rule) (*course, error) {
	player, err := learner.New(who.Traits, m.board, who.seed)
	if err != nil {
		return nil, err
	}
	n := len(m.board.Items)
	c := &course{material: m, who: who, player: player,
		luck: lottery{key: who.seed, asked: make([]uint32, n)}, fluent: make([]float64, n), asked: make([]int, n), ever: make([]bool, n)}
	if rule.Cheat != nil {
		c.policy = rule.Cheat(m, who, player)
	} else {
		c.policy = rule.New(m.board.Items, who.seed)
	}
	return c, nil
}

// play lets the player practise by the rule.
func (m *material) play(who bankPlayer, rule rule) (record, error) {
	c, err := m.newCourse(who, rule)
	if err != nil {
		return record{}, err
	}
	c.player.Fluencies(0, c.fluent)
	brought := m.sure(c.fluent, 0.8)
	gig := m.gig(who.seed)
	for d, at := range who.days() {
		if d == m.days || rule.Until > 0 && d == rule.Until {
			break
		}
		if listener, ok := c.policy.(policy.Performer); ok && rule.Gig && d+1 == gigKnown {
			listener.Expect(gig, instant(float64(gigDay-1)+lookHour/24))
		}
		if !math.IsNaN(at) {
			c.sit(d, at)
		}
		c.look(d, brought)
		if d+1 == gigDay {
			for _, i := range gig {
				c.rec.gig += c.fluent[i] / float64(len(gig))
			}
		}
	}
	c.rec.halfKnown /= float64(c.sat)
	c.rec.open /= float64(c.sat)
	c.rec.tomorrow = mean(c.tomorrows)
	return c.rec, nil
}

// look takes the measures of an evening.
func (c *course) look(d int, brought []bool) {
	c.player.Fluencies(float64(d)+lookHour/24, c.fluent)
	c.rec.fluent[d] = mean(c.fluent)
	sure, items := c.sure(c.fluent, 0.8), 0
	for k, yes := range sure {
		if !yes {
			continue
		}
		c.rec.topics[d]++
		items += len(c.topics[k])
		if c.rec.first == 0 && !brought[k] {
			c.rec.first = d + 1
		}
	}
	for _, yes := range c.sure(c.fluent, 0.9) {
		if yes {
			c.rec.firm[d]++
		}
	}
	c.rec.usable[d] = float64(items) / float64(len(c.fluent))
	if d == 13 {
		met := map[string]bool{}
		for i, n := range c.asked {
			if n > 0 {
				met[c.board.Items[i].Family] = true
			}
		}
		c.rec.unasked = c.families - len(met)
	}
}

// A sitting's own counts.
type counts struct{ answers, right, fluent, fresh int }

// sit is one sitting of ten minutes that begins on the given day and hour.
func (c *course) sit(d int, day float64) {
	var s counts
	today := map[int]bool{}
	spent := 0.0
	for spent < sitting {
		now := day + spent/86400
		item, ok := c.policy.Next(instant(now), time.Duration((sitting-spent)*float64(time.Second)))
		if !ok {
			break
		}
		spent += c.ask(item, now, &s)
		if !today[item] {
			today[item] = true
			c.asked[item]++
		}
	}
	c.rec.seconds += spent
	c.rec.answers += s.answers
	if c.sat++; c.sat <= 10 {
		c.rec.right, c.rec.early = c.rec.right+s.right, c.rec.early+s.answers
	}
	if d == 0 {
		c.rec.newFirst = s.fresh
	}
	if c.sat == threeWeeks {
		for _, i := range c.basic {
			c.rec.basics += float64(one(c.asked[i] > 0)) / float64(len(c.basic))
		}
	}
	if d >= 7 {
		c.rec.sittings++
		c.rec.under20 += one(5*s.fluent < s.answers)
		c.rec.under50 += one(2*s.fluent < s.answers)
	}
	c.player.Fluencies(day+spent/86400, c.fluent)
	open := 0.0
	for i, n := range c.asked {
		c.ever[i] = c.ever[i] || n > 0 && c.fluent[i] >= 0.8
		c.rec.halfKnown += float64(one(n > 0 && c.fluent[i] < 0.8))
		open += float64(one(n > 0 && n < parkedAfter && !c.ever[i]))
	}
	c.rec.open += open
	c.rec.openMost = max(c.rec.openMost, open)
	if f, ok := c.policy.(interface {
		Tomorrow(time.Time) time.Duration
	}); ok {
		c.tomorrows = append(c.tomorrows, f.Tomorrow(instant(day+spent/86400)).Minutes())
	}
}

// ask asks one item and returns the seconds that it took, all told.
func (c *course) ask(item int, now float64, s *counts) float64 {
	predicted := -1.0
	if p, ok := c.policy.(policy.Predictor); ok && c.rec.answers+s.answers >= calibrateAt {
		predicted = p.Predict(item, instant(now))
	}
	sure := c.player.Fluency(item, now) >= 0.8
	chance, entryLuck := c.luck.draw(item)
	a := c.player.Answer(item, now, chance)
	entry := entrySeconds * math.Exp(entrySpread*math.Sqrt2*math.Erfinv(2*entryLuck-1))
	// The program knows the usual time of entry, not this one's.
	seen := max(0.05, a.Thinking+entry-entrySeconds)
	c.policy.Learn(policy.Answer{Item: item, Right: a.Right, Seconds: seen, At: instant(now + (a.Thinking+entry)/86400)})
	cost := a.Thinking + entry + feedbackSeconds + c.who.extra
	if !a.Right {
		cost += missSeconds
	}
	fluent := a.Right && seen <= c.board.Items[item].Aim.Seconds()
	s.answers++
	s.right += one(a.Right)
	s.fluent += one(fluent)
	s.fresh += one(c.asked[item] == 0 && c.luck.asked[item] == 1)
	if sure {
		c.rec.sureSeconds += cost
	}
	if predicted >= 0 {
		t := &c.rec.tenths[min(int(predicted*10), 9)]
		t.n++
		t.predicted += predicted
		t.observed += float64(one(fluent))
	}
	return cost
}

// gig draws whole topics until one item in seven is in them.
func (m *material) gig(seed uint64) []int {
	rng := rand.New(rand.NewPCG(seed, 12))
	var items []int
	for _, k := range rng.Perm(len(m.topics)) {
		if len(items) < len(m.board.Items)/gigFraction {
			items = append(items, m.topics[k]...)
		}
	}
	slices.Sort(items)
	return items
}

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// A lottery draws the luck of an answer from the item and from how often it
// was asked, so that rules with one player meet the same luck.
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
