package scheduler

// The model, the player's part: a regression that every item shares.

import "math"

// A player is what is known of the player apart from any one item: how practice
// and rest make his answers fluent. It is a logistic regression whose weights
// are a normal belief, moved by an item's first answer of a day in one step of Bayesian updating
// (Spiegelhalter & Lauritzen 1990, "Sequential updating of conditional
// probabilities", in its Laplace form; from memory), so that it follows the log
// and needs no fitting.
//
// Practice counts and times as the inputs of a logistic regression: Pavlik, Cen
// & Koedinger 2009 ("Performance factors analysis"); Lindsey, Shroyer, Pashler
// & Mozer 2014 ("Improving students' long-term knowledge retention through
// personalized review", Psychological Science 25), who found them to predict a
// term of lessons better than forgetting curves alone (all from memory). The
// published model of memory as one more input was worth 0.06 points of the board.
type player struct {
	Mean    [features]float64           // of the weights, logit
	Cov     [features][features]float64 // of the weights
	Fast    average                     // thinking time of fluent answers, ln of the share of the aim
	Slow    average                     // of right ones that were not
	Wrong   average                     // share wrong of those that were not fluent
	Right   average                     // share of the latest answers that were right
	Besides average                     // seconds an answer takes besides thinking
	Present average                     // share of the days that are practised
	Answers uint32
}

// The inputs of the regression.
const (
	constant  = iota
	practices // ln(1 + practices)
	lent      // what kin lent: ln(1 + all practices) less that
	saturated // the square of practices, a third of it
	rested    // ln(1 + days since)
	lasting   // rested times practices: what is much practised may rest longer
	unasked   // 1 while practised through its kin alone
	features
)

// What is believed of a player not yet heard, as a mean and a standard
// deviation of each weight: one answer in eight is fluent after one practice,
// half after five. Chosen as round numbers on simulated players.
//
// What rest costs is believed firmly. A log of the planner's own choosing
// exaggerates it: what rests long is what was thought safe, sometimes wrongly. On
// 32 simulated players of cmd/schedulelab (its four families, 600 and 1,500 items,
// seeds 101 to 104) the weight of rested came to -0.34 where items were asked at
// random, and to -0.52 where the planner chose them, with a looser belief (-0.5,
// 0.3): then it asked again and again what it knew.
var (
	believed = [features]float64{constant: -3.2, practices: 1.95, lent: 1.95, rested: -0.7, unasked: -0.6}
	doubted  = [features]float64{constant: 0.7, practices: 0.6, lent: 1, saturated: 0.3, rested: 0.2, lasting: 0.05, unasked: 0.3}
)

// Settings of the fluency model, chosen on simulated players. itemVariance from 0.4
// to 1.8, easyOdds from 0.03 to 0.11, sameDay to 0.5 and lent from 0.35 to 0.7 move
// the share that is fluent by a tenth of a point at most; the first two were chosen by
// how far predictions come out.
const (
	itemVariance = 1.8  // of items around what practice and rest would make them, logit
	easyOdds     = 0.03 // that an item needs no memory: an open string, say
	easyFluent   = 0.93 // of the answers to those
	timeSpread   = 0.15 // of ln thinking time that luck makes: how near to the aim counts in part
	sameDay      = 0.5  // practice that another answer on the same day is
	kinShare     = 0.5  // share of its declared weight that a kin's practice is worth

	timesMost     = 200 // answers behind the player's usual times
	latelyMost    = 40  // behind the share that was right lately
	itemTimesMost = 5   // behind an item's, which fall with practice
	usualDraw     = 2   // answers that the usual counts for in an item's time
	slowest       = 15  // seconds of thinking that are counted
	pause         = 60  // seconds between answers that are a pause
	daysMost      = 60  // days behind how often the player practises
	absence       = 14  // days of a break that count, at most
)

// newPlayer returns what is believed of a player not yet heard.
func newPlayer() player {
	p := player{
		Mean:  believed,
		Fast:  average{math.Log(0.6), 10},
		Slow:  average{math.Log(2), 10},
		Wrong: average{0.1, 10},
		Right: average{0.8, 20},

		Besides: average{overhead, 20},
		Present: average{0.9, 10},
	}
	for i, d := range doubted {
		p.Cov[i][i] = d * d
	}
	return p
}

