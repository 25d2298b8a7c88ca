package practice

import (
	"testing"
	"time"

	"surefret/drills"
)

// What is parked comes in the same week to who names what he wants, and to nobody else.
func TestWhatIsNamedIsKnownToThePlanner(t *testing.T) {
	p, err := Open(t.Context(), nil, func() time.Time { return time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC) })
	if err != nil {
		t.Fatal(err)
	}
	named := func(s Selection) bool {
		chosen, _ := p.work(s)
		return chosen.named
	}
	if named(Selection{}) || named(Selection{Heard: true}) {
		t.Error("all there is is taken for named")
	}
	if !named(Selection{Strings: []int{6}}) || !named(Selection{Drills: []drills.Family{"shape"}}) || !named(Selection{Weak: true}) {
		t.Error("strings, drills or what is weak is not taken for named")
	}
	p.choice = drills.Choice{Only: []string{"tenths"}}
	if !named(Selection{}) {
		t.Error("the player's own choice is not taken for named")
	}
}
