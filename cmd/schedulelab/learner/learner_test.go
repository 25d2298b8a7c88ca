package learner

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"surefret/scheduler"
)

func all() []string { return slices.Concat(Memories, Others) }

// newBoard has 80 items in ten groups, each other one with a twin of weight 0.7.
func newBoard() *Board {
	b := &Board{}
	for i := range 80 {
		it := scheduler.Item{ID: fmt.Sprint(i), Group: fmt.Sprint(i / 8), Aim: 2 * time.Second, Stage: i / 10}
		b.Items, b.Steps = append(b.Items, it), append(b.Steps, float64(2+i%5))
		b.Kin = append(b.Kin, []Link{{i ^ 1, 0.7}})
	}
	return b
}

// usual are the traits of a player with nothing in the way.
func usual(memory string) Traits {
	return Traits{Memory: memory, Pace: 1, Rate: 1, Transfer: 0.6, Careless: 1}
}

// middling is luck at the median of every draw but the error, which is good.
var middling = Luck{Retrieve: 0.5, Time: 0.5, Error: 0.9}

// chance is luck that differs from day to day.
func chance(rng *rand.Rand) Luck { return Luck{rng.Float64(), rng.Float64(), rng.Float64()} }

// some runs f for some items of some players with a memory.
func some(t *testing.T, memory string, f func(p *Player, item int)) {
	t.Helper()
	b := newBoard()
	for seed := range uint64(6) {
		for item := 3; item < 80; item += 13 {
			p, err := New(usual(memory), b, seed)
			if err != nil {
				t.Fatal(err)
			}
			f(p, item)
		}
	}
}

func TestPracticeRaisesFluencyAndSpeed(t *testing.T) {
	for _, memory := range all() {
		var before, after, slow, fast float64
		some(t, memory, func(p *Player, item int) {
			rng := rand.New(rand.NewPCG(1, uint64(item)))
			before += p.Fluency(item, 0)
			slow += p.Seconds(item, 0)
			for day := range 20 {
				p.Answer(item, float64(day), chance(rng))
			}
			after += p.Fluency(item, 20)
			fast += p.Seconds(item, 20)
		})
		if after < before+0.3*36 {
			t.Errorf("%s: twenty days of practice took the fluency from %.2f to %.2f", memory, before/36, after/36)
		}
		if fast > 0.8*slow {
			t.Errorf("%s: twenty days of practice took the seconds from %.2f to %.2f", memory, slow/36, fast/36)
		}
	}
}

func TestDisuseLowersFluency(t *testing.T) {
	for _, memory := range all() {
		some(t, memory, func(p *Player, item int) {
			for day := range 10 {
				p.Answer(item, float64(day), middling)
			}
			last := p.Fluency(item, 10.5) // a night later: sleep may help
			for _, day := range []float64{12, 20, 60, 200} {
				now := p.Fluency(item, day)
				if now > last+1e-12 {
					t.Errorf("%s: item %d is %.4f fluent on day %v after %.4f before", memory, item, now, day, last)
				}
				last = now
			}
		})
	}
}

// Ten practices on ten days last longer than ten in ten minutes (Cepeda et
// al. 2006, and before them Ebbinghaus).
func TestSpacedPracticeLastsLonger(t *testing.T) {
	for _, memory := range all() {
		massed, spaced := 0.0, 0.0
		for _, c := range []struct {
			gap float64
			sum *float64
		}{{1.0 / 1440, &massed}, {1, &spaced}} {
			some(t, memory, func(p *Player, item int) {
				rng := rand.New(rand.NewPCG(1, uint64(item)))
				for k := range 10 {
					p.Answer(item, 9-float64(9-k)*c.gap, chance(rng))
				}
				*c.sum += p.Fluency(item, 16)
			})
		}
		if spaced <= massed {
			t.Errorf("%s: spaced %.3f, massed %.3f", memory, spaced/36, massed/36)
		}
	}
}

