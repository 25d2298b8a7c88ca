package learner

import (
	"math"
	"math/rand/v2"
	"testing"

	"surefret/cmd/schedulelab/board"
)

func all() []string { return append(Families(), HeldOut) }

func newBoard(t *testing.T) *board.Board {
	t.Helper()
	b, err := board.New(300)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// middling is luck at the median of every draw but the error, which is good.
var middling = Luck{Retrieve: 0.5, Time: 0.5, Error: 0.9}

// some runs f for some items of some players of a family.
func some(t *testing.T, family string, f func(l Learner, item int)) {
	t.Helper()
	b := newBoard(t)
	for seed := range uint64(6) {
		for item := 30; item < 300; item += 45 {
			l, err := New(family, b, seed)
			if err != nil {
				t.Fatal(err)
			}
			f(l, item)
		}
	}
}

func TestPracticeRaisesFluencyAndSpeed(t *testing.T) {
	for _, family := range all() {
		var before, after, slow, fast float64
		some(t, family, func(l Learner, item int) {
			before += l.Fluency(item, 0)
			slow += l.Seconds(item, 0)
			for day := range 20 {
				l.Answer(item, float64(day), middling)
			}
			after += l.Fluency(item, 20)
			fast += l.Seconds(item, 20)
		})
		if after < before+0.3*36 {
			t.Errorf("%s: twenty days of practice took the fluency from %.2f to %.2f", family, before/36, after/36)
		}
		if fast > 0.8*slow {
			t.Errorf("%s: twenty days of practice took the seconds from %.2f to %.2f", family, slow/36, fast/36)
		}
	}
}

func TestDisuseLowersFluency(t *testing.T) {
	for _, family := range all() {
		some(t, family, func(l Learner, item int) {
			for day := range 10 {
				l.Answer(item, float64(day), middling)
			}
			last := l.Fluency(item, 9.5)
			for _, day := range []float64{12, 20, 60, 200} {
				now := l.Fluency(item, day)
				if now > last+1e-12 {
					t.Errorf("%s: item %d is %.4f fluent on day %v after %.4f before", family, item, now, day, last)
				}
				last = now
			}
		})
	}
}

// Ten practices on ten days last longer than ten in ten minutes (Cepeda et
// al. 2006, and before them Ebbinghaus).
func TestSpacedPracticeLastsLonger(t *testing.T) {
	for _, family := range all() {
		massed, spaced := 0.0, 0.0
		some(t, family, func(l Learner, item int) {
			for k := range 10 {
				l.Answer(item, 9+float64(k)/1440, middling)
			}
			massed += l.Fluency(item, 16)
		})
		some(t, family, func(l Learner, item int) {
			for k := range 10 {
				l.Answer(item, float64(k), middling)
			}
			spaced += l.Fluency(item, 16)
		})
		if spaced <= massed {
			t.Errorf("%s: spaced %.3f, massed %.3f", family, spaced/36, massed/36)
		}
	}
}

func TestKinAreHelpedButLess(t *testing.T) {
	b := newBoard(t)
	for _, family := range all() {
		own, twin := 0.0, 0.0
		for seed := range uint64(6) {
			for item := range b.Items {
				kin := b.Kin[item]
				if len(kin) < 2 || kin[1].Weight < 0.6 || b.Steps[item] < 3 {
					continue
				}
				l, err := New(family, b, seed)
				if err != nil {
					t.Fatal(err)
				}
				mine, other := l.Fluency(item, 0), l.Fluency(kin[1].Item, 0)
				for day := range 12 {
					l.Answer(item, float64(day), middling)
				}
				own += l.Fluency(item, 12) - mine
				twin += l.Fluency(kin[1].Item, 12) - other
				break
			}
		}
		if !(twin > 0 && twin < own) {
			t.Errorf("%s: practice gained %.3f on the item itself and %.3f on its twin", family, own, twin)
		}
	}
}

// What the truth says must be what a thousand players of the same state do.
func TestFluencyIsTheShareOfFluentAnswers(t *testing.T) {
	b := newBoard(t)
	for _, family := range all() {
		rng := rand.New(rand.NewPCG(5, 5))
		said, seen := 0.0, 0.0
		const plays = 6000
		l, err := New(family, b, 3)
		if err != nil {
			t.Fatal(err)
		}
		for k := range plays {
			item := rng.IntN(300)
			day := float64(k) * 0.002
			said += l.Fluency(item, day)
			a := l.Answer(item, day, Luck{rng.Float64(), rng.Float64(), rng.Float64()})
			if a.Right && a.Thinking <= b.Items[item].Aim.Seconds() {
				seen++
			}
		}
		// The standard error is at most 0.0065.
		if math.Abs(said-seen)/plays > 0.02 {
			t.Errorf("%s: truth %.3f, answers %.3f", family, said/plays, seen/plays)
		}
		out := make([]float64, 300)
		l.Fluencies(13, out)
		for i, f := range out {
			if math.Abs(f-l.Fluency(i, 13)) > 1e-12 {
				t.Errorf("%s: item %d is %v in the list and %v alone", family, i, f, l.Fluency(i, 13))
				break
			}
		}
	}
}

func TestLookingAheadChangesNothing(t *testing.T) {
	for _, family := range all() {
		some(t, family, func(l Learner, item int) {
			l.Answer(item, 0.3, middling)
			before := l.Fluency(item, 5)
			var none, twice [2]float64
			l.Ahead(item, nil, []float64{5, 9}, none[:])
			l.Ahead(item, []float64{1, 3}, []float64{5, 9}, twice[:])
			if l.Fluency(item, 5) != before {
				t.Errorf("%s: looking ahead taught the player", family)
			}
			if math.Abs(none[0]-before) > 1e-12 {
				t.Errorf("%s: without practice %v was foreseen and is %v", family, none[0], before)
			}
			if twice[1] < none[1] {
				t.Errorf("%s: two practices would help nothing: %v, %v", family, twice, none)
			}
		})
	}
}

// Pavlik & Anderson 2005, equations 3 to 5, by hand: the first trace decays by
// a = 0.177; 2,160 s of psychological time later (a day at h = 0.025) the
// activation is -0.177 ln 2160 = -1.3590, the chance of recall at tau = -0.704
// and s = 0.255 is 1/(1+e^2.5686) = 0.07119, and the second trace decays by
// 0.217 e^-1.3590 + 0.177 = 0.23275.
func TestActivationFollowsThePaper(t *testing.T) {
	a := &activation{
		player:    &player{},
		intercept: decayIntercept, scaleC: decayScale, noise: recallNoise, threshold: []float64{recallTau},
		traces: [][]decaying{{{at: 0, decay: decayIntercept}}},
		offset: []float64{0},
	}
	a.kin = make([][]board.Link, 1)
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
		player:      &player{workMedian: []float64{1e9}, scale: []float64{1}},
		nondecision: 0.35, fade: 0.3,
		instance: []float64{4}, stored: make([][]instanceOf, 1),
	}
	r.kin = make([][]board.Link, 1)
	var above []float64
	for _, n := range []int{1, 4, 16, 64} {
		r.stored[0] = make([]instanceOf, n)
		for i := range r.stored[0] {
			r.stored[0][i] = instanceOf{0, 1}
		}
		above = append(above, r.Seconds(0, 0)-0.35)
	}
	for i := 1; i < len(above); i++ {
		if ratio := above[i-1] / above[i]; math.Abs(ratio-2) > 1e-9 {
			t.Errorf("four times the instances are %.4f times as fast, not twice", ratio)
		}
	}
}

