package scheduler

import (
	"fmt"
	"testing"
	"time"
)

// Twelve items in three stages, the last ones listed first.
func staged(t *testing.T) *Planner {
	t.Helper()
	var items []Item
	for stage := 2; stage >= 0; stage-- {
		for n := range 4 {
			items = append(items, Item{ID: fmt.Sprintf("%d/%d", stage, n), Group: fmt.Sprint(n), Stage: stage})
		}
	}
	p, err := NewPlanner(items, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestAGigDoesNotWaitForStages(t *testing.T) {
	p := staged(t)
	now := time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)
	p.SetDeadlines([]Deadline{{Name: "Harbour Fair", Items: []string{"2/1"}, Day: now.AddDate(0, 0, 2)}})
	for range 12 {
		c, ok := p.Next(now, 10*time.Minute)
		if !ok {
			break
		}
		if c.Item == "2/1" {
			return
		}
		p.Learn(Answer{Item: c.Item, At: now, Right: true, Thinking: time.Second})
		now = now.Add(3 * time.Second)
	}
	t.Error("the gig's item was not asked among the first twelve")
}

func TestANarrowedSittingHasItsOwnFirstStage(t *testing.T) {
	p := staged(t)
	p.Narrow(func(it Item) bool { return it.Stage > 0 }, true)
	if c, ok := p.Next(time.Now(), 10*time.Minute); !ok || c.Item[0] != '1' {
		t.Errorf("first asked %q, %v; want one of stage 1", c.Item, ok)
	}
}

// Kin alone prove nothing: an item never asked is not thought fluent through them.
func TestWhatWasNeverAskedIsNotThoughtFluent(t *testing.T) {
	items := []Item{{ID: "new"}}
	for n := range 5 {
		id := fmt.Sprint(n)
		items[0].Kin = append(items[0].Kin, Kin{id, 0.9})
		items = append(items, Item{ID: id})
	}
	p := newPlanner(t, items, Options{})
	for day := range 10 {
		for n := range 5 {
			p.Learn(Answer{Item: fmt.Sprint(n), At: morning.AddDate(0, 0, day), Right: true, Thinking: 700 * time.Millisecond})
		}
	}
	at := morning.AddDate(0, 0, 10)
	if alone, asked := p.Fluency("new", at), p.Fluency("0", at); alone > 0.75 || asked < 0.9 {
		t.Errorf("fluency %.2f of what was never asked, %.2f of its kin", alone, asked)
	}
}

// topics are items of so many topics of eight, one after the other in stages, of two
// families in turn.
func topics(n int) []Item {
	items := make([]Item, 8*n)
	for i := range items {
		items[i] = Item{ID: fmt.Sprintf("%d/%d", i/8, i%8), Topic: fmt.Sprint(i / 8), Stage: i / 8, Family: fmt.Sprint(i / 8 % 2)}
	}
	return items
}

// What is begun is finished before the next topic of the order begins.
func TestATopicIsMetWholeBeforeTheNext(t *testing.T) {
	p := newPlanner(t, topics(12), Options{})
	met := map[string]int{}
	for day := range 12 {
		for _, c := range sit(p, morning.AddDate(0, 0, day), 10*time.Minute, func(_ string, n int) bool { return n > 1 }) {
			if c.Reason.Kind != FirstTime {
				continue
			}
			at := p.index[c.Item]
			if k := at / 8; k > 1 && day < familyDays && met[fmt.Sprint(k-1)] < 8 {
				t.Errorf("day %d: topic %d begins with %d of the one before met", day, k, met[fmt.Sprint(k-1)])
			}
			met[fmt.Sprint(at/8)]++
		}
	}
	if len(met) < 3 {
		t.Errorf("%d topics were begun in twelve days", len(met))
	}
}

// A beginner keeps a few facts until they sit; who is quick at first sight flows
// through everything; a deadline's items do not wait.
func TestNewItemsComeFewAtATimeToWhoIsSlow(t *testing.T) {
	met := func(thinking time.Duration, gig bool) (first, all int) {
		p := newPlanner(t, topics(40), Options{})
		if gig {
			p.SetDeadlines([]Deadline{{Name: "fair", Items: ids(topics(40)), Day: morning.AddDate(0, 0, 2)}})
		}
		seen := map[string]bool{}
		for day := range 5 {
			for n := range 120 {
				at := morning.AddDate(0, 0, day).Add(time.Duration(n) * 5 * time.Second)
				c, ok := p.Next(at, 10*time.Minute)
				if !ok {
					break
				}
				seen[c.Item] = true
				p.Learn(Answer{Item: c.Item, At: at, Right: true, Thinking: thinking})
			}
			if day == 0 {
				first = len(seen)
			}
		}
		return first, len(seen)
	}
	if first, all := met(6*time.Second, false); first > makingMost || all != makingMost {
		t.Errorf("who is slow at everything met %d items on the first day and %d in five, want %d at most", first, all, makingMost)
	}
	if first, all := met(800*time.Millisecond, false); first < 90 || all != 320 {
		t.Errorf("who is quick at everything met %d items on the first day and %d in five", first, all)
	}
	if first, _ := met(6*time.Second, true); first < 2*makingMost {
		t.Errorf("of a gig's items only %d were met", first)
	}
}

// A family that is asked for gets its turn each week, be it last in the order and
// whatever else is in the making.
func TestEveryFamilyHasItsTurnEachWeek(t *testing.T) {
	items := topics(12)
	for n := range 30 {
		items = append(items, Item{ID: fmt.Sprint("late/", n), Family: "late", Stage: 100})
	}
	p := newPlanner(t, items, Options{})
	last, met := -1, 0
	for day := range 30 {
		for _, c := range sit(p, morning.AddDate(0, 0, day), 5*time.Minute, func(string, int) bool { return false }) {
			if p.given[p.index[c.Item]].Family != "late" {
				continue
			}
			if day-last > familyDays+1 {
				t.Errorf("not asked from day %d to %d", last, day)
			}
			last = day
			if c.Reason.Kind == FirstTime {
				met++
			}
		}
	}
	if last < 24 || met < handfulMost {
		t.Errorf("last asked on day %d, %d met", last, met)
	}
}
