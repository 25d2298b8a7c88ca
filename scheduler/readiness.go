package scheduler

import (
	"math"
	"slices"
	"time"
)

// Readiness is how much of a deadline's items will probably be fluent on its
// day, and what it takes.
type Readiness struct {
	Items     int           // how many the planner knows
	Met       int           // how many were asked at least once
	Now       float64       // predicted fluent share today
	Idle      float64       // predicted share on the day with no more practice
	Share     float64       // predicted share on the day with [Options].Daily of practice a day
	Low, High float64       // nine times in ten the share will lie between
	Days      int           // practice days left, today and the day itself counted; 0 when it is past
	Enough    bool          // Daily will make nine in ten fluent
	Need      time.Duration // practice a day for nine in ten fluent; 0 when it is past
	Limit     bool          // not even Need, the most that is looked at, will do
}

// Thin reports whether fewer than one in three of the items was asked yet, which is too
// little to predict from.
func (r Readiness) Thin() bool { return 3*r.Met < r.Items }

// maxDaily is the most practice a day that is looked at for [Readiness].Need.
const maxDaily = 90 * time.Minute

// Settings of readiness.
const (
	samples    = 10    // simulations of the days until the deadline; even: each other one mirrors the one before
	confidence = 1.645 // standard deviations either side that hold nine in ten of a normal distribution
	modelDoubt = 0.039 // standard deviation of the share that the model itself is off a day ahead, more by the root of the days:
	itemDoubt  = 0.34  // the same of one item alone, two weeks ahead:
	doubtDays  = 15    // held against simulated players 4, 8 and 15 days ahead, and taken to grow no more
)

// Readiness predicts d as seen from now, by simulating the days until then
// several times over. Its items need not be among those of
// [Planner.SetDeadlines]; other deadlines there take their share of the practice.
// It takes some hundredths of a second: call it off the path of a key press.
func (p *Planner) Readiness(d Deadline, now time.Time) Readiness {
	whole, _ := p.Simulate(d, nil, now)
	return whole
}

// Simulate predicts d as [Planner.Readiness] does, and parts of it, such as the
// songs of a gig, from the same simulations: each part is some of d's items, and
// is practised along with the rest. What a part alone would need is not looked
// for: its Need and Limit are not set.
func (p *Planner) Simulate(d Deadline, parts [][]string, now time.Time) (whole Readiness, each []Readiness) {
	m := p.newSimulation(d, now)
	f := foresight{simulation: m, idle: m.sample(0, 0)}
	if f.drawn = [][]float64{f.idle}; m.days > 0 {
		f.drawn = make([][]float64, samples)
		for n := range f.drawn {
			f.drawn[n] = m.sample(p.opt.Daily.Seconds(), n+1)
		}
	}
	all := make([]int32, len(m.deadline.items))
	for i := range all {
		all[i] = int32(i)
	}
	whole = f.readiness(all)
	if m.days > 0 && whole.Items > 0 {
		whole.Need, whole.Limit = m.need(whole.Enough)
	}
	each = make([]Readiness, len(parts))
	for k, part := range parts {
		each[k] = f.readiness(m.places(part))
	}
	return whole, each
}

// places returns where ids stand among the deadline's items.
func (m *simulation) places(ids []string) []int32 {
	var of []int32
	for _, id := range ids {
		if i, ok := m.p.index[id]; ok {
			if k, ok := slices.BinarySearch(m.deadline.items, i); ok {
				of = append(of, int32(k))
			}
		}
	}
	slices.Sort(of)
	return slices.Compact(of)
}

// A foresight is what the simulations came to: the chance of each of the
// deadline's items to be fluent on its evening.
type foresight struct {
	*simulation
	idle  []float64 // with no more practice
	drawn [][]float64
}

// readiness sums up for some of the deadline's items, by their places.
func (f *foresight) readiness(of []int32) Readiness {
	s := Readiness{Items: len(of), Days: f.days}
	if s.Items == 0 {
		return s
	}
	n := float64(len(of))
	for _, k := range of {
		i := f.deadline.items[k]
		v := f.p.look(i, f.today)
		s.Now += v.fluent / n
		s.Idle += f.idle[k] / n
		if f.p.items[i].state.Asked > 0 {
			s.Met++
		}
	}
	var squares, luck float64
	m := float64(len(f.drawn))
	for _, chances := range f.drawn {
		share := 0.0
		for _, k := range of {
			c := chances[k]
			share += c / n
			luck += c * (1 - c) / (n * n)
		}
		s.Share += share
		squares += share * share
	}
	s.Share /= m
	// What is nearly all known leaves less to be wrong about, but not what was never met.
	doubt := (modelDoubt*modelDoubt + itemDoubt*itemDoubt/n/doubtDays) * float64(min(f.days, doubtDays)) * max(4*s.Share*(1-s.Share), 1-float64(s.Met)/n, 0.2)
	spread := confidence * math.Sqrt(max(squares/m-s.Share*s.Share, 0)+luck/m+doubt)
	s.Low, s.High = max(s.Share-spread, 0), min(s.Share+spread, 1)
	s.Enough = s.Share >= readyShare
	if f.days == 0 {
		s.Low, s.High, s.Enough = s.Share, s.Share, false
	}
	return s
}

// need finds the least practice a day with which the same simulations make nine in
// ten fluent, to a minute or a twentieth, and whether not even the most looked at
// does; enough says that the player's own practice a day will do.
func (m *simulation) need(enough bool) (daily time.Duration, limit bool) {
	low, high := 0, int(maxDaily/time.Minute)
	switch known := int(m.p.opt.Daily / time.Minute); {
	case enough:
		high = min(high, max(known, 1))
	case !m.makesReady(high):
		return maxDaily, true
	default:
		low = min(known, high-1)
	}
	for high-low > 1+high/20 {
		mid := int(math.Round(math.Sqrt(float64(max(low, 1) * high))))
		if mid = min(max(mid, low+1), high-1); m.makesReady(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return time.Duration(high) * time.Minute, false
}

func (m *simulation) makesReady(minutes int) bool {
	sum := 0.0
	for n := range samples {
		for _, f := range m.sample(float64(minutes)*60, n+1) {
			sum += f
		}
	}
	return sum >= readyShare*float64(samples*len(m.deadline.items))
}