func TestKinAreHelpedButLess(t *testing.T) {
	for _, memory := range all() {
		own, twin := 0.0, 0.0
		some(t, memory, func(p *Player, item int) {
			rng := rand.New(rand.NewPCG(1, uint64(item)))
			mine, other := p.Fluency(item, 0), p.Fluency(item^1, 0)
			for day := range 12 {
				p.Answer(item, float64(day), chance(rng))
			}
			own += p.Fluency(item, 12) - mine
			twin += p.Fluency(item^1, 12) - other
		})
		if !(twin > 0 && twin < own) {
			t.Errorf("%s: practice gained %.3f on the item itself and %.3f on its twin", memory, own, twin)
		}
	}
}

// Few facts in the making sit sooner than many that are alike (Anderson 1974,
// Underwood 1957, from memory): the same practices gain less among them.
func TestWhatIsAlikeGetsInTheWay(t *testing.T) {
	for _, memory := range all() {
		var alone, among float64
		for _, c := range []struct {
			items int
			sum   *float64
		}{{1, &alone}, {8, &among}} {
			for seed := range uint64(6) {
				traits := usual(memory)
				traits.Interference, traits.Transfer = 1, 0
				p, err := New(traits, newBoard(), seed)
				if err != nil {
					t.Fatal(err)
				}
				rng := rand.New(rand.NewPCG(seed, 2))
				for day := range 4 {
					for item := 1; item < c.items; item++ {
						p.Answer(item, float64(day), Luck{0.5, 0.99, 0.9})
					}
					p.Answer(0, float64(day), chance(rng))
				}
				*c.sum += p.Fluency(0, 5)
			}
		}
		if alone <= among {
			t.Errorf("%s: %.3f alone, %.3f among seven alike", memory, alone/6, among/6)
		}
	}
}

// What the truth says must be what a thousand players of the same state do, with
// everything in the way that the bank draws.
func TestFluencyIsTheShareOfFluentAnswers(t *testing.T) {
	b := newBoard()
	for _, memory := range all() {
		rng := rand.New(rand.NewPCG(5, 5))
		said, seen := 0.0, 0.0
		const plays = 6000
		traits := usual(memory)
		traits.Lapse, traits.Tail, traits.Stuck, traits.Wrong, traits.Known, traits.unsaid = 0.05, 0.05, 0.1, 0.4, 0.3, 0.2
		p, err := New(traits, b, 3)
		if err != nil {
			t.Fatal(err)
		}
		for k := range plays {
			item := rng.IntN(80)
			day := float64(k) * 0.01
			said += p.Fluency(item, day)
			a := p.Answer(item, day, chance(rng))
			if a.Right && a.Thinking <= b.Items[item].Aim.Seconds() {
				seen++
			}
		}
		// The standard error is at most 0.0065.
		if math.Abs(said-seen)/plays > 0.02 {
			t.Errorf("%s: truth %.3f, answers %.3f", memory, said/plays, seen/plays)
		}
		out := make([]float64, 80)
		p.Fluencies(63, out)
		for i, f := range out {
			if math.Abs(f-p.Fluency(i, 63)) > 1e-12 {
				t.Errorf("%s: item %d is %v in the list and %v alone", memory, i, f, p.Fluency(i, 63))
				break
			}
		}
	}
}

func TestLookingAheadChangesNothing(t *testing.T) {
	for _, memory := range all() {
		some(t, memory, func(p *Player, item int) {
			p.Answer(item, 0.3, middling)
			before := p.Fluency(item, 5)
			var none, twice [2]float64
			p.Ahead(item, nil, []float64{5, 9}, none[:])
			p.Ahead(item, []float64{1, 3}, []float64{5, 9}, twice[:])
			if p.Fluency(item, 5) != before {
				t.Errorf("%s: looking ahead taught the player", memory)
			}
			if math.Abs(none[0]-before) > 1e-12 {
				t.Errorf("%s: without practice %v was foreseen and is %v", memory, none[0], before)
			}
			if twice[1] < none[1] {
				t.Errorf("%s: two practices would help nothing: %v, %v", memory, twice, none)
			}
		})
	}
}

// An item that is stuck stays slower than its aim whatever is practised.
func TestWhatIsStuckStaysSlow(t *testing.T) {
	for _, memory := range all() {
		traits := usual(memory)
		traits.Stuck = 1
		p, err := New(traits, newBoard(), 1)
		if err != nil {
			t.Fatal(err)
		}
		for day := range 60 {
			p.Answer(3, float64(day), middling)
		}
		if f := p.Fluency(3, 60); f > 0.4 {
			t.Errorf("%s: an item that is stuck is %.2f fluent after sixty days", memory, f)
		}
	}
}

