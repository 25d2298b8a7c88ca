package store_test

import (
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"surefret/drills/gig"
	"surefret/store"
)

// What a terminal would take for a command does not get into the texts of a song that
// are one line; its chart keeps its lines.
func TestASongIsKeptWithCleanTexts(t *testing.T) {
	db, bad := newLog(t), "a\nb\x1b"
	song := gig.Song{Title: bad, Learned: "D", Sections: []gig.Section{{Name: bad, Chords: bad}}, Shapes: []string{bad}, Parts: []gig.Part{{Name: bad, Tab: "e|-3-|\n"}}, Chart: "1 4\n"}
	must(t, db.PutSongs(t.Context(), song))
	const clean = "a\ufffdb\ufffd"
	want := gig.Song{ID: clean, Title: clean, Learned: "D", Called: "D", Sections: []gig.Section{{Name: clean, Chords: clean}}, Shapes: []string{clean},
		Parts: []gig.Part{{Name: clean, Tab: "e|-3-|\n"}}, Chart: "1 4\n", Stored: true}
	songs, err := db.Songs(t.Context())
	if diff := cmp.Diff([]gig.Song{want}, songs); diff != "" || err != nil || song.Sections[0].Name != bad {
		t.Error(diff, err, song)
	}
}

// Two computers change one song of the repertoire: it is merged by field, and a gig that
// calls it has it so, in the key that it is called in there.
func TestASongOfTwoComputersIsMergedByField(t *testing.T) {
	here, there := newLog(t), newLog(t)
	song := gig.Song{Title: "Tin Umbrella", Learned: "D", Sections: []gig.Section{{Chords: "1 4 5"}}, Chart: "Key: D\n\n1 4 5\n"}
	must(t, here.PutSongs(t.Context(), song, song))
	songs := func(db *store.DB) []gig.Song {
		songs, err := db.Songs(t.Context())
		must(t, err)
		return songs
	}
	kept := songs(here)
	if len(kept) != 2 || kept[0].ID != "tin umbrella" || kept[1].ID != "tin umbrella'" || kept[0].Chart != song.Chart {
		t.Fatalf("two songs of one title are kept as %+v", kept)
	}
	called := kept[0]
	called.Called = "Bb"
	must(t, here.PutGig(t.Context(), gig.Gig{ID: "fair", Name: "Harbour Fair", Day: "2026-12-05", Songs: []gig.Song{called}}))
	merge(t, there, here.Path())
	a, b := songs(here)[0], songs(there)[0]
	a.Tempo, b.Title = 96, "Copper Umbrella"
	intro, outro := gig.Part{Name: "intro", Tab: "e|-0-|"}, gig.Part{Name: "outro", Tab: "e|-3-|"}
	a.Parts, b.Parts = []gig.Part{outro}, []gig.Part{intro}
	must(t, errors.Join(here.PutSongs(t.Context(), a), there.PutSongs(t.Context(), b)))
	lost := append(merge(t, there, here.Path()).Lost, merge(t, here, there.Path()).Lost...)
	if len(lost) > 0 {
		t.Errorf("nothing was lost, and it is told: %+v", lost)
	}
	want := kept[0]
	want.Title, want.Tempo, want.Parts = "Copper Umbrella", 96, []gig.Part{intro, outro}
	for _, db := range []*store.DB{here, there} {
		equal(t, want, songs(db)[0])
		gigs, err := db.Gigs(t.Context())
		must(t, err)
		inGig := want
		inGig.Called = "Bb"
		equal(t, []gig.Song{inGig}, gigs[0].Songs)
	}
	// Of one field the later change counts and the other is told; a song that one of them
	// removed is there again, whole, where the other changed it later.
	for _, c := range []struct {
		here, there func(s *gig.Song)
		want        []string // what, kept, lost
	}{
		{func(s *gig.Song) { s.Tempo = 100 }, func(s *gig.Song) { s.Tempo = 104 },
			[]string{`the tempo of the song "Copper Umbrella"`, "104", "100"}},
		{func(s *gig.Song) { s.Chart = "Key: D\n\n1\n" }, func(s *gig.Song) { s.Chart = "Key: D\n\n4\n" },
			[]string{`the chart of the song "Copper Umbrella"`, "what was set on 2026-11-25", "what was set on 2026-11-25"}},
		{func(s *gig.Song) { s.Parts = []gig.Part{intro} }, func(s *gig.Song) { s.Parts = []gig.Part{intro, {Name: "outro", Tab: "e|-5-|"}} },
			[]string{`the part outro of the song "Copper Umbrella"`, "e|-5-|", "its removal"}},
		{nil, func(s *gig.Song) { s.Learned = "E" },
			[]string{`the song "Copper Umbrella"`, "what it is now", "its removal"}},
	} {
		a, b := songs(here)[0], songs(there)[0]
		hour := max(here.Now().Sub(morning), there.Now().Sub(morning)) + time.Hour
		here.Now = func() time.Time { return morning.Add(hour) }
		there.Now = func() time.Time { return morning.Add(hour + time.Hour) }
		c.there(&b)
		err := there.PutSongs(t.Context(), b)
		if c.here == nil {
			err = errors.Join(err, here.RemoveSong(t.Context(), a.ID))
		} else {
			c.here(&a)
			err = errors.Join(err, here.PutSongs(t.Context(), a))
		}
		must(t, err)
		m := merge(t, here, there.Path())
		var told []string
		for _, l := range m.Lost {
			told = append(told, l.What, l.Kept, l.Lost)
		}
		equal(t, c.want, told)
		b.Called = b.Learned
		equal(t, b, songs(here)[0])
		merge(t, there, here.Path())
	}
	// One that was removed leaves nothing to a new one of its title.
	must(t, errors.Join(here.RemoveSong(t.Context(), want.ID), here.PutSongs(t.Context(), gig.Song{Title: "Tin Umbrella", Learned: "C", Sections: song.Sections})))
	if s := songs(here)[0]; s.ID != want.ID || s.Learned != "C" || s.Tempo != 0 || s.Chart != "" {
		t.Errorf("the new one is %+v", s)
	}
	if err := here.RemoveSong(t.Context(), "tin umbrella'"); err != nil || len(songs(here)) != 1 {
		t.Errorf("%v, %d songs are left", err, len(songs(here)))
	}
	if err := here.RemoveSong(t.Context(), "kelp"); !errors.Is(err, store.ErrMissing) {
		t.Errorf("a song that is not there: %v", err)
	}
}

