package store_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"surefret/drills/gig"
	"surefret/store"
)

// harbourFair is a gig that two computers have, each to change in its own way.
func harbourFair() gig.Gig {
	song := func(title, learned string) gig.Song {
		return gig.Song{Title: title, Learned: learned, Called: learned, Sections: []gig.Section{{Chords: "1 4 5"}}}
	}
	return gig.Gig{ID: "fair", Name: "Harbour Fair", Day: "2026-12-05",
		Songs: []gig.Song{song("Tin Umbrella", "D"), song("Ropewalk", "G"), song("Low Tide Shuffle", "E")}}
}

// put saves a gig, or removes it where the test took its id.
func put(t *testing.T, db *store.DB, g gig.Gig) {
	t.Helper()
	err := error(nil)
	if g.ID == "" {
		err = db.RemoveGig(t.Context(), "fair")
	} else {
		err = db.PutGig(t.Context(), g)
	}
	must(t, err)
}

// What two computers change of one gig is merged by field and by song: the later
// change of each counts, in both, and the other one is told in words by the computer
// that merges first. What there does is done later.
func TestAGigOfTwoComputersIsMergedByFieldAndBySong(t *testing.T) {
	type change func(*gig.Gig)
	remove := func(g *gig.Gig) { g.ID = "" } // for the test alone
	for _, c := range []struct {
		name        string
		here, there change
		want        change
		told        []string // what, kept, lost
	}{
		{"fields", func(g *gig.Gig) { g.Note = "by the fish market" }, func(g *gig.Gig) { g.Day = "2026-12-06" },
			func(g *gig.Gig) { g.Note, g.Day = "by the fish market", "2026-12-06" }, nil},
		{"one field", func(g *gig.Gig) { g.Day = "2026-12-07" }, func(g *gig.Gig) { g.Day = "2026-12-06" },
			func(g *gig.Gig) { g.Day = "2026-12-06" }, []string{`the day of "Harbour Fair"`, "2026-12-06", "2026-12-07"}},
		{"a note of lines", func(g *gig.Gig) { g.Note = "hot\nand \"loud\"" }, func(g *gig.Gig) { g.Note = "cold" },
			func(g *gig.Gig) { g.Note = "cold" }, []string{`the note of "Harbour Fair"`, `"cold"`, `"hot and \"loud\""`}},
		{"two songs", func(g *gig.Gig) { g.Songs[0].Tempo = 96 }, func(g *gig.Gig) { g.Songs[1].Tempo = 72 },
			func(g *gig.Gig) { g.Songs[0].Tempo, g.Songs[1].Tempo = 96, 72 }, nil},
		{"a song, and how it is called", func(g *gig.Gig) { g.Songs[0].Tempo = 96 }, func(g *gig.Gig) { g.Songs[0].Called = "Bb" },
			func(g *gig.Gig) { g.Songs[0].Tempo, g.Songs[0].Called = 96, "Bb" }, nil},
		{"one song", func(g *gig.Gig) { g.Songs[0].Tempo = 96 }, func(g *gig.Gig) { g.Songs[0].Sections[0].Chords = "1 5" },
			func(g *gig.Gig) { g.Songs[0].Sections = []gig.Section{{Chords: "1 5"}} },
			[]string{`the song "Tin Umbrella" of "Harbour Fair"`, "1 5", "1 4 5; tempo 96"}},
		{"a song renamed, and changed", func(g *gig.Gig) { g.Songs[0].Title = "Copper Umbrella" }, func(g *gig.Gig) { g.Songs[0].Tempo = 96 },
			func(g *gig.Gig) { g.Songs[0].Tempo = 96 },
			[]string{`the song "Tin Umbrella" of "Harbour Fair"`, "tempo 96; the title Tin Umbrella", "the title Copper Umbrella"}},
		{"a song changed, and renamed", func(g *gig.Gig) { g.Songs[0].Called = "A" }, func(g *gig.Gig) { g.Songs[0].Title = "Copper Umbrella" },
			func(g *gig.Gig) { g.Songs[0].Title, g.Songs[0].Called = "Copper Umbrella", "A" }, nil},
		{"a song renamed, and one of its new title", func(g *gig.Gig) { g.Songs[0].Title = "Kelp" }, func(g *gig.Gig) {
			g.Songs = append(g.Songs, gig.Song{Title: "Kelp", Learned: "C", Called: "C", Sections: g.Songs[0].Sections})
		},
			func(g *gig.Gig) {
				g.Songs[0].Title = "Kelp"
				g.Songs = append(g.Songs, gig.Song{Title: "Kelp'", Learned: "C", Called: "C", Sections: g.Songs[0].Sections})
			}, nil},
		{"a song renamed, and another with its old title", func(g *gig.Gig) {
			g.Songs[0].Title = "Kelp"
			g.Songs = append(g.Songs, gig.Song{Title: "Tin Umbrella", Learned: "C", Called: "C", Sections: g.Songs[0].Sections})
		}, func(g *gig.Gig) { g.Songs[0].Tempo = 96 },
			func(g *gig.Gig) {
				g.Songs[0].Tempo = 96
				g.Songs = append(g.Songs, gig.Song{Title: "Tin Umbrella'", Learned: "C", Called: "C", Sections: g.Songs[0].Sections})
			}, []string{`the song "Tin Umbrella" of "Harbour Fair"`, "tempo 96; the title Tin Umbrella", "the title Kelp"}},
		{"one call", func(g *gig.Gig) { g.Songs[1].Called, g.Songs[1].Shaky = "A", true }, func(g *gig.Gig) { g.Songs[1].Called = "Bb" },
			func(g *gig.Gig) { g.Songs[1].Called = "Bb" }, []string{`how "Ropewalk" is called at "Harbour Fair"`, "Bb", "A, shaky"}},
		{"a song more on each", func(g *gig.Gig) {
			g.Songs = append(g.Songs, gig.Song{Title: "Lantern", Learned: "A", Called: "A", Sections: g.Songs[0].Sections})
		}, func(g *gig.Gig) {
			g.Songs = append(g.Songs, gig.Song{Title: "Kelp", Learned: "C", Called: "C", Sections: g.Songs[0].Sections})
		},
			func(g *gig.Gig) {
				g.Songs = append(g.Songs, gig.Song{Title: "Kelp", Learned: "C", Called: "C", Sections: g.Songs[0].Sections},
					gig.Song{Title: "Lantern", Learned: "A", Called: "A", Sections: g.Songs[0].Sections})
			}, nil},
		{"a song taken out, and changed", func(g *gig.Gig) { g.Songs = g.Songs[:2] }, func(g *gig.Gig) { g.Songs[2].Tempo = 60 },
			func(g *gig.Gig) { g.Songs[2].Tempo = 60 },
			[]string{`the song "Low Tide Shuffle" of "Harbour Fair"`, "the song as it was changed", "taken out of the gig"}},
		{"the order", func(g *gig.Gig) { g.Songs[0], g.Songs[1] = g.Songs[1], g.Songs[0] }, func(g *gig.Gig) { g.Songs[1], g.Songs[2] = g.Songs[2], g.Songs[1] },
			func(g *gig.Gig) { g.Songs[1], g.Songs[2] = g.Songs[2], g.Songs[1] },
			[]string{`the order of the songs of "Harbour Fair"`, "Tin Umbrella, Low Tide Shuffle, Ropewalk", "Ropewalk, Tin Umbrella, Low Tide Shuffle"}},
		{"removed, then changed", remove, func(g *gig.Gig) { g.Note = "wet" }, func(g *gig.Gig) { g.Note = "wet" },
			[]string{`the gig "Harbour Fair"`, "what it is now", "its removal"}},
		{"changed, then removed", func(g *gig.Gig) { g.Note = "wet" }, remove, remove,
			[]string{`the gig "Harbour Fair"`, "its removal", "what it is now"}},
		{"both the same", func(g *gig.Gig) { g.Day = "2026-12-06" }, func(g *gig.Gig) { g.Day = "2026-12-06" },
			func(g *gig.Gig) { g.Day = "2026-12-06" }, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			here, there := newLog(t), newLog(t)
			must(t, here.PutGig(t.Context(), harbourFair()))
			merge(t, there, here.Path())
			read := func(db *store.DB) gig.Gig {
				gigs, err := db.Gigs(t.Context())
				must(t, err)
				return gigs[0]
			}
			g, h := read(here), read(there) // as whoever changes it does
			c.here(&g)
			c.there(&h)
			here.Now = func() time.Time { return morning.Add(time.Hour) }
			there.Now = func() time.Time { return morning.Add(2 * time.Hour) }
			put(t, here, g)
			put(t, there, h)
			m := merge(t, here, there.Path())
			if again := merge(t, there, here.Path()); len(again.Lost) > 0 {
				t.Errorf("told again: %+v", again.Lost)
			}
			if diff := cmp.Diff(export(t, here), export(t, there)); diff != "" {
				t.Errorf("the two differ: %s", diff)
			}
			var told []string
			for _, l := range m.Lost {
				told = append(told, l.What, l.Kept, l.Lost)
				if !l.Here || !l.At.Equal(morning.Add(time.Hour)) {
					t.Errorf("%+v was made here an hour after", l)
				}
			}
			if diff := cmp.Diff(c.told, told); diff != "" {
				t.Errorf("told: %s", diff)
			}
			want := harbourFair()
			c.want(&want)
			gigs, err := here.Gigs(t.Context())
			if want.ID == "" {
				if len(gigs) > 0 || err != nil {
					t.Errorf("it is there: %+v, %v", gigs, err)
				}
			} else if diff := cmp.Diff([]gig.Gig{want}, gigs, cmpopts.IgnoreFields(gig.Song{}, "ID")); diff != "" || err != nil {
				t.Error(diff, err)
			}
		})
	}
}

// A song that comes from a book has no id: it is the one of its title. Two of one id,
// as where a song was copied, are two songs.
func TestASongWithoutAnIDIsTheOneOfItsTitle(t *testing.T) {
	db := newLog(t)
	g := harbourFair()
	put(t, db, g)
	for i, change := range []func(*gig.Song){
		func(s *gig.Song) { s.ID, s.Title = "tin umbrella", "Copper Umbrella" },
		func(s *gig.Song) { s.ID, s.Title = "", "copper umbrella" },
		func(s *gig.Song) { s.ID = "ropewalk" },
	} {
		change(&g.Songs[0])
		put(t, db, g)
		gigs, err := db.Gigs(t.Context())
		if want := []string{"tin umbrella", "tin umbrella", "ropewalk"}[i]; err != nil || gigs[0].Songs[0].ID != want || len(gigs[0].Songs) != 3 {
			t.Errorf("%d: %+v, %v", i, gigs, err)
		}
	}
}
