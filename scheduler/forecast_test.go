package scheduler

import (
	"testing"
	"time"
)

func TestTheForecastCountsWhatIsKnownButSlow(t *testing.T) {
	now := time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)
	load := func(thinking time.Duration) time.Duration {
		p, err := NewPlanner([]Item{{ID: "a"}, {ID: "b"}}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for day := -6; day <= 0; day++ {
			p.Learn(Answer{Item: "a", At: now.AddDate(0, 0, day), Right: true, Thinking: thinking})
		}
		ahead := p.Forecast(now, 2)
		if ahead[0] != 0 {
			t.Errorf("today %v, want nothing: it was asked today", ahead[0])
		}
		return ahead[1]
	}
	if quick := load(600 * time.Millisecond); quick != 0 {
		t.Errorf("an item that is quick day after day asks for %v tomorrow", quick)
	}
	if slow := load(6 * time.Second); slow < time.Second {
		t.Errorf("an item that takes six seconds asks for %v tomorrow", slow)
	}
	for _, near := range []time.Duration{1900, 2100, 2300, 2600, 3000} {
		load(near * time.Millisecond) // remembered, but slowly: today is done with all the same
	}
}
