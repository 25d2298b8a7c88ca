package practice_test

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/drills"
	"surefret/drills/gig"
	"surefret/scheduler"
)

// readable is an answer of the kind that a question wants, right or not.
func readable(q drills.Question) string {
	var places []string
	for i := range max(q.Count, 1) {
		places = append(places, fmt.Sprintf("%d/1", 6-i))
	}
	if len(q.On) > 0 {
		places = nil
		for _, str := range q.On {
			places = append(places, fmt.Sprintf("%d/1", str))
		}
	}
	for _, answer := range []string{"1", "4b", "4", "m3", "C", strings.Join(places, " "), strings.TrimSpace(strings.Repeat("C ", q.Count))} {
		if _, err := q.Judge(answer); err == nil {
			return answer
		}
	}
	return ""
}

// asks lists what a sitting asks, a question a second.
func asks(t *testing.T, p *practice.Player, sel practice.Selection, n int) (all []practice.Turn) {
	t.Helper()
	s, err := p.Begin(practice.Options{Selection: sel, Rand: practicetest.Rand(), Length: time.Hour})
	if err != nil {
		t.Fatal(err)
	}
	at := p.Now()
	for range n {
		turn, ok, err := s.Next(t.Context(), at)
		if err != nil {
			t.Fatal(err)
		}
		if !ok {
			break
		}
		all = append(all, turn)
		at = at.Add(time.Second)
		if _, err := s.Answer(t.Context(), at, readable(turn.Question), time.Second, drills.EntryLine); err != nil {
			t.Fatal(err)
		}
	}
	return all
}

// A choice holds for the next players of the same practice, is asked before its stage,
// yields to what a sitting is narrowed to, and lets a near gig have what it needs.
func TestAChoiceHoldsUntilItIsChanged(t *testing.T) {
	log := &practicetest.Log{}
	if err := open(log).Choose(t.Context(), drills.Choice{Only: []string{"triads-321", "key-Eb"}}); err != nil {
		t.Fatal(err)
	}
	for _, turn := range asks(t, open(log), practice.Selection{}, 20) {
		q := turn.Question
		if !strings.HasPrefix(q.Item, "shape/triad-321-") {
			t.Errorf("asked %s", q.Item)
		}
		if regexp.MustCompile(`\b(A|B|E)(m|/|:| )|#`).MatchString(q.Text) {
			t.Errorf("not in Eb: %q", q.Text)
		}
	}
	for _, turn := range asks(t, open(log), practice.Selection{Strings: []int{6}}, 5) {
		q := turn.Question
		if strings.HasPrefix(q.Item, "shape/triad") {
			t.Errorf("string 6 was asked for, and %s came", q.Item)
		}
	}
	log.Dates = []gig.Gig{{ID: "1", Name: "Harbour Fair", Day: "2026-12-05", Songs: []gig.Song{{
		Title: "Ropewalk", Learned: "G", Called: "Ab", Sections: []gig.Section{{Name: "all", Chords: "1 4 5"}}, Shapes: []string{"e-form-major"},
	}}}}
	far := log.Dates[0]
	far.ID, far.Name, far.Day = "2", "Quay Wedding", "2027-03-05"
	far.Songs = []gig.Song{{Title: "Buoy", Learned: "D", Called: "D", Sections: []gig.Section{{Chords: "1"}}, Shapes: []string{"c-form-major"}}}
	log.Dates = append(log.Dates, far)
	needed, chosen := 0, 0
	for _, turn := range asks(t, open(log), practice.Selection{}, 40) {
		q := turn.Question
		switch {
		case strings.HasPrefix(q.Item, "shape/triad-321-"):
			chosen++
		case strings.HasPrefix(q.Item, "shape/c-form-major"):
			t.Error("a gig in three months has its way already")
		default:
			needed++
			if strings.HasPrefix(q.Item, "shape/e-form-major") && !regexp.MustCompile(`\b(Ab|Db|Eb)\b`).MatchString(q.Text) {
				t.Errorf("for a gig in Ab %q is asked", q.Text)
			}
		}
	}
	if needed == 0 || chosen == 0 {
		t.Errorf("%d items of the gig and %d of the choice were asked", needed, chosen)
	}
	log.Dates = nil
	if err := open(log).Choose(t.Context(), drills.Choice{Only: []string{"tenths", "string-1"}}); !errors.Is(err, practice.ErrChoice) {
		t.Errorf("a choice of nothing: %v", err)
	}
	if got := open(log).Choice(); !slices.Equal(got.Only, []string{"triads-321", "key-Eb"}) {
		t.Errorf("a choice that was refused is kept: %v", got)
	}
}

