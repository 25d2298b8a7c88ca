package practice

import (
	"hash/crc32"
	"math/rand/v2"
	"testing"
	"time"

	"surefret/drills"
)

// toPlace opens a player who was asked nothing yet, and selects all of it.
func toPlace(t *testing.T) (now time.Time, p *Player, chosen selected) {
	now = time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)
	p, err := Open(t.Context(), nil, func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	chosen, err = p.work(Selection{Placing: true})
	if err != nil {
		t.Fatal(err)
	}
	return now, p, chosen
}

// A check of what is known begins with what is met first of each drill.
func TestAPlacingBeginsEasily(t *testing.T) {
	now, p, chosen := toPlace(t)
	const early = 5 // of the order in which things are met
	pl := newPlacing(p, chosen)
	for range opening {
		c, _ := pl.Next(now, time.Minute)
		if it, _ := p.catalogue.Item(c.Item); it.Stage > early {
			t.Errorf("%s is of stage %d", c.Item, it.Stage)
		}
		pl.learn(c.Item, true, 1)
	}
}

// A player who knows two thirds of the board, by topics, proves half of it in five
// minutes, and who knows the easier half of it half of that; nine in ten of what is
// left alone are truly known to him.
func TestWhoKnowsMuchProvesHalfInFiveMinutes(t *testing.T) {
	now, p, chosen := toPlace(t)
	const seconds = 1.3 + 1.7 // of thinking, and besides
	least := map[string]int{"topics here and there": len(chosen.wanted), "what comes first": len(chosen.wanted) / 2}
	for name, knows := range map[string]func(it drills.Item) bool{
		"topics here and there": func(it drills.Item) bool { return crc32.ChecksumIEEE([]byte(it.Topic()))%100 < 68 },
		"what comes first":      func(it drills.Item) bool { return it.Stage <= 10 },
	} {
		rng := rand.New(rand.NewPCG(7, 7))
		chance := map[string]float64{}
		for id := range chosen.wanted {
			it, _ := p.catalogue.Item(id)
			if chance[id] = 0.1; knows(it) {
				chance[id] = 0.95
			}
		}
		items, truly, asked := 0, 0.0, 0
		const plays = 6
		for range plays {
			pl := newPlacing(p, chosen)
			for left := 300.0; ; left -= seconds {
				c, ok := pl.Next(now, time.Duration(left*float64(time.Second)))
				if !ok {
					break
				}
				asked++
				pl.learn(c.Item, rng.Float64() < chance[c.Item], 1)
			}
			proven, _ := pl.proven()
			for _, id := range proven {
				items++
				truly += chance[id]
			}
		}
		if 2*items < plays*least[name] || truly < 0.9*float64(items) {
			t.Errorf("%s: %d of %d proven by %d questions, with a true chance of %.2f", name, items/plays, len(chance), asked/plays, truly/float64(items))
		}
	}
}
