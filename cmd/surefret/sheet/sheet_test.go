package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/ink"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/tablature"
	"surefret/drills/gig"
	"surefret/drills/theory"
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

// The tablature of a walking line reads back as its notes, on the page and on the stand,
// however long the names of its chords and whatever the time.
func TestAWalkingLineReadsBackFromItsTablature(t *testing.T) {
	for _, tuning := range []fretboard.Tuning{fretboard.Bass, fretboard.FiveBass} {
		bass := fretboard.Fretboard{Tuning: tuning, Frets: 20}
		song := gig.Song{Title: "Ferry", Learned: "Eb", Called: "Eb", Sections: []gig.Section{
			{Name: "verse", Chords: "| Ebmaj7 | Ab7sus4 Bbmaj7 | r | Cm7 | Fm7 | Bb7 |"}, {Name: "waltz", Chords: "| (3/4) Ab | (6/8) Eb/G | Fm | Bb7 |"},
		}}
		page, err := songOn(song, bass, theory.Names{}, false)
		if err != nil {
			t.Fatal(err)
		}
		var html, text strings.Builder
		if err := (Page{Name: "Fair", Day: "2026-12-05", Songs: []Song{page}}).HTML(&html); err != nil {
			t.Fatal(err)
		}
		page.Text(&text, 80, ink.Look{})
		if len(page.Walking) != 2 || len(page.Walks) > 0 {
			t.Fatalf("%d sections are walked, and %d walk-ups", len(page.Walking), len(page.Walks))
		}
		for _, section := range page.Walking {
			var want, got []fretboard.Position
			var tab strings.Builder
			for _, bar := range section.Bars {
				for _, n := range bar.Notes {
					want = append(want, n.At)
				}
			}
			for _, sys := range page.walkedSystems(section) {
				for row := range sys.Bars[0] {
					line := ""
					for _, bar := range sys.Bars {
						line += bar[row]
						stand := strings.TrimSpace(bar[row]) // the names of the strings stand there once
						if label := strings.IndexByte(stand, '|'); row > 0 && label < 3 {
							stand = stand[label+1:]
						}
						if !strings.Contains(html.String(), stand) {
							t.Errorf("not on the stand: %q", stand)
						}
					}
					if !strings.Contains(text.String(), strings.TrimRight(line, " ")) {
						t.Errorf("not on the page: %q", line)
					}
					if row > 0 {
						fmt.Fprintln(&tab, line)
					}
				}
				fmt.Fprintln(&tab)
			}
			read, err := tablature.Parse(tab.String(), bass)
			if err != nil {
				t.Fatalf("%v:\n%s", err, tab.String())
			}
			for _, e := range read.Part().Events {
				got = append(got, e.Notes[0].Position)
			}
			if !slices.Equal(got, want) {
				t.Errorf("%s reads back as %v, want %v:\n%s", section.Name, got, want, tab.String())
			}
		}
	}
}
