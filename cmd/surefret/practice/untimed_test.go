package practice_test

import (
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/gig"
)

// Where times do not count, right is fluent: in the summary, in what a placing proves, in
// what progress calls sure, and in the readiness for a gig. Where they do, answers that
// take ten seconds each prove nothing.
func TestTimesOffCountsRightAsFluentEverywhere(t *testing.T) {
	for _, times := range []bool{false, true} {
		log := &practicetest.Log{Dates: []gig.Gig{{ID: "g", Name: "Harbour Fair", Day: "2026-12-19", Songs: []gig.Song{
			{ID: "cockles", Title: "Cockles", Learned: "C", Called: "C", Sections: []gig.Section{{Chords: "1 4 5"}}}}}}}
		set := settings.Default()
		set.Times = times
		now := start
		p := practicetest.Open(log, set, func() time.Time { return now })
		proven, fluent, asked := false, 0, 0
		for day := range 4 {
			now = start.AddDate(0, 0, day)
			s, err := p.Begin(practice.Options{Selection: practice.Selection{Drills: []drills.Family{"note"}, Placing: day == 3}, Rand: practicetest.Rand(), Length: time.Hour})
			if err != nil {
				t.Fatal(err)
			}
			for range 60 {
				turn, ok, err := s.Next(t.Context(), now)
				if err != nil {
					t.Fatal(err)
				}
				if !ok {
					break
				}
				now = now.Add(10 * time.Second)
				if _, err := s.Answer(t.Context(), now, rightFor(turn.Question), 10*time.Second, drills.EntryKeys); err != nil {
					t.Fatal(err)
				}
			}
			sum := s.Summary(t.Context(), now)
			fluent, asked = fluent+sum.Fluent, asked+sum.Right
			proven = day == 3 && len(log.Held.Placed) > 0
		}
		page, err := p.Progress(t.Context(), "")
		if err != nil {
			t.Fatal(err)
		}
		ready, _ := p.Readiness(p.Coming()[0])
		said := strings.Join(page.Sentences(), " ")
		if all := fluent == asked; all == times || proven == times || ready.Now > 0.15 == times || strings.Contains(said, " 0 items right in time") != times {
			t.Errorf("times %v: %d of %d fluent, proven %v, readiness %.2f, progress: %s", times, fluent, asked, proven, ready.Now, said)
		}
	}
}