// An average is a mean that starts from a belief and moves with evidence.
type average struct {
	Mean   float64
	Weight float64 // evidence behind it
}

// add moves the mean by an observation of some weight; the evidence behind it
// never grows past most, so that it keeps following the player.
func (a *average) add(x, weight, most float64) {
	if weight <= 0 {
		return
	}
	a.Weight += weight
	a.Mean += (x - a.Mean) * weight / a.Weight
	a.Weight = min(a.Weight, most)
}

// inputs are the regression's for an item at a time in days, as practice days
// are counted.
func inputs(s *State, at float64) (x [features]float64) {
	x[constant] = 1
	x[practices] = math.Log(1 + s.Practice)
	all := x[practices]
	if s.Lent > 0 {
		all = math.Log(1 + s.Practice + s.Lent)
		x[lent] = all - x[practices]
	}
	x[saturated] = x[practices] * x[practices] / 3
	if all > 0 {
		x[rested] = math.Log(1 + max(at-s.Since, 0))
	}
	x[lasting] = all * x[rested]
	if s.Asked == 0 {
		x[unasked] = 1
	}
	return x
}

// practised is the probability, 0 to 1, of right and within the aim for an item
// that is not easy, at what is believed of it: to allow for the doubt as well drew
// what was foretold towards a half, and it came out further from it.
func (o *difference) practised(p *player, x *[features]float64) float64 {
	z := o.Offset
	for i, w := range p.Mean {
		z += w * x[i]
	}
	return logistic(z)
}

// learn moves the player, and the item's own part, by one answer: fluent is 0
// to 1, more or less within the aim. It returns the item's part moved.
func (p *player) learn(v *view, fluent float64, own difference) difference {
	var sx [features]float64 // Cov x
	sum := v.variance
	for i, x := range v.x {
		c := &p.Cov[i]
		for j := range features {
			sx[i] += c[j] * v.x[j]
		}
		sum += sx[i] * x
	}
	q := clamp(v.practised, 0.02, 0.98)
	// Was it easy? What is says nothing of practice.
	ratio := (fluent*easyFluent + (1-fluent)*(1-easyFluent)) / (fluent*q + (1-fluent)*(1-q))
	own.Obvious = clamp((1+own.Obvious)*ratio, 0.01, 1000) - 1 // never beyond recall: 0.1 to 99 %
	share := 1 - own.easy()
	h := share * q * (1 - q)
	step := share * (fluent - q) / (1 + h*sum)
	shrink := h / (1 + h*sum)
	for i := range features {
		p.Mean[i] += sx[i] * step
		c, by := &p.Cov[i], sx[i]*shrink
		for j := range features {
			c[j] -= by * sx[j]
		}
	}
	own.Offset += v.variance * step
	own.Known += h / (1 + h*(sum-v.variance))
	return own
}

// times notes how long an answer took.
func (p *player) times(r Answer, o Outcome, share float64) {
	p.Answers++
	p.Right.add(float64(one(r.Right)), 1, latelyMost)
	if !o.Fluent() {
		wrong := 0.0
		if !r.Right {
			wrong = 1
		}
		p.Wrong.add(wrong, 1, timesMost)
	}
	switch {
	case !r.Right || r.Thinking <= 0:
	case o.Fluent():
		p.Fast.add(share, 1, timesMost)
	default:
		p.Slow.add(share, 1, timesMost)
	}
}

// logistic is 1 / (1 + e^-z).
func logistic(z float64) float64 { return 1 / (1 + math.Exp(-z)) }

// inTime is how much an answer is within the aim, 0 to 1, for a thinking time in
// ln of the share of it: near the aim luck has a part.
func inTime(took float64) float64 {
	const sure = 4 * timeSpread
	switch {
	case took < -sure:
		return 1
	case took > sure:
		return 0
	}
	return 0.5 * math.Erfc(took/timeSpread/math.Sqrt2)
}

func clamp(x, low, high float64) float64 { return min(max(x, low), high) }
