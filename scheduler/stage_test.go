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

func TestStagesOpenInTheirOrder(t *testing.T) {
	p := staged(t)
	now := time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)
	met := map[string]bool{}
	for range 60 {
		c, ok := p.Next(now, 10*time.Minute)
		if !ok {
			break
		}
		if !met[c.Item] && c.Item[0] > '0' {
			left := 0
			for n := range 4 {
				if !met[fmt.Sprintf("%c/%d", c.Item[0]-1, n)] {
					left++
				}
			}
			if left*stageRest > 4 {
				t.Errorf("%s is met with %d of four of the stage before left", c.Item, left)
			}
		}
		met[c.Item] = true
		p.Learn(Answer{Item: c.Item, At: now, Right: true, Thinking: time.Second})
		now = now.Add(3 * time.Second)
	}
	if len(met) != 12 {
		t.Errorf("%d items met, want all 12", len(met))
	}
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
	p.Narrow(func(it Item) bool { return it.Stage > 0 })
	if c, ok := p.Next(time.Now(), 10*time.Minute); !ok || c.Item[0] != '1' {
		t.Errorf("first asked %q, %v; want one of stage 1", c.Item, ok)
	}
}

func TestOneFamilyAloneStillChangesItsGroup(t *testing.T) {
	var items []Item
	for n := range 20 {
		items = append(items, Item{ID: fmt.Sprint(n), Family: "note", Group: fmt.Sprint("string ", 5+n/10)})
	}
	p, err := NewPlanner(items, Options{})
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)
	last := ""
	for n := range 20 {
		c, ok := p.Next(now, 10*time.Minute)
		if !ok {
			t.Fatal("nothing to ask")
		}
		group := map[bool]string{true: "low", false: "high"}[len(c.Item) == 1]
		if group == last {
			t.Errorf("answer %d: %s after another of its group", n, c.Item)
		}
		last = group
		p.Learn(Answer{Item: c.Item, At: now, Right: true, Thinking: time.Second})
		now = now.Add(3 * time.Second)
	}
}

// What a stage leaves for later, since its kin seem to give it away, does not
// hold up the next.
func TestAFewItemsPutOffHoldNoStageUp(t *testing.T) {
	var items []Item
	for stage := range 2 {
		for n := range 20 {
			items = append(items, Item{ID: fmt.Sprintf("%d/%d", stage, n), Group: fmt.Sprint(n % 5), Stage: 10 * stage})
		}
	}
	p := newPlanner(t, items, Options{})
	for n := range 15 {
		p.Learn(Answer{Item: fmt.Sprintf("0/%d", n), At: morning, Right: true, Thinking: time.Second})
	}
	if p.prepare(DayOf(morning, nil)); p.openStage() != 1 {
		t.Errorf("with five of twenty left, stage %d is open", p.openStage())
	}
	q := newPlanner(t, items, Options{})
	for n := range 14 {
		q.Learn(Answer{Item: fmt.Sprintf("0/%d", n), At: morning, Right: true, Thinking: time.Second})
	}
	if q.prepare(DayOf(morning, nil)); q.openStage() != 0 {
		t.Errorf("with six of twenty left, stage %d is open", q.openStage())
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

// New items wait while as many as the limit are asked and not yet to be counted on;
// a deadline's do not.
func TestNewItemsWaitWhileManyAreInTheMaking(t *testing.T) {
	items := board(300)
	p := newPlanner(t, items, Options{})
	slow := func(item string, at time.Time) {
		p.Learn(Answer{Item: item, At: at, Right: true, Thinking: 6 * time.Second})
	}
	met := map[string]bool{}
	for n := range 200 {
		at := morning.Add(time.Duration(n) * 8 * time.Second)
		c, ok := p.Next(at, 10*time.Minute)
		if !ok {
			break
		}
		met[c.Item] = true
		slow(c.Item, at)
	}
	if len(met) != makingMost {
		t.Errorf("a player who is slow at everything met %d items, want %d", len(met), makingMost)
	}
	p.SetDeadlines([]Deadline{{Name: "fair", Items: ids(items), Day: morning.AddDate(0, 0, 2)}})
	if c, ok := p.Next(morning.Add(time.Hour), 10*time.Minute); !ok || met[c.Item] {
		t.Errorf("the deadline's new items wait too: %+v", c)
	}
}
