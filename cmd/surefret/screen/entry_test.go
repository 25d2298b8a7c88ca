package screen

import (
	"testing"
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// Places are typed as fast as a hand goes, with slashes or without, and what ends
// one loses none. A pause, "~", is the grace time going by.
func TestPlacesAreTypedWithoutLosingAny(t *testing.T) {
	guitar := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	path := drills.Question{Expect: drills.ExpectPath, Count: 4}
	set := drills.Question{Expect: drills.ExpectPlaces, Count: 2}
	named := drills.Question{Expect: drills.ExpectPlaces, Count: 2, On: []int{6, 4}}
	for _, c := range []struct {
		q          drills.Question
		keys, want string
	}{
		{path, "6/3 5/0 5/2 5/3", "6/3 5/0 5/2 5/3"},
		{path, "63505253", "6/3 5/0 5/2 5/3"},
		{path, "62646566", "6/2 6/4 6/5 6/6"},         // there is no fret 26
		{path, "61~63~50~51~", "6/1 6/3 5/0 5/1"},     // a pause ends the 1
		{path, "61 63 50 51 ", "6/1 6/3 5/0 5/1"},     // and so does a space,
		{path, "61,63,50,51,", "6/1 6/3 5/0 5/1"},     // a comma,
		{path, "61\n63\n50\n51\n", "6/1 6/3 5/0 5/1"}, // and Enter
		{path, "61~ 63~ 50~ 51", "6/1 6/3 5/0 5/1"},   // a space too late changes nothing
		{path, "62\n64", "6/2 6/4"},                   // Enter is no end before the fourth
		{path, "612 614 512 514", "6/12 6/14 5/12 5/14"},
		{set, "6/3 3/4", "6/3 3/4"},
		{set, "6334", "6/3 3/4"},
		{set, "60 00", "6/0"},
		{set, "612514", "6/12 5/14"},
		{named, "35", "6/3 4/5"},
		{named, "12 14", "6/12 4/14"},
		{named, "1 3", "6/1 4/3"},
		{named, "4/5 6/3", "4/5 6/3"},
		{named, "6/3 4/5", "6/3 4/5"},
		{named, "1~3", "6/1 4/3"},
		{named, "6~/3 4/5", "6/3 4/5"}, // slow fingers: it named a string after all
	} {
		e := newEntry(c.q, guitar, theory.English)
		now := time.Time{}.Add(time.Hour)
		var last step
		for _, r := range c.keys {
			now = now.Add(30 * time.Millisecond)
			switch r {
			case '~':
				last = e.grace()
			case '\n':
				last = e.enter()
			default:
				last = e.rune(r, now)
			}
			if last == commit {
				break
			}
		}
		if last == waiting {
			e.grace()
		}
		if got := e.answer(); got != c.want {
			t.Errorf("%q is taken as %q, want %q", c.keys, got, c.want)
		}
	}
}
