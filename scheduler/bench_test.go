package scheduler

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"
)

// board lays out n items of six families on six groups, each with two kin.
func board(n int) []Item {
	items := make([]Item, n)
	id := func(i int) string { return fmt.Sprintf("item/%d", (i+n)%n) }
	for i := range items {
		items[i] = Item{
			ID:     id(i),
			Family: fmt.Sprintf("family %d", i/7%6),
			Group:  fmt.Sprintf("string %d", i%6),
			Kin:    []Kin{{id(i - 1), 0.5}, {id(i + 1), 0.3}},
		}
	}
	return items
}

// history is n answers over the items, so many a day, drawn from a seed.
func history(items []Item, n, daily int, seed uint64) []Answer {
	rng := rand.New(rand.NewPCG(seed, 1))
	log := make([]Answer, n)
	for i := range log {
		log[i] = Answer{
			Item:     items[rng.IntN(len(items))].ID,
			At:       morning.AddDate(0, 0, i/daily).Add(time.Duration(i%daily) * 4 * time.Second),
			Right:    rng.Float64() < 0.93,
			Thinking: time.Duration((0.6 + 4*rng.Float64()*rng.Float64()) * float64(time.Second)),
		}
	}
	return log
}

var morning = time.Date(2026, time.March, 2, 8, 0, 0, 0, time.UTC)

// One question of a sitting among 5,000 items: choose, answer, learn.
func BenchmarkNext(b *testing.B) {
	items := board(5000)
	p, err := NewPlanner(items, Options{})
	if err != nil {
		b.Fatal(err)
	}
	for _, r := range history(items, 50_000, 150, 1) {
		p.Learn(r)
	}
	now := morning.AddDate(1, 0, 0)
	p.Next(now, 10*time.Minute)
	b.ReportAllocs()
	for b.Loop() {
		c, ok := p.Next(now, 10*time.Minute)
		if !ok {
			b.Fatal("nothing to ask")
		}
		b.StopTimer()
		p.Learn(Answer{Item: c.Item, At: now, Right: true, Thinking: time.Second})
		if p.seq%1000 == 0 {
			now = now.AddDate(0, 0, 1)
			p.Next(now, 10*time.Minute)
		}
		b.StartTimer()
	}
}

// The first question of a day appraises every item.
func BenchmarkFirstNextOfTheDay(b *testing.B) {
	items := board(5000)
	p, err := NewPlanner(items, Options{})
	if err != nil {
		b.Fatal(err)
	}
	for _, r := range history(items, 50_000, 150, 1) {
		p.Learn(r)
	}
	now := morning.AddDate(1, 0, 0)
	for b.Loop() {
		p.Next(now, 10*time.Minute)
		now = now.AddDate(0, 0, 1)
	}
}

// A million answers, replayed; the heap that they and the planner leave.
func BenchmarkReplayMillion(b *testing.B) {
	items := board(5000)
	log := history(items, 1_000_000, 400, 1)
	b.ReportAllocs()
	for b.Loop() {
		p, err := NewPlanner(items, Options{})
		if err != nil {
			b.Fatal(err)
		}
		for _, r := range log {
			p.Learn(r)
		}
		b.StopTimer()
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		b.ReportMetric(float64(m.HeapAlloc)/1e6, "heap-MB")
		runtime.KeepAlive(p)
		b.StartTimer()
	}
}

func BenchmarkSnapshot(b *testing.B) {
	items := board(5000)
	p, _ := NewPlanner(items, Options{})
	for _, r := range history(items, 50_000, 150, 1) {
		p.Learn(r)
	}
	data, _ := p.MarshalBinary()
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		q, _ := NewPlanner(items, Options{})
		if err := q.UnmarshalBinary(data); err != nil {
			b.Fatal(err)
		}
	}
}

// A gig of a hundred songs that need most of 750 items, two weeks ahead: the
// aim is 200 ms for all of them.
func BenchmarkSimulateAHundredSongs(b *testing.B) {
	items := board(750)
	p := newPlanner(b, items, Options{})
	for _, r := range history(items, 2000, 150, 1) {
		p.Learn(r)
	}
	gig := Deadline{Items: ids(items[:500]), Day: morning.AddDate(0, 0, 28)}
	songs := make([][]string, 100)
	for n := range songs {
		songs[n] = ids(items[n*4 : n*4+30])
	}
	for b.Loop() {
		p.Simulate(gig, songs, morning.AddDate(0, 0, 14))
	}
}

func BenchmarkReadiness(b *testing.B) {
	items := board(750)
	p := newPlanner(b, items, Options{})
	for _, r := range history(items, 2000, 150, 1) {
		p.Learn(r)
	}
	gig := Deadline{Items: ids(items[:100]), Day: morning.AddDate(0, 0, 28)}
	for b.Loop() {
		p.Readiness(gig, morning.AddDate(0, 0, 14))
	}
}
