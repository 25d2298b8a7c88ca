package policy

import (
	"testing"
	"time"
)

// A player who is slow at everything keeps as many items in the making as the limit
// says; one who is quick at first sight flows through them.
func TestFewAtATimeKeepsToItsLimit(t *testing.T) {
	at := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		seconds float64
		met     int
	}{{4, 10}, {0.8, 100}} {
		p := Few(10)(items(300), 1)
		met := map[int]bool{}
		for n := range 100 {
			i, ok := p.Next(at, time.Minute)
			if !ok {
				t.Fatal("nothing to ask")
			}
			met[i] = true
			p.Learn(Answer{Item: i, Right: true, Seconds: c.seconds, At: at.Add(time.Duration(n) * time.Second)})
		}
		if len(met) != c.met {
			t.Errorf("%v seconds an answer: %d items met in 100 answers, want %d", c.seconds, len(met), c.met)
		}
	}
}

func TestFewAtATimeReturnsAMissAfterSixOthers(t *testing.T) {
	at := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	p := Few(0)(items(300), 1)
	first, _ := p.Next(at, time.Minute)
	p.Learn(Answer{Item: first, At: at})
	for n := range 7 {
		i, _ := p.Next(at, time.Minute)
		if (i == first) != (n == 6) {
			t.Errorf("answer %d after the miss is of item %d, missed was %d", n+1, i, first)
		}
		p.Learn(Answer{Item: i, Right: true, Seconds: 1, At: at})
	}
}
