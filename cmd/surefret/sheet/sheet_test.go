package sheet

import (
	"strings"
	"testing"
	"time"
)

func TestReadinessSaysWhatItTakes(t *testing.T) {
	day := time.Date(2026, 12, 5, 12, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		r    Readiness
		want string
	}{
		{Readiness{Share: 0.74, Minutes: 11.2, Days: 4}, "To reach 90 %: 12 minutes a day until Saturday."},
		{Readiness{Share: 0.74, Minutes: 11.2, Days: 20}, "To reach 90 %: 12 minutes a day until 5 December."},
		{Readiness{Share: 0.74, Minutes: 11.2, Days: 1}, "To reach 90 %: 12 minutes today."},
		{Readiness{Share: 0.95, Minutes: 8, Days: 4, enough: true}, ""},
		{Readiness{Share: 0.4, Minutes: 90, Days: 4, beyond: true}, "out of reach until Saturday"},
	} {
		c.r.day = day
		got := c.r.say()
		if c.want == "" && strings.Contains(got, "Nine") || !strings.Contains(got, c.want) {
			t.Errorf("%+v: %s; want %q", c.r, got, c.want)
		}
	}
}
