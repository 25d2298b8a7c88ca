package scheduler

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// practised is a planner after days of ten minutes on a board of 300.
func practised(t testing.TB, days int) *Planner {
	p := newPlanner(t, board(300), Options{})
	for d := range days {
		sit(p, morning.AddDate(0, 0, d), 10*time.Minute, func(string, int) bool { return true })
	}
	return p
}

func TestSongsAreReadOutOfTheirGigsSimulation(t *testing.T) {
	p := practised(t, 10)
	now := morning.AddDate(0, 0, 10)
	gig := gigOf(40, now.AddDate(0, 0, 7))
	songs := [][]string{gig.Items[:10], gig.Items[10:40], {gig.Items[3], gig.Items[3], "not an item", "item/1"}, nil}
	whole, each := p.Simulate(gig, songs, now)
	if got := p.Readiness(gig, now); got != whole {
		t.Errorf("alone %+v, with its songs %+v", got, whole)
	}
	for name, of := range map[string]func(Readiness) float64{
		"now":   func(r Readiness) float64 { return r.Now },
		"idle":  func(r Readiness) float64 { return r.Idle },
		"share": func(r Readiness) float64 { return r.Share },
		"met":   func(r Readiness) float64 { return float64(r.Met) / float64(r.Items) },
	} {
		if got, want := (of(each[0])*10+of(each[1])*30)/40, of(whole); math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: the songs make %.4f, the gig %.4f", name, got, want)
		}
	}
	if each[2].Items != 1 || each[3] != (Readiness{Days: whole.Days}) {
		t.Errorf("one item: %+v; none: %+v", each[2], each[3])
	}
	for _, r := range each[:3] {
		if !(r.Low >= 0 && r.Low <= r.Share && r.Share <= r.High && r.High <= 1) || r.Days != whole.Days || r.Enough != (r.Share >= 0.9) {
			t.Errorf("%+v", r)
		}
	}
	if each[0].High-each[0].Low <= whole.High-whole.Low {
		t.Errorf("ten items range over %.2f, forty over %.2f", each[0].High-each[0].Low, whole.High-whole.Low)
	}
}

// Of a player not yet heard nearly nothing can be said.
func TestTheRangeIsWideBeforeTheFirstAnswer(t *testing.T) {
	p := practised(t, 0)
	r := p.Readiness(gigOf(40, morning.AddDate(0, 0, 14)), morning)
	if r.Met != 0 || r.High-r.Low < 0.2 {
		t.Errorf("%+v", r)
	}
	known := practised(t, 25)
	now := morning.AddDate(0, 0, 25)
	if k := known.Readiness(gigOf(40, now.AddDate(0, 0, 14)), now); k.High-k.Low > 0.7*(r.High-r.Low) {
		t.Errorf("after 25 days %+v, before them %+v", k, r)
	}
}

// The model is the less sure the farther it looks, up to two weeks.
func TestTheRangeGrowsWithTheDays(t *testing.T) {
	p := practised(t, 10)
	at := morning.AddDate(0, 0, 10)
	low := func(days int) float64 {
		r := p.Readiness(gigOf(40, at.AddDate(0, 0, days)), at)
		return r.Share - r.Low
	}
	soon, later, far := low(3), low(14), low(120)
	if soon >= later-0.03 || far > later+0.02 {
		t.Errorf("the low end is %.2f below in 3 days, %.2f in 14, %.2f in 120", soon, later, far)
	}
}

func TestHowManyMinutesWouldDoIsSaid(t *testing.T) {
	p, now := practised(t, 0), morning
	all := Deadline{Items: ids(board(300)), Day: now.AddDate(0, 0, 29)}
	r := p.Readiness(all, now)
	if r.Enough || r.Limit || r.Need <= defaultDaily || r.Need > maxDaily {
		t.Fatalf("300 items in 30 days: %+v", r)
	}
	// With the minutes it names they are enough, and with much fewer they are not.
	with := func(daily time.Duration) Readiness {
		p.opt.Daily = daily
		defer func() { p.opt.Daily = defaultDaily }()
		return p.Readiness(all, now)
	}
	if got := with(r.Need + 3*time.Minute); !got.Enough || got.Need > r.Need+3*time.Minute {
		t.Errorf("%v are said to do, and three more make %+v", r.Need, got)
	}
	if got := with(r.Need * 7 / 10); got.Enough {
		t.Errorf("%v are said to be needed, and seven tenths make %+v", r.Need, got)
	}
	all.Day = now
	if r := p.Readiness(all, now); !r.Limit || r.Need != maxDaily || r.Enough || r.Days != 1 {
		t.Errorf("300 items today: %+v", r)
	}
}