// A half-life is the time after which recall is one half.
func TestHalfLifeHalves(t *testing.T) {
	h := &halfLife{player: &player{hard: []float64{0}}, theta: thetaRoot}
	s := halfLived{practice: 4, met: true, last: 2}
	life := baseHalfLife * math.Exp2(thetaRoot*2)
	for k := range 4 {
		if got, want := h.recall(0, s, 2+float64(k)*life), math.Pow(0.5, float64(k)); math.Abs(got-want) > 1e-12 {
			t.Errorf("recall after %d half-lives is %v, want %v", k, got, want)
		}
	}
}

func TestSameSeedSamePlayer(t *testing.T) {
	b := newBoard(t)
	for _, family := range all() {
		x, _ := New(family, b, 9)
		y, _ := New(family, b, 9)
		z, _ := New(family, b, 10)
		same := true
		for i := range b.Items {
			if x.Fluency(i, 1) != y.Fluency(i, 1) {
				t.Fatalf("%s: item %d differs between two players of one seed", family, i)
			}
			same = same && x.Fluency(i, 1) == z.Fluency(i, 1)
		}
		if same {
			t.Errorf("%s: two seeds give one player", family)
		}
	}
	if _, err := New("astrology", b, 1); err == nil {
		t.Error("a family nobody knows was made")
	}
}
