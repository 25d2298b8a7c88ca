package scheduler

import (
	"fmt"
	"time"
)

// dayStart is the hour, on the player's own clock, at which a practice day
// begins: an answer at one in the morning belongs to the evening before.
const dayStart = 4

// A Day is a practice day: the number of days since 1 January 1970 of the
// calendar date on which it began at [dayStart]. Days subtract to whole nights.
type Day int32

// DayOf returns the practice day of t in loc; a nil loc means UTC. It reads
// the wall clock, so a day of 23 or 25 hours still begins at four.
func DayOf(t time.Time, loc *time.Location) Day {
	if loc == nil {
		loc = time.UTC
	}
	_, offset := t.In(loc).Zone()
	wall := t.Unix() + int64(offset) - dayStart*3600
	d := wall / 86400
	if wall%86400 < 0 {
		d--
	}
	return Day(d)
}

// Start returns the instant at which d begins in loc; a nil loc means UTC.
func (d Day) Start(loc *time.Location) time.Time {
	if loc == nil {
		loc = time.UTC
	}
	return time.Date(1970, time.January, 1+int(d), dayStart, 0, 0, 0, loc)
}

// String returns the calendar date on which d began, as 2006-01-02.
func (d Day) String() string {
	return time.Unix(int64(d)*86400, 0).UTC().Format(time.DateOnly)
}

// ParseDay reads what [Day.String] writes.
func ParseDay(date string) (Day, error) {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return 0, fmt.Errorf("%q is not a day: use year, month and day, like 2026-12-05", date)
	}
	return Day(t.Unix() / 86400), nil
}