// Pavlik & Anderson 2005, equations 3 to 5, by hand: the first trace decays by
// a = 0.177; 2,160 s of psychological time later (a day at h = 0.025) the
// activation is -0.177 ln 2160 = -1.3590, the chance of recall at tau = -0.704
// and s = 0.255 is 1/(1+e^2.5686) = 0.07119, and the second trace decays by
// 0.217 e^-1.3590 + 0.177 = 0.23275.
func TestActivationFollowsThePaper(t *testing.T) {
	a := &activation{
		person:    &person{},
		intercept: decayIntercept, scaleC: decayScale, noise: recallNoise, threshold: []float64{recallTau},
		traces: [][]decaying{{{at: 0, decay: decayIntercept, weight: 1}}},
		offset: []float64{0},
	}
	a.kin = make([][]Link, 1)
	level := a.level(0, 2160)
	near := func(what string, got, want, within float64) {
		t.Helper()
		if math.Abs(got-want) > within {
			t.Errorf("%s is %v, want %v", what, got, want)
		}
	}
	near("activation", level, -1.3590, 5e-5)
	near("recall", logistic((level-a.threshold[0])/a.noise), 0.07119, 5e-5)
	near("decay of the second trace", a.decay(level), 0.23275, 5e-5)
	// A day and no sitting: one minute in full, the rest at a fortieth.
	near("psychological seconds in a day", a.clock(1)-a.clock(0), 60+0.025*86340, 1e-6)
}

// Logan 1988: with Weibull instances of shape 2 the mean time above the start
// falls as the square root of their number.
func TestRaceFollowsThePowerLaw(t *testing.T) {
	r := &race{
		person:      &person{workMedian: []float64{1e9}, scale: []float64{1}},
		nondecision: 0.35, fade: 0.3,
		instance: []float64{4}, stored: make([][]instanceOf, 1),
	}
	r.kin = make([][]Link, 1)
	var above []float64
	for _, n := range []int{1, 4, 16, 64} {
		r.stored[0] = make([]instanceOf, n)
		for i := range r.stored[0] {
			r.stored[0][i] = instanceOf{0, 1}
		}
		above = append(above, r.secondsOn(0, 0)-0.35)
	}
	for i := 1; i < len(above); i++ {
		if ratio := above[i-1] / above[i]; math.Abs(ratio-2) > 1e-9 {
			t.Errorf("four times the instances are %.4f times as fast, not twice", ratio)
		}
	}
}

// A half-life is the time after which recall is one half.
func TestHalfLifeHalves(t *testing.T) {
	h := &halfLife{person: &person{hard: []float64{0}}, theta: thetaRoot}
	s := halfLived{practice: 4, met: true, last: 2}
	life := baseHalfLife * math.Exp2(thetaRoot*2)
	for k := range 4 {
		if got, want := h.recall(0, s, 2+float64(k)*life), math.Pow(0.5, float64(k)); math.Abs(got-want) > 1e-12 {
			t.Errorf("recall after %d half-lives is %v, want %v", k, got, want)
		}
	}
}

func TestSameSeedSamePlayer(t *testing.T) {
	b := newBoard()
	for _, memory := range all() {
		traits := Draw([]string{memory}, rand.New(rand.NewPCG(1, 1)))
		var made [3]*Player
		for k, seed := range []uint64{9, 9, 10} {
			made[k], _ = New(traits, b, seed)
		}
		same := true
		for i := range b.Items {
			if made[0].Fluency(i, 1) != made[1].Fluency(i, 1) {
				t.Fatalf("%s: item %d differs between two players of one seed", memory, i)
			}
			same = same && made[0].Fluency(i, 1) == made[2].Fluency(i, 1)
		}
		if same {
			t.Errorf("%s: two seeds give one player", memory)
		}
	}
	if _, err := New(usual("astrology"), b, 1); err == nil {
		t.Error("a memory nobody knows was made")
	}
}
