package scheduler

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The clock went forward on 29 March and back on 25 October 2026 in the European
// Union (Directive 2000/84/EC: last Sundays of March and October, 01:00 UTC).
func TestADayBeginsAtFourLocalTime(t *testing.T) {
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Skipf("no time zones here: %v", err)
	}
	tests := []struct {
		at   time.Time
		loc  *time.Location
		want string
	}{
		{time.Date(2026, 3, 2, 3, 59, 59, 0, time.UTC), nil, "2026-03-01"},
		{time.Date(2026, 3, 2, 4, 0, 0, 0, time.UTC), nil, "2026-03-02"},
		{time.Date(2026, 3, 2, 3, 30, 0, 0, time.UTC), berlin, "2026-03-02"},
		{time.Date(2026, 3, 29, 3, 59, 0, 0, berlin), berlin, "2026-03-28"},
		{time.Date(2026, 3, 29, 4, 0, 0, 0, berlin), berlin, "2026-03-29"},
		{time.Date(2026, 10, 25, 3, 59, 0, 0, berlin), berlin, "2026-10-24"},
		{time.Date(2026, 10, 25, 4, 0, 0, 0, berlin), berlin, "2026-10-25"},
		{time.Date(1969, 12, 31, 12, 0, 0, 0, time.UTC), nil, "1969-12-31"},
		{time.Date(1969, 12, 31, 3, 0, 0, 0, time.UTC), nil, "1969-12-30"},
	}
	for _, tt := range tests {
		if got := DayOf(tt.at, tt.loc).String(); got != tt.want {
			t.Errorf("%v: day %s, want %s", tt.at, got, tt.want)
		}
	}
}

// Zones that are odd, as the IANA time zone database has them: a quarter of an
// hour off, half an hour of summer time, and a calendar day left out.
func TestADayBeginsAtFourInOddZones(t *testing.T) {
	for _, tt := range []struct {
		zone, at, want string
	}{
		{"Asia/Kathmandu", "2026-05-01T22:14:59Z", "2026-05-01"}, // 03:59:59
		{"Asia/Kathmandu", "2026-05-01T22:15:00Z", "2026-05-02"},
		{"Australia/Lord_Howe", "2026-10-03T16:59:59Z", "2026-10-03"}, // half an hour on that night
		{"Australia/Lord_Howe", "2026-10-03T17:00:00Z", "2026-10-04"},
		{"Pacific/Apia", "2011-12-30T09:59:59Z", "2011-12-29"}, // the day after the 29th was the 31st
		{"Pacific/Apia", "2011-12-30T14:00:00Z", "2011-12-31"},
	} {
		loc, err := time.LoadLocation(tt.zone)
		if err != nil {
			t.Skipf("no time zones here: %v", err)
		}
		at, err := time.Parse(time.RFC3339, tt.at)
		if err != nil {
			t.Fatal(err)
		}
		if got := DayOf(at, loc).String(); got != tt.want {
			t.Errorf("%s %s: day %s, want %s", tt.zone, at.In(loc), got, tt.want)
		}
	}
}

// Flown west over midnight, a player meets the same day again: what he answered
// is neither lost nor learned as a day's rest.
func TestADayMetAgainAfterAFlightIsOneDay(t *testing.T) {
	west, p := time.FixedZone("west", -10*3600), newPlanner(t, board(30), Options{})
	at := morning
	p.Learn(Answer{Item: "item/1", At: at, Right: true, Thinking: time.Second})
	before, _ := p.State("item/1")
	p.Learn(Answer{Item: "item/1", At: at, Right: true, Thinking: time.Second, Day: DayOf(at, west)})
	after, _ := p.State("item/1")
	if DayOf(at, west) != before.Day-1 {
		t.Fatalf("the test itself is wrong: %v and %v", DayOf(at, west), before.Day)
	}
	if after.Asked != 2 || after.Practice != before.Practice+sameDay {
		t.Errorf("before the flight %+v, after it %+v", before, after)
	}
}