func TestReadinessOfAnyDay(t *testing.T) {
	p := practised(t, 5)
	now := morning.AddDate(0, 0, 5)
	if r := p.Readiness(Deadline{Day: now, Items: []string{"not an item"}}, now); r != (Readiness{Days: 1}) {
		t.Errorf("no items: %+v", r)
	}
	gig := gigOf(40, now.AddDate(1, 0, 0))
	far := p.Readiness(gig, now)
	if far.Days != 366 || far.Share < 0.8 || !(far.Low < far.Share && far.Share <= far.High) || far.Need < time.Minute {
		t.Errorf("a year ahead: %+v", far)
	}
	gig.Day = now.AddDate(0, 0, -1)
	if past := p.Readiness(gig, now); past.Days != 0 || past.Share != past.Idle || past.Low != past.Share || past.High != past.Share || past.Enough || past.Need != 0 {
		t.Errorf("past: %+v", past)
	}
	// The evening of a gig today is half a day off, and practice today counts.
	gig.Day = morning
	if today := practised(t, 0).Readiness(gig, morning); today.Days != 1 || today.Share <= today.Idle {
		t.Errorf("today: %+v", today)
	}
}

// One simulated sitting: what was answered today waits, and answers that are not the gig's turn go elsewhere until its last days.
func TestASimulatedSittingIsLikeARealOne(t *testing.T) {
	asked := func(ahead int) (n int) {
		r := newPlanner(t, board(300), Options{}).newSimulation(gigOf(10, morning.AddDate(0, 0, ahead)), morning)
		tr := r.newRun(0)
		tr.sit(r.today, 120)
		for k := range tr.items {
			n += int(tr.items[k].state.Asked)
		}
		return n
	}
	early, last := asked(14), asked(1)
	if early >= last || early < 10 {
		t.Errorf("%d answers to the gig's items with two weeks left, %d on the eve", early, last)
	}
	// Once fluent for certain it is not asked again that day, and otherwise until
	// the time is over.
	for offset, again := range map[float64]bool{6: false, 0: true} {
		p := newPlanner(t, board(300), Options{})
		p.Learn(Answer{Item: "item/0", At: morning, Right: true, Thinking: time.Second})
		e := &p.items[p.index["item/0"]]
		e.state.difference = difference{Offset: offset, Obvious: -0.99}
		tr := p.newSimulation(Deadline{Items: []string{"item/0"}, Day: morning.AddDate(0, 0, 3)}, morning).newRun(0)
		if tr.sit(tr.today, 600); (tr.items[0].state.Asked > 1) != again {
			t.Errorf("offset %v: asked today already, and asked %d times more", offset, tr.items[0].state.Asked-1)
		}
		before := tr.items[0].state.Asked
		if tr.sit(tr.today+1, 600); tr.items[0].state.Asked == before {
			t.Errorf("offset %v: not asked tomorrow", offset)
		}
	}
}

// The planner itself, up to the gig, with a player who answers as was expected of
// him on the first day, though more slowly: its gig's items are asked about as
// often as in a simulation.
func TestASimulationPractisesAsThePlannerDoes(t *testing.T) {
	for _, days := range []int{2, 5, 14} {
		p := newPlanner(t, board(300), Options{})
		start := morning
		gig := gigOf(40, start.AddDate(0, 0, days))
		p.SetDeadlines([]Deadline{gig})
		r := p.newSimulation(gig, start)
		simulated, real := uint32(0), uint32(0)
		tr := r.newRun(0)
		for day := r.today; day <= r.deadline.day; day++ {
			tr.sit(day, 600)
		}
		for k := range tr.items {
			simulated += tr.items[k].state.Asked
		}
		rng, player := rand.New(rand.NewPCG(1, uint64(days))), newPlayer()
		for d := range days + 1 {
			now := start.AddDate(0, 0, d)
			sit(p, now, 10*time.Minute, func(item string, _ int) bool {
				s := p.items[p.index[item]].state
				s.difference = difference{}
				c := newCourse(&player, &s, DayOf(now, nil))
				return rng.Float64() < c.fluency(0)
			})
		}
		for k := range tr.items {
			real += p.items[r.deadline.items[k]].state.Asked
		}
		if ratio := float64(simulated) / float64(real); ratio < 0.75 || ratio > 1.33 {
			t.Errorf("%d days: %d answers simulated, %d in truth", days, simulated, real)
		}
		t.Logf("%d days: %d answers simulated, %d in truth", days, simulated, real)
	}
}
