package gig

import (
	"strings"
	"testing"

	"surefret/drills"
	"surefret/drills/fretboard"
)

// tinUmbrella is a song of the Saltmarsh Five.
func tinUmbrella() Song {
	return Song{
		Title: "Tin Umbrella", Learned: "D", Called: "Bb", Tempo: 96,
		Sections: []Section{{"verse", "1 5 6- 4"}, {"chorus", "G A D D"}},
		Shapes:   []string{"tenth-6-major", "e-form-minor"},
	}
}

func catalogue() *drills.Catalogue {
	return drills.NewCatalogue(drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}})
}

func TestASongIsMovedToTheCalledKey(t *testing.T) {
	n, err := tinUmbrella().Need()
	if err != nil {
		t.Fatal(err)
	}
	// Common practice, no source: D to B flat moves every chord up a minor sixth.
	if got, want := n.Chords.String(), "Bb F Gm Eb Eb F Bb Bb"; got != want {
		t.Errorf("chords %s, want %s", got, want)
	}
}

func TestItemsAreWhatTheSongUses(t *testing.T) {
	items, err := tinUmbrella().Items(catalogue())
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]bool{}
	for _, it := range items {
		got[it.ID] = true
	}
	for _, id := range []string{
		"note/E2+6/name", "note/E2+6/find", "note/A2+1/name", // B flat
		"note/E2+11/name", // E flat
		"key/Bb major/signature", "key/Bb major/4", "key/Bb major/6-", "key/Bb major/5",
		"shape/tenth-6-major@E2-G3/place",
		"walkup/5-1/up@E2-A2-D3",
	} {
		if !got[id] {
			t.Errorf("%s is not among the items", id)
		}
	}
	for _, id := range []string{"note/E2+10/name", "note/D3+0/name", "key/D major/4", "shape/tenth-6-minor@E2-G3/place"} {
		if got[id] {
			t.Errorf("%s is among the items", id)
		}
	}
}

func TestItemsOfAGigAreThereOnce(t *testing.T) {
	again := tinUmbrella()
	again.Title = "Ropewalk"
	g := Gig{Name: "Harbour Fair", Day: "2026-12-05", Songs: []Song{tinUmbrella(), again}}
	items, err := g.Items(catalogue())
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, it := range items {
		if seen[it.ID] {
			t.Errorf("%s is there twice", it.ID)
		}
		seen[it.ID] = true
	}
}

func TestCheckNamesTheFault(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(*Gig)
		want  string
	}{
		{"good", func(*Gig) {}, ""},
		{"no name", func(g *Gig) { g.Name = " " }, "the name of the gig is empty"},
		{"bad day", func(g *Gig) { g.Day = "next Friday" }, `"next Friday" is not a day: expected year, month and day, like 2026-12-05`},
		{"no such day", func(g *Gig) { g.Day = "2026-02-30" }, "is not a day"},
		{"unknown key", func(g *Gig) { g.Songs[0].Called = "H" }, `song "Tin Umbrella": "H" is not a key`},
		{"key without signature", func(g *Gig) { g.Songs[0].Called = "G#" }, "Ab"},
		{"minor for major", func(g *Gig) { g.Songs[0].Called = "Bbm" }, "not from major to minor"},
		{"no progression", func(g *Gig) { g.Songs[0].Sections = nil }, "it has no chords"},
		{"empty progression", func(g *Gig) { g.Songs[0].Sections[0].Chords = " " }, "holds no chord"},
		{"bad chord", func(g *Gig) { g.Songs[0].Sections[0].Chords = "1 5 Hm" }, `section "verse"`},
		{"unknown shape", func(g *Gig) { g.Songs[0].Shapes = []string{"tenth-6-majr"} }, "tenth-6-major"},
		{"control character", func(g *Gig) { g.Songs[0].Title = "Tin\x1b[2JUmbrella" }, "control character"},
		{"too long", func(g *Gig) { g.Name = strings.Repeat("x", 300) }, "too long"},
		{"too fast", func(g *Gig) { g.Songs[0].Tempo = 1000 }, "20 to 400"},
		{"same title", func(g *Gig) { g.Songs = append(g.Songs, g.Songs[0]) }, "there twice"},
		{"too many songs", func(g *Gig) { g.Songs = make([]Song, MostSongs+1) }, "too many"},
	} {
		g := Gig{Name: "Harbour Fair", Day: "2026-12-05", Songs: []Song{tinUmbrella()}}
		c.spoil(&g)
		err := g.Check()
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		case err != nil && strings.Contains(err.Error(), "\n"):
			t.Errorf("%s: more than one line: %v", c.name, err)
		}
	}
}