func TestADayStartsWhereItIsCountedFrom(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Skipf("no time zones here: %v", err)
	}
	rapid.Check(t, func(t *rapid.T) {
		d := Day(rapid.IntRange(-20000, 40000).Draw(t, "day"))
		start := d.Start(loc)
		if DayOf(start, loc) != d || DayOf(start.Add(-time.Second), loc) != d-1 {
			t.Fatalf("day %v starts at %v", d, start)
		}
	})
}

// A clock that is set back, a year ahead or anywhere else corrupts nothing.
func TestAnyClockLeavesTheStateSound(t *testing.T) {
	items := board(20)
	rapid.Check(t, func(t *rapid.T) {
		p, err := NewPlanner(items, Options{})
		if err != nil {
			t.Fatal(err)
		}
		now := morning
		for range rapid.IntRange(1, 80).Draw(t, "answers") {
			hours := rapid.OneOf(rapid.IntRange(-3, 30), rapid.IntRange(-9000, 9000)).Draw(t, "hours")
			now = now.Add(time.Duration(hours) * time.Hour)
			thinking := time.Duration(rapid.OneOf(rapid.Int64Range(0, 1e10), rapid.Int64Range(0, math.MaxInt64)).Draw(t, "thinking"))
			id := rapid.SampledFrom(items).Draw(t, "item").ID
			was, _ := p.State(id)
			p.Learn(Answer{Item: id, At: now, Right: rapid.Bool().Draw(t, "right"), Thinking: thinking})
			s, _ := p.State(id)
			if s.Asked != was.Asked+1 {
				t.Fatalf("asked %d times after %d", s.Asked, was.Asked)
			}
			for name, x := range map[string]float64{"offset": s.Offset, "practice": s.Practice, "since": s.Since} {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("%s is %v", name, x)
				}
			}
			if f := p.Fluency(id, now); !(f >= 0 && f <= 1) {
				t.Fatalf("fluency %v", f)
			}
			p.Next(now, 10*time.Minute)
		}
	})
}

func TestAClockAYearAheadIsForgottenWhenItIsBack(t *testing.T) {
	right, wrong := newPlanner(t, board(100), Options{}), newPlanner(t, board(100), Options{})
	for day := range 20 {
		at := morning.AddDate(0, 0, day)
		off := at
		if day == 19 {
			off = at.AddDate(1, 0, 0)
		}
		for i := range 60 {
			r := Answer{Item: board(100)[(i+day*37)%100].ID, At: at, Right: true, Thinking: time.Second}
			right.Learn(r)
			r.At = off
			wrong.Learn(r)
		}
	}
	at := morning.AddDate(0, 0, 20)
	for _, p := range []*Planner{right, wrong} {
		p.Learn(Answer{Item: "item/0", At: at, Right: true, Thinking: time.Second})
	}
	for _, it := range board(100) {
		a, b := right.Fluency(it.ID, at), wrong.Fluency(it.ID, at)
		s, _ := wrong.State(it.ID)
		if math.Abs(a-b) > 0.15 || s.Day > DayOf(at, nil) {
			t.Errorf("%s: fluency %.2f, and %.2f after a day a year ahead (last day %v)", it.ID, a, b, s.Day)
		}
	}
	if asked := sit(wrong, at, 5*time.Minute, always); len(asked) < 50 {
		t.Errorf("%d answers in five minutes after the clock was back", len(asked))
	}
}

func TestTravelDoesNotChangeWhatWasLogged(t *testing.T) {
	home, away := time.FixedZone("home", 2*3600), time.FixedZone("away", -10*3600)
	a, b := newPlanner(t, board(30), Options{Location: home}), newPlanner(t, board(30), Options{Location: away})
	for _, r := range history(board(30), 300, 20, 5) {
		r.Day = DayOf(r.At, home) // as the log has it
		a.Learn(r)
		b.Learn(r)
	}
	x, _ := a.MarshalBinary()
	y, _ := b.MarshalBinary()
	if string(x) != string(y) {
		t.Error("replay in another zone gives another state")
	}
}