// What is kept for every day comes first, with others between, once a day until it is
// sure, whatever else was chosen.
func TestWhatIsKeptComesEveryDay(t *testing.T) {
	log := &practicetest.Log{}
	if err := open(log).Choose(t.Context(), drills.Choice{Only: []string{"notes"}, Keep: []string{"tenth-6"}}); err != nil {
		t.Fatal(err)
	}
	isKept := func(id string) bool { return strings.HasPrefix(id, "shape/tenth-6-") }
	now := start
	for day := range 3 {
		p := practicetest.Open(log, open(log).Settings, func() time.Time { return now })
		wanted := map[string]bool{}
		for _, it := range p.Catalogue().Items() {
			if isKept(it.ID) && p.Fluency(it.ID, now) < 0.8 {
				wanted[it.ID] = true
			}
		}
		if day == 0 && len(wanted) != 4 || len(wanted) == 0 {
			t.Fatalf("day %d: %d kept items are not sure", day, len(wanted))
		}
		if s, err := p.Begin(practice.Options{Rand: practicetest.Rand(), Length: time.Hour}); err != nil {
			t.Fatal(err)
		} else if turn, _, err := s.Next(t.Context(), now); err != nil || turn.Why.Reason.Kind != scheduler.EveryDay {
			t.Errorf("day %d: it begins with %s, as %v, %v; want a kept item", day, turn.Question.Item, turn.Why.Reason.Kind, err)
		}
		by := 2 * len(wanted) // questions, every other of them a kept one
		const soonest = 7     // questions after which one is asked again
		all := asks(t, p, practice.Selection{}, 12)
		for i, turn := range all {
			if item := turn.Question.Item; isKept(item) {
				// On the first day the planner goes on with the topic that was begun.
				if day > 0 && i > 0 && isKept(all[i-1].Question.Item) {
					t.Errorf("day %d: two kept items in a row", day)
				}
				if !wanted[item] && (i < soonest || turn.Why.Reason.Kind == scheduler.EveryDay) { // later the planner asks again what was missed
					t.Errorf("day %d: %s came again as question %d, or is sure", day, item, i+1)
				}
				delete(wanted, item)
			}
			if i == by-2 && len(wanted) > 0 {
				t.Errorf("day %d: %v did not come among the first", day, wanted)
			}
		}
		now = now.AddDate(0, 0, 1)
	}
}

// The weakest topics are those that were asked and come least; nothing else is asked.
func TestTheWeakestTopicsArePractised(t *testing.T) {
	log := &practicetest.Log{}
	if _, err := open(log).Begin(practice.Options{Selection: practice.Selection{Weak: true}}); !errors.Is(err, practice.ErrNoWeak) {
		t.Errorf("nothing was asked yet: %v", err)
	}
	for i := range 12 {
		for n, id := range []string{"note/E2+3/name", "note/E2+5/name", "note/B3+1/name"} {
			r := rowOf(strings.Repeat("i", i+1)+id, id, start.AddDate(0, 0, i-12))
			if r.Right = n < 2; !r.Right {
				r.Given = "C"
			}
			log.Rows = append(log.Rows, r)
		}
	}
	p := open(log)
	weak := p.Weak()
	if len(weak) != 1 || weak[0].Name != "naturals on string 2" || weak[0].Asked != 1 || weak[0].Items != 14 {
		t.Fatalf("weak topics: %+v", weak)
	}
	for _, turn := range asks(t, p, practice.Selection{Weak: true}, 8) {
		q := turn.Question
		if it, _ := p.Catalogue().Item(q.Item); it.Topic() != "naturals on string 2" {
			t.Errorf("asked %s", q.Item)
		}
	}
	if err := p.Choose(t.Context(), drills.Choice{Only: []string{"walkups"}}); err != nil {
		t.Fatal(err)
	}
	if weak := p.Weak(); len(weak) != 0 {
		t.Errorf("of what was not chosen %v is weak", weak)
	}
}