// Gigs of earlier programs hold their songs themselves. Two computers that have the same
// old gigs bring them over each on its own, and what one of them changed in between stays.
func TestTheSongsOfOldGigsBecomeSongs(t *testing.T) {
	here, there := newLog(t), newLog(t)
	tin := gig.Song{Title: "Tin Umbrella", Learned: "D", Called: "Bb", Tempo: 96, Shaky: true, Sections: []gig.Section{{Chords: "1 4 5"}}, Parts: []gig.Part{{Name: "intro.txt", Tab: "e|-0-|"}}}
	rope := gig.Song{Title: "Ropewalk", Learned: "G", Called: "G", Sections: []gig.Section{{Chords: "1 4"}}}
	other := tin
	other.Called, other.Shaky, other.Tempo = "C", false, 120
	same := rope
	same.Called = "A"
	err := errors.Join(
		here.PutGig(t.Context(), gig.Gig{ID: "1", Name: "Harbour Fair", Day: "2026-12-05", Songs: []gig.Song{tin, rope}}),
		here.PutGig(t.Context(), gig.Gig{ID: "2", Name: "Quay Wedding", Day: "2026-12-12", Songs: []gig.Song{same, other}}))
	must(t, err)
	merge(t, there, here.Path())
	gigs := func(db *store.DB) []gig.Gig {
		all, err := db.Gigs(t.Context())
		must(t, err)
		return all
	}
	before := gigs(here)
	must(t, here.StoreSongs(t.Context()))
	songs, err := here.Songs(t.Context())
	if err != nil || len(songs) != 3 {
		t.Fatalf("%d songs, want Ropewalk and two of one title: %v", len(songs), err)
	}
	want := before
	for i := range want {
		for j := range want[i].Songs {
			want[i].Songs[j].Stored = true
		}
	}
	want[1].Songs[1].ID = "tin umbrella'"
	if diff := cmp.Diff(want, gigs(here)); diff != "" {
		t.Errorf("the gigs are others: %s", diff)
	}
	// Here the song is changed, and then the other computer comes to it.
	songs[0].Learned = "F"
	there.Now = func() time.Time { return here.Now().Add(48 * time.Hour) }
	must(t, errors.Join(here.PutSongs(t.Context(), songs[0]), there.StoreSongs(t.Context())))
	for _, m := range []store.Merged{merge(t, there, here.Path()), merge(t, here, there.Path())} {
		if len(m.Lost) > 0 {
			t.Errorf("nothing was lost, and it is told: %+v", m.Lost)
		}
	}
	for i := range want {
		for j := range want[i].Songs {
			if s := &want[i].Songs[j]; s.Title == "Ropewalk" {
				s.Learned = "F"
			}
		}
	}
	for _, db := range []*store.DB{here, there} {
		equal(t, want, gigs(db))
		if err := db.StoreSongs(t.Context()); err != nil {
			t.Error(err)
		}
		if again, err := db.Songs(t.Context()); err != nil || len(again) != 3 {
			t.Errorf("once more: %d songs, %v", len(again), err)
		}
	}
}
