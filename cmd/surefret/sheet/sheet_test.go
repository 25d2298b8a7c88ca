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
		{Readiness{Share: 0.74, Minutes: 11.2, Days: 4}, "Nine in ten takes 12 minutes a day until Saturday."},
		{Readiness{Share: 0.74, Minutes: 11.2, Days: 20}, "Nine in ten takes 12 minutes a day until 5 December."},
		{Readiness{Share: 0.74, Minutes: 11.2, Days: 1}, "Nine in ten takes 12 minutes today."},
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

func TestWhatIsSpoken(t *testing.T) {
	for name, want := range map[string]string{
		"Bb": "B flat", "F#m": "F sharp minor", "Bbm7": "B flat minor 7", "Cmaj7": "C major 7", "D/F#": "D over F sharp",
		"6-": "6 minor", "b7": "flat 7", "5": "5", "Bb major": "B flat major", "Gsus4": "G suspended 4",
		"Breaks": "Breaks", "Best": "Best", "A": "A", "and": "and", "down": "down", "": "",
	} {
		if got := spoken(name); got != want {
			t.Errorf("%q is spoken %q, want %q", name, got, want)
		}
	}
	if got, want := aloud("Ready on the day: 69 %, likely 57 to 80."), "Ready on the day: 69 percent, likely 57 to 80."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
