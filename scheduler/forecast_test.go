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

// drilled is a planner whose topics were practised for so many days, each answer in
// so many milliseconds of thinking.
func drilled(t *testing.T, days int, thinking ...int) *Planner {
	t.Helper()
	p := newPlanner(t, topics(len(thinking)), Options{})
	for day := range days {
		for i, it := range p.given {
			p.Learn(Answer{Item: it.ID, At: morning.AddDate(0, 0, day), Right: true, Thinking: time.Duration(thinking[i/8]) * time.Millisecond})
		}
	}
	return p
}

// After a break what waits is spread over days, none of which is asked for more than
// the player has.
func TestWhatRestedIsSpreadOverDays(t *testing.T) {
	p := newPlanner(t, board(600), Options{})
	for _, r := range history(p.given, 2400, 120, 1) {
		p.Learn(r)
	}
	if n := p.Spread(morning.AddDate(0, 0, 19)); n > 0 {
		t.Errorf("without a break: %d days", n)
	}
	back := morning.AddDate(0, 0, 60)
	p.Learn(Answer{Item: "item/0", At: back, Right: true, Thinking: time.Second})
	if n := p.Spread(back); n < 2 {
		t.Errorf("after a break of forty days: %d days", n)
	}
	for day, load := range p.Forecast(back, 7) {
		if load > p.opt.Daily {
			t.Errorf("day %d is asked for %v", day, load)
		}
	}
}

// What stays slow after ten days is parked: said, out of the making, and asked once a
// week, or at the end to who names it, or before a gig; a fluent answer brings it back.
func TestWhatStaysSlowIsParked(t *testing.T) {
	p := drilled(t, makingDays-1, 800, 6000)
	at := morning.AddDate(0, 0, makingDays-1)
	if got := p.Parked(at); len(got) > 0 {
		t.Errorf("parked too soon: %v", got)
	}
	asked, last := map[string]int{}, map[string]int{}
	for day := makingDays - 1; day < makingDays+27; day++ {
		for _, c := range sit(p, morning.AddDate(0, 0, day), 5*time.Minute, func(id string, _ int) bool { return id[0] == '0' }) {
			if day >= makingDays && last[c.Item] != day {
				asked[c.Item], last[c.Item] = asked[c.Item]+1, day
			}
		}
	}
	end := morning.AddDate(0, 0, makingDays+27)
	parked := p.Parked(end)
	if len(parked) != 8 || parked[0] != "1/0" {
		t.Fatalf("parked %v", parked)
	}
	if p.making > 0 {
		t.Errorf("%d are in the making", p.making)
	}
	for _, id := range parked {
		p.Learn(Answer{Item: id, At: end.Add(-time.Hour), Right: true, Thinking: 6 * time.Second})
	}
	soon := end.AddDate(0, 0, 1)
	for _, named := range []bool{false, true} {
		p.Narrow(func(it Item) bool { return it.Topic == "1" }, named)
		if c, ok := p.Next(soon, 5*time.Minute); ok != named || ok && c.Reason.Kind != SpareTime {
			t.Errorf("a day after, of what is parked alone, named %v: %+v, %v", named, c, ok)
		}
	}
	p.Narrow(nil, false)
	for day, load := range p.Forecast(soon, 3) {
		if load > time.Minute {
			t.Errorf("what is parked asks for %v on day %d", load, day)
		}
	}
	p.SetDeadlines([]Deadline{{Name: "fair", Items: parked[:1], Day: soon}})
	p.run = 0 // its family has its turn
	if c, ok := p.Next(soon, 5*time.Minute); !ok || c.Item != parked[0] {
		t.Errorf("on a gig's day what it needs waits: %+v", c)
	}
	p.SetDeadlines(nil)
	// One slow answer does not park what is mostly quick.
	p.Learn(Answer{Item: "0/0", At: end, Right: true, Thinking: 6 * time.Second})
	if got := p.Parked(end); len(got) != 8 {
		t.Errorf("after a slow answer %v", got)
	}
	p.Learn(Answer{Item: "1/0", At: end, Right: true, Thinking: time.Second})
	if got := p.Parked(end.AddDate(0, 0, 1)); len(got) != 7 {
		t.Errorf("after a fluent answer %v", got)
	}
	for _, id := range parked {
		if asked[id] > 5 || asked[id] == 0 {
			t.Errorf("%s was asked on %d days of four weeks", id, asked[id])
		}
	}
}
