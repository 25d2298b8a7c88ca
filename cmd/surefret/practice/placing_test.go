package practice

import (
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/scheduler"
)

// place lets a player who knows some strings go through a placing and returns
// what was proven and how many answers it took.
func place(t *testing.T, knows func(drills.Item) bool) (proven []string, asked int) {
	t.Helper()
	catalogue := drills.NewCatalogue(drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}})
	var items []drills.Item
	var plain []scheduler.Item
	for _, it := range catalogue.Items() {
		if it.Family == "note" {
			items = append(items, it)
			plain = append(plain, scheduler.Item{ID: it.ID})
		}
	}
	planner, err := scheduler.NewPlanner(plain, scheduler.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p := NewPlacing(planner, items, func(string) bool { return true })
	last := ""
	for ; asked < 1000; asked++ {
		choice, ok := p.Next(start, time.Minute)
		if !ok {
			break
		}
		if choice.Item == last {
			t.Errorf("%s asked twice in a row", last)
		}
		last = choice.Item
		it, _ := catalogue.Item(choice.Item)
		p.Learn(scheduler.Answer{Item: it.ID, At: start, Right: knows(it), Thinking: time.Second})
	}
	proven, _ = p.Proven()
	return proven, asked
}

func TestAPlayerProvesTheStringsThatHeKnows(t *testing.T) {
	proven, asked := place(t, func(it drills.Item) bool { return slices.Equal(it.Strings, []int{6}) })
	for _, id := range proven {
		if !strings.HasPrefix(id, "note/E2+") {
			t.Errorf("%s was proven by a player who knows string 6 alone", id)
		}
	}
	if len(proven) != 24 {
		t.Errorf("%d items proven, want the 24 of string 6", len(proven))
	}
	if asked > 60 {
		t.Errorf("it took %d questions, more than two minutes", asked)
	}
}

func TestABeginnerIsSoonThrough(t *testing.T) {
	proven, asked := place(t, func(drills.Item) bool { return false })
	if len(proven) > 0 || asked > 20 {
		t.Errorf("%d proven after %d questions", len(proven), asked)
	}
}

func TestWhatWasAskedBeforeIsNotPlaced(t *testing.T) {
	j := &journal{known: scheduler.State{Asked: 1}}
	items := []drills.Item{{ID: "note/E2+3/name"}}
	if _, ok := NewPlacing(j, items, func(string) bool { return true }).Next(start, time.Minute); ok {
		t.Error("an item that was asked before is asked again to place it")
	}
}

func TestWhatIsSetAsideInAPlacingDoesNotComeAgain(t *testing.T) {
	aside := map[string]bool{}
	items := []drills.Item{{ID: "a", Group: "1"}, {ID: "b", Group: "2"}}
	p := NewPlacing(&journal{}, items, func(id string) bool { return !aside[id] })
	for range items {
		c, ok := p.Next(start, time.Minute)
		if !ok || aside[c.Item] {
			t.Fatalf("asked %q again, %v", c.Item, ok)
		}
		aside[c.Item] = true
	}
	if c, ok := p.Next(start, time.Minute); ok {
		t.Errorf("%q is asked though all was set aside", c.Item)
	}
}

func TestAPlacingForgetsWhatWasTakenBack(t *testing.T) {
	catalogue := drills.NewCatalogue(drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}})
	p := NewPlacing(&journal{}, catalogue.Items(), func(string) bool { return true })
	for range proofs { // each is answered wrong, taken back, and answered right
		item := p.regions[0].items[0]
		slip := scheduler.Answer{Item: item, Thinking: time.Second}
		p.Learn(slip)
		p.Forget(slip)
		right := scheduler.Answer{Item: item, Right: true, Thinking: time.Second}
		p.Learn(right)
		p.Forget(right)
		p.Learn(right)
	}
	if r := p.regions[0]; r.asked != proofs || !r.proven() {
		t.Errorf("%+v, want it proven by %d answers", r, proofs)
	}
	p.Forget(scheduler.Answer{Item: "no/such"})
}
