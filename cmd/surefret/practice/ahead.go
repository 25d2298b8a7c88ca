package practice

import (
	"cmp"
	"iter"
	"slices"
	"time"

	"surefret/drills"
	"surefret/scheduler"
)

// A clock that was ahead leaves rows of a day that has not come yet. The log keeps
// them as they were written, and its order puts them last until that day. What is
// learned and counted takes them where they came: ids of one device rise whatever
// its clock does.

// aheadBy is how far a row may be ahead of the clock, for travel and clocks that are
// not quite right.
const aheadBy = 24 * time.Hour

// ahead reports whether the newest row of the log is of a day to come.
func (p *Player) ahead() bool { return p.newest.After(p.Now().Add(aheadBy)) }

// inTime yields the rows of a log in canonical order, those of a day to come at the
// instant and day of the next row of their device that is not, or of now.
func (p *Player) inTime(rows iter.Seq2[drills.Answer, error]) iter.Seq2[drills.Answer, error] {
	if !p.ahead() {
		return rows
	}
	return func(yield func(drills.Answer, error) bool) {
		var all []drills.Answer
		for r, err := range rows {
			if err != nil {
				yield(r, err)
				return
			}
			all = append(all, r)
		}
		redate(all, p.Now())
		for _, r := range all {
			if !yield(r, nil) {
				return
			}
		}
	}
}

// redate gives rows of a day to come their place, and sorts them by it.
func redate(rows []drills.Answer, now time.Time) {
	slices.SortFunc(rows, func(a, b drills.Answer) int {
		return cmp.Or(cmp.Compare(a.Device, b.Device), cmp.Compare(a.ID, b.ID))
	})
	at, day, device := time.Time{}, "", ""
	for i := len(rows) - 1; i >= 0; i-- {
		r := &rows[i]
		if at.IsZero() || r.Device != device {
			at, day, device = now, scheduler.DayOf(now, time.Local).String(), r.Device
		}
		if r.At.After(now.Add(aheadBy)) {
			r.At, r.Day = at, day
		} else {
			at, day = r.At, r.Day
		}
	}
	slices.SortStableFunc(rows, func(a, b drills.Answer) int { return a.At.Compare(b.At) })
}
