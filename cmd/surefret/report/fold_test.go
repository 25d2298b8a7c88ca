package report

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestTextIsFoldedBetweenWords(t *testing.T) {
	for _, c := range []struct {
		first, rest, text string
		width             int
		want              []string
	}{
		{"", "", "", 10, []string{""}},
		{"", "", "one two  three", 7, []string{"one two", "three"}},
		{"", "", "one two", 6, []string{"one", "two"}},
		{"", "", "incomparable to all", 6, []string{"incomparable", "to all"}},
		{"", "", "ready 80 % now", 8, []string{"ready", "80 % now"}},
		{"", "", "ready 80 % now", 7, []string{"ready", "80 %", "now"}},
		{"", "", "type 'surefret song list' for all", 21, []string{"type", "'surefret song list'", "for all"}},
		{"", "", "type 'surefret song list' for all", 20, []string{"type 'surefret song", "list' for all"}},
		{"", "", "réglé doré", 10, []string{"réglé doré"}}, // columns count, not bytes
		{"", "", "調和 音", 6, []string{"調和", "音"}},           // two columns a sign
		{"  ", "    ", "one two three four", 9, []string{"  one two", "    three", "    four"}},
	} {
		if diff := cmp.Diff(c.want, Fold(c.first, c.rest, c.text, c.width)); diff != "" {
			t.Errorf("%q in %d columns:\n%s", c.text, c.width, diff)
		}
	}
}

// Minutes without an answer count for their day, also for one that had no answer at all.
func TestMinutesWithoutAnswersCount(t *testing.T) {
	days := []Day{{Day: "2026-11-20", Minutes: 4, Fluent: 7}, {Day: "2026-11-23", Minutes: 2, Fluent: 9}}
	got := withMinutes(days, map[string]float64{"2026-11-19": 1, "2026-11-20": 3, "2026-11-22": 5, "2026-11-24": 6})
	want := []Day{{Day: "2026-11-19", Minutes: 1}, {Day: "2026-11-20", Minutes: 7, Fluent: 7}, {Day: "2026-11-22", Minutes: 5, Fluent: 7}, {Day: "2026-11-23", Minutes: 2, Fluent: 9}, {Day: "2026-11-24", Minutes: 6, Fluent: 9}}
	if diff := cmp.Diff(want, got); diff != "" || days[0].Minutes != 4 {
		t.Error(diff, days)
	}
}
