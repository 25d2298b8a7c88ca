package store_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"

	"surefret/drills/gig"
	"surefret/store"
)

// Two computers change one song of the repertoire: it is merged by field, and a gig that
// calls it has it so, in the key that it is called in there.
func TestASongOfTwoComputersIsMergedByField(t *testing.T) {
	here, there := newLog(t), newLog(t)
	song := gig.Song{Title: "Tin Umbrella", Learned: "D", Sections: []gig.Section{{Chords: "1 4 5"}}, Chart: "Key: D\n\n1 4 5\n"}
	if err := here.PutSongs(t.Context(), song, song); err != nil {
		t.Fatal(err)
	}
	songs := func(db *store.DB) []gig.Song {
		songs, err := db.Songs(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return songs
	}
	kept := songs(here)
	if len(kept) != 2 || kept[0].ID != "tin umbrella" || kept[1].ID != "tin umbrella'" || kept[0].Chart != song.Chart {
		t.Fatalf("two songs of one title are kept as %+v", kept)
	}
	called := kept[0]
	called.Called = "Bb"
	if err := here.PutGig(t.Context(), gig.Gig{ID: "fair", Name: "Harbour Fair", Day: "2026-12-05", Songs: []gig.Song{called}}); err != nil {
		t.Fatal(err)
	}
	merge(t, there, here.Path())
	a, b := songs(here)[0], songs(there)[0]
	a.Tempo, b.Title = 96, "Copper Umbrella"
	if err := errors.Join(here.PutSongs(t.Context(), a), there.PutSongs(t.Context(), b)); err != nil {
		t.Fatal(err)
	}
	merge(t, there, here.Path())
	merge(t, here, there.Path())
	want := kept[0]
	want.Title, want.Tempo = "Copper Umbrella", 96
	for _, db := range []*store.DB{here, there} {
		if diff := cmp.Diff(want, songs(db)[0]); diff != "" {
			t.Error(diff)
		}
		gigs, err := db.Gigs(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		inGig := want
		inGig.Called = "Bb"
		if diff := cmp.Diff([]gig.Song{inGig}, gigs[0].Songs); diff != "" {
			t.Error(diff)
		}
	}
	if err := here.RemoveSong(t.Context(), "tin umbrella'"); err != nil || len(songs(here)) != 1 {
		t.Errorf("%v, %d songs are left", err, len(songs(here)))
	}
	if err := here.RemoveSong(t.Context(), "kelp"); !errors.Is(err, store.ErrMissing) {
		t.Errorf("a song that is not there: %v", err)
	}
}
