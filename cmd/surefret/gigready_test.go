package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/gig"
	"surefret/scheduler"
)

// A month is what a player and his readiness did day by day before a gig.
type month struct {
	now, truth, share []float64 // by day: readiness now, what the learner would get fluent, readiness for the day
	played            float64   // what the learner got fluent on the day of the gig
}

// simulateMonth lets a learner of the lab practise ten minutes a day for a gig
// in a month, as the program would ask, from the first day on.
func simulateMonth(t *testing.T, family string, seed uint64) month {
	t.Helper()
	const days = 30
	first := scheduler.DayOf(time.Date(2026, 11, 2, 18, 0, 0, 0, time.UTC), time.UTC)
	g := demoGigs(first)[0]
	g.Day = (first + days).String()
	setup, err := settings.Default().Setup()
	if err != nil {
		t.Fatal(err)
	}
	setup.Keys = gig.Keys([]gig.Gig{g})
	catalogue := drills.NewCatalogue(setup)
	items := schedulable(catalogue.Items())
	planner, err := scheduler.NewPlanner(items, scheduler.Options{Location: time.UTC})
	if err != nil {
		t.Fatal(err)
	}
	player, err := learner.New(family, demoBoard(items), seed)
	if err != nil {
		t.Fatal(err)
	}
	index := map[string]int{}
	for i, it := range items {
		index[it.ID] = i
	}
	needed, err := g.Items(catalogue)
	if err != nil {
		t.Fatal(err)
	}
	d := scheduler.Deadline{Name: g.Name, Day: (first + days).Start(time.UTC).Add(16 * time.Hour)}
	for _, it := range needed {
		d.Items = append(d.Items, it.ID)
	}
	planner.SetDeadlines([]scheduler.Deadline{d})
	rng := rand.New(rand.NewPCG(seed, 6))
	since := func(at time.Time) float64 { return at.Sub(first.Start(time.UTC)).Hours() / 24 }
	fluent := func(at time.Time) float64 {
		all := make([]float64, len(items))
		player.Fluencies(since(at), all)
		sum := 0.0
		for _, id := range d.Items {
			sum += all[index[id]]
		}
		return sum / float64(len(d.Items))
	}
	var m month
	for day := range scheduler.Day(days) {
		began := (first + day).Start(time.UTC).Add(14 * time.Hour)
		r := planner.Readiness(d, began)
		m.now, m.truth, m.share = append(m.now, r.Now), append(m.truth, fluent(began)), append(m.share, r.Share)
		for at := began; at.Sub(began) < 10*time.Minute; {
			choice, ok := planner.Next(at, 10*time.Minute-at.Sub(began))
			if !ok {
				break
			}
			a := player.Answer(index[choice.Item], since(at), learner.Luck{Retrieve: open01(rng), Time: open01(rng), Error: open01(rng)})
			at = at.Add(settings.Seconds(a.Thinking + 1.7)).Truncate(time.Millisecond)
			planner.Learn(scheduler.Answer{Item: choice.Item, At: at, Right: a.Right, Thinking: settings.Seconds(a.Thinking)})
			if !a.Right {
				at = at.Add(2800 * time.Millisecond)
			}
		}
	}
	m.played = fluent(d.Day)
	return m
}

// The learners are the lab's: published models of memory that the scheduler
// does not know.
func TestReadinessRisesOverAMonthAndMatchesTheLearner(t *testing.T) {
	if testing.Short() {
		t.Skip("a month of practice takes seconds")
	}
	for i, family := range learner.Families() {
		t.Run(family, func(t *testing.T) {
			m := simulateMonth(t, family, uint64(20+i))
			last := len(m.now) - 1
			line := ""
			for day := 0; day <= last; day += 5 {
				line += fmt.Sprintf(" day %d: now %.2f, truly %.2f, for the day %.2f;", day, m.now[day], m.truth[day], m.share[day])
			}
			t.Logf("%s on the day %.2f", line, m.played)
			if m.now[last] < m.now[0]+0.3 || m.now[last] < m.now[last/2] {
				t.Errorf("readiness does not rise: %.2f on the first day, %.2f in the middle, %.2f on the last", m.now[0], m.now[last/2], m.now[last])
			}
			// What he knows on the first days, he brought along: no log tells it.
			for day := 5; day <= last; day++ {
				most := 0.1
				if day < 10 {
					most = 0.15
				}
				if off := math.Abs(m.now[day] - m.truth[day]); off > most {
					t.Errorf("day %d: readiness now is %.2f, the learner's %.2f", day, m.now[day], m.truth[day])
				}
			}
			if off := math.Abs(m.share[last] - m.played); off > 0.1 {
				t.Errorf("on the eve readiness for the day was %.2f, and the learner's was %.2f", m.share[last], m.played)
			}
		})
	}
}
