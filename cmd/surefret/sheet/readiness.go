package sheet

import (
	"fmt"
	"math"
	"time"

	"surefret/scheduler"
)

// Readiness is the predicted share of items that will be fluent on the day.
type Readiness struct {
	Share   float64 `json:"share"` // 0 to 1, with the practice planned
	Low     float64 `json:"low"`   // nine times in ten it lies between
	High    float64 `json:"high"`
	Now     float64 `json:"now"`
	Minutes float64 `json:"minutes_a_day,omitempty"` // of the whole gig: what it takes for nine in ten
	Days    int     `json:"days"`                    // practice days left, today counted
	Thin    bool    `json:"-"`                       // see [scheduler.Readiness.Thin]

	enough bool // the minutes a day that are set will do
	beyond bool // not even the most minutes will
	day    time.Time
}

// ReadinessOf is what is shown of a prediction for the day of a gig, nil where
// there is nothing to say: the day is past, or nothing is needed.
func ReadinessOf(r scheduler.Readiness, day time.Time) *Readiness {
	if r.Days == 0 || r.Items == 0 {
		return nil
	}
	return &Readiness{Share: r.Share, Low: r.Low, High: r.High, Now: r.Now, Minutes: r.Need.Minutes(), Days: r.Days,
		enough: r.Enough, beyond: r.Limit, day: day, Thin: r.Thin()}
}

// short tells the readiness alone.
func (r *Readiness) short() string {
	if r.Thin {
		return "Not enough answers yet to say how ready you will be."
	}
	return fmt.Sprintf("Ready on the day: %.0f %%, likely %.0f to %.0f; now %.0f %%.", 100*r.Share, 100*r.Low, 100*r.High, 100*r.Now)
}

// say tells the readiness, and what it takes where the minutes planned are too
// few: "12 minutes a day until Saturday".
func (r *Readiness) say() string {
	text := r.short()
	switch {
	case r.enough, r.Thin:
	case r.beyond:
		text += fmt.Sprintf(" 90 %% is out of reach %s: ask for keys you know, or play fewer songs.", r.until())
	default:
		text += fmt.Sprintf(" To reach 90 %%: %.0f minutes %s%s.", math.Ceil(r.Minutes), r.aDay(), r.until())
	}
	return text
}

// until says how long there is: "until Saturday", "until 19 December", "today".
func (r *Readiness) until() string {
	switch {
	case r.Days <= 1:
		return "today"
	case r.Days <= 7:
		return "until " + r.day.Format("Monday")
	}
	return "until " + r.day.Format("2 January")
}

// aDay turns minutes into a habit, where there is more than one day.
func (r *Readiness) aDay() string {
	if r.Days <= 1 {
		return ""
	}
	return "a day "
}
