package main

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/demo"
	"surefret/cmd/surefret/sheet"
	"surefret/cmd/surefret/spoken"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/scheduler"
)

// crowded is a song with more on its page than any of the demo's.
func crowded() gig.Song {
	return gig.Song{
		Title: "The Whole Quay Was Singing Until the Ferry Came", Learned: "D", Called: "F#", Tempo: 120,
		Sections: []gig.Section{
			{Name: "intro", Chords: "1 4 1 5"}, {Name: "verse", Chords: "1 5 6- 4 1 5 4 4 2- 5 1 1"},
			{Name: "bridge", Chords: "6- 3- 4 1 2- b7 5 5"}, {Name: "chorus", Chords: "4 5 1 6- 4 5 1 1"}, {Name: "end", Chords: "4 1 5 1"},
		},
		Shapes: []string{"tenth-6-major", "tenth-6-minor", "e-form-major", "a-form-minor"},
		Parts: []gig.Part{gig.NewPart("intro.txt", "e|-2---0-|\nB|---3---|\nG|-------|\nD|-0-----|\nA|-------|\nE|-------|"),
			gig.NewPart("solo.txt", "e|-15-22-|\nB|-------|\nG|-------|\nD|-0-----|\nA|-------|\nE|-------|")},
	}
}

// An anyPlayer plays a guitar in standard tuning, and is unsure of the same of each song.
type anyPlayer struct{}

func (anyPlayer) Setup() drills.Setup {
	return drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}}
}
func (anyPlayer) LeftHanded() bool { return false }
func (anyPlayer) Foretell(gig.Gig) (whole scheduler.Readiness, songs []scheduler.Readiness, day time.Time) {
	return whole, nil, day
}
func (anyPlayer) Holds(gig.Song) float64 { return 0 }
func (anyPlayer) Weakest(gig.Song, int) (share float64, weak []string) {
	return 0.5, []string{"finding F# on string 5", "the walk-up from the 5 to the 1", "4 flats, naming the key"}
}

// fairPage is the page of the demo's first gig, and a crowded song.
func fairPage(t *testing.T) sheet.Page {
	t.Helper()
	page := sheet.Page{Name: "Harbour Fair", Day: "2026-12-05", Note: "Bring the capo.",
		Readiness: sheet.ReadinessOf(scheduler.Readiness{Share: 0.74, Low: 0.66, High: 0.81, Need: 12 * time.Minute, Days: 4, Items: 9, Met: 9}, noon(t, "2026-12-05"))}
	// Songs of every size of type, up to the brim of each.
	half, most, brim := crowded(), crowded(), crowded()
	half.Title, half.Sections, half.Shapes, half.Parts = "Half the Quay", half.Sections[:2], half.Shapes[:2], nil
	most.Title, most.Sections, most.Shapes, most.Parts = "Most of the Quay", most.Sections[:3], most.Shapes[:3], nil
	brim.Title, brim.Shapes = "Quay and Harbour", append(brim.Shapes, "tenth-5-major", "tenth-5-minor", "a-form-major", "e-form-minor")
	short := gig.Song{Title: "Slipway", Learned: "C", Called: "C", Sections: []gig.Section{{Chords: "1"}}}
	shorter := short
	shorter.Title = "Bollard"
	split := gig.Song{Title: "Long Chords", Learned: "C", Called: "F#", Sections: []gig.Section{
		{Name: "verse", Chords: "|: 1maj7 6-7 | 2-7 57 | % | 4/6 5sus4/7 :|"}, {Name: "chorus", Chords: "1 . . 4/6 | 3-7b5 67 2-7 57 | 1 5/7 6- 1/5 4 1/3 2- 5"}, {Name: "end", Chords: "1 | 4 | 1 5 | 1"}}}
	for _, s := range append(demo.Gigs(0)[0].Songs, half, most, crowded(), brim, short, shorter, split) {
		song, err := sheet.SongOf(anyPlayer{}, s)
		if err != nil {
			t.Fatal(err)
		}
		song.Readiness = page.Readiness
		page.Songs = append(page.Songs, song)
	}
	return page
}

func TestThePageIsOneFileWithoutATag(t *testing.T) {
	page := fairPage(t)
	page.Songs[0].Title = `<script>alert("x")</script>`
	var b bytes.Buffer
	if err := page.HTML(&b); err != nil {
		t.Fatal(err)
	}
	for _, bad := range []string{"<script", "http:", "https:", "src=", "url(", "@import", "<link", "ZgotmplZ"} {
		if strings.Contains(b.String(), bad) {
			t.Errorf("the page holds %s", bad)
		}
	}
	if n := strings.Count(b.String(), "<h1"); n != 1 {
		t.Errorf("%d headings of the first order", n)
	}
}

func noon(t *testing.T, day string) time.Time {
	t.Helper()
	at, err := gig.ParseDay(day)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

func TestAGigIsReadInFullSentences(t *testing.T) {
	said := fairPage(t).Sentences(spoken.Speller{})
	for i, l := range said {
		if !strings.HasSuffix(l, ".") || strings.ContainsAny(l, "|#%()") && !strings.Contains(l, "F# on") {
			t.Errorf("line %d is no plain sentence: %s", i+1, l)
		}
	}
	if !slices.Contains(said, "Song 1 of 10 is Tin Umbrella, in B flat major.") {
		t.Error("the first song is not said")
	}
}
