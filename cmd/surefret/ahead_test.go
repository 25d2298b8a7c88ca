package main

import (
	"fmt"
	"math"
	"testing"
	"time"

	"surefret/drills"
	"surefret/scheduler"
)

// Thirty days of the same answers, on the twelfth of which the clock of one of two
// players was a year ahead: both know the same, and look back on the same days.
func TestAClockAYearAheadChangesNothingOnceItIsRight(t *testing.T) {
	open := func(ahead int) *player {
		pl, err := homeOf(t, "2026-12-01").openPlayer(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { pl.db.Close() })
		items := pl.catalogue.Items()[:60]
		err = pl.db.AppendAll(t.Context(), func(yield func(drills.Answer) bool) {
			for d := range 30 {
				for n := range 40 {
					at := time.Date(2026, 11, 1+d, 18, 0, 8*n, 0, time.UTC)
					if d == 12 {
						at = at.AddDate(0, 0, ahead)
					}
					it := items[(n+d*23)%len(items)]
					if !yield(drills.Answer{ID: pl.db.NewID(at), Device: "stage box", At: at, Day: scheduler.DayOf(at, time.Local).String(), Item: it.ID, Question: "?", Given: "A", Want: "A",
						Right: (n+d)%9 > 0, Thinking: time.Duration(800+(n*d*131)%3500) * time.Millisecond, Entry: drills.EntryKeys}) {
						return
					}
				}
			}
		})
		if err != nil {
			t.Fatal(err)
		}
		if err := pl.relearn(t.Context()); err != nil {
			t.Fatal(err)
		}
		return pl
	}
	right, wrong := open(0), open(365)
	if right.isAhead() || !wrong.isAhead() {
		t.Errorf("ahead: %v and %v", right.isAhead(), wrong.isAhead())
	}
	off := 0.0
	for _, it := range right.catalogue.Items()[:60] {
		off += math.Abs(right.planner.Fluency(it.ID, right.now())-wrong.planner.Fluency(it.ID, wrong.now())) / 60
	}
	if off > 0.01 {
		t.Errorf("fluency is %.3f off what it is with a clock that was right", off)
	}
	for what, look := range map[string]func(*player) any{
		"the last day":         func(pl *player) any { p, _ := pl.progress(t.Context(), ""); return p.Days[len(p.Days)-1].Day },
		"the days of practice": func(pl *player) any { p, _ := pl.progress(t.Context(), ""); return p.Recent },
	} {
		if a, b := look(right), look(wrong); a != b {
			t.Errorf("%s is %v, and %v with a clock that was right", what, b, a)
		}
	}
}

// Each device has ids of its own; rows of a day to come go where the next of their
// device is, or to now where there is none.
func TestRowsToComeAreDatedByTheirDevice(t *testing.T) {
	now := time.Date(2026, 12, 1, 12, 0, 0, 0, time.UTC)
	at := func(days int) time.Time { return now.AddDate(0, 0, days) }
	rows := []drills.Answer{
		{ID: "a1", Device: "a", At: at(-9)}, {ID: "a2", Device: "a", At: at(300)}, {ID: "a3", Device: "a", At: at(-7)},
		{ID: "b1", Device: "b", At: at(-8)}, {ID: "b2", Device: "b", At: at(300)},
		{ID: "c1", Device: "c", At: at(0).Add(20 * time.Hour)}, // a flight, no fault
	}
	redate(rows, now)
	var got []string
	for _, r := range rows {
		got = append(got, fmt.Sprint(r.ID, " ", int(r.At.Sub(now)/(24*time.Hour))))
	}
	if want := "[a1 -9 b1 -8 a2 -7 a3 -7 b2 0 c1 0]"; fmt.Sprint(got) != want {
		t.Errorf("%v, want %s", got, want)
	}
}
