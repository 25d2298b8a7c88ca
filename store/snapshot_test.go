package store_test

import (
	"os"
	"path/filepath"
	"testing"

	"surefret/drills"
	"surefret/store"
)

func TestASnapshotServesUntilTheLogChangesBeforeIt(t *testing.T) {
	type add func(t *testing.T, db *store.DB, first drills.Answer)
	for _, c := range []struct {
		name string
		add  add
		ok   bool
	}{
		{"nothing new", func(*testing.T, *store.DB, drills.Answer) {}, true},
		{"a later answer", func(t *testing.T, db *store.DB, _ drills.Answer) { appendAll(t, db, answer(10)) }, true},
		{"a later answer that is taken back", func(t *testing.T, db *store.DB, _ drills.Answer) {
			a, b := answer(10), answer(11)
			b.TakesBack = a.ID
			appendAll(t, db, a, b)
		}, true},
		{"a twin of its last row", func(t *testing.T, db *store.DB, _ drills.Answer) {
			twin := answers(t, db, 0)[1]
			twin.Given = "A"
			appendAll(t, db, twin)
		}, false},
		{"an answer from before", func(t *testing.T, db *store.DB, _ drills.Answer) { appendAll(t, db, answer(0)) }, false},
		{"an answer of it is taken back", func(t *testing.T, db *store.DB, first drills.Answer) {
			b := answer(11)
			b.TakesBack = first.ID
			appendAll(t, db, b)
		}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			db := newLog(t)
			first := answer(1)
			appendAll(t, db, first, answer(2))
			upto, err := db.End(t.Context())
			must(t, err)
			must(t, db.SaveSnapshot(t.Context(), "v1", upto, []byte("state")))
			c.add(t, db, first)
			got, state, ok, err := db.Snapshot(t.Context(), "v1")
			if ok != c.ok || err != nil {
				t.Fatalf("ok %v, %v; want %v", ok, err, c.ok)
			}
			if ok && (got != upto || string(state) != "state") {
				t.Errorf("snapshot %d %q", got, state)
			}
			if _, _, ok, _ := db.Snapshot(t.Context(), "v2"); ok {
				t.Error("there is a snapshot of another version")
			}
		})
	}
}

func TestTheFileIsForItsOwnerAlone(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "made", "by us")
	path := filepath.Join(dir, "a?b#c %20 ♯.db")
	db := openAt(t, path)
	appendAll(t, db, answer(1))
	for name, want := range map[string]os.FileMode{dir: 0o700, path: 0o600, path + "-wal": 0o600, path + "-shm": 0o600} {
		if info, err := os.Stat(name); err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: %v, %v; want %v", name, info.Mode(), err, want)
		}
	}
	if entries, err := os.ReadDir(dir); err != nil || len(entries) != 3 {
		t.Errorf("the folder holds %v, %v", entries, err)
	}
}
