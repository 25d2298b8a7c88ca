package store_test

import (
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"surefret/drills"
	"surefret/store"
)

// good makes a log with n answers, a setting and a snapshot, closed, and returns
// its bytes and its rows by id.
func good(t testing.TB, path string, n int) ([]byte, map[string]drills.Answer) {
	t.Helper()
	db, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	rows := map[string]drills.Answer{}
	for i := range n {
		appendAll(t, db, answer(i))
	}
	for _, r := range answers(t, db, 0) {
		rows[r.ID] = r
	}
	if err := db.SaveSettings(t.Context(), map[string]string{"hand": `"left"`}); err != nil {
		t.Fatal(err)
	}
	end, err := db.End(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if err := db.SaveSnapshot(t.Context(), "v1", end, []byte(strings.Repeat("memory", 500))); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return content, rows
}

// harm damages a good log in n ways and holds each time: the player is told, or
// everything that is read is as it was written and what is missing is found by
// the check; a file that is refused keeps every byte; practice on a file that
// is not refused loses nothing; and a merge takes what can still be read.
func harm(t *testing.T, n int, damage func(rng *rand.Rand, content []byte) []byte) {
	dir := fastDir(t)
	content, want := good(t, filepath.Join(dir, "good.db"), 200)
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))
	counts := map[string]int{}
	saved, least := 0, len(want)
	for i := range n {
		path := filepath.Join(dir, fmt.Sprintf("%d.db", i))
		hurt := damage(rng, slices.Clone(content))
		if err := os.WriteFile(path, hurt, 0o600); err != nil {
			t.Fatal(err)
		}
		outcome := tryDamaged(t, path, hurt, want)
		counts[outcome]++

		fresh, err := store.Open(t.Context(), filepath.Join(dir, fmt.Sprintf("%d.fresh.db", i)))
		if err != nil {
			t.Fatal(err)
		}
		m, err := fresh.Merge(t.Context(), path)
		if err != nil {
			told(t, err, path, store.ErrDamaged, store.ErrForeign, store.ErrNewer)
		}
		got := 0
		for _, r := range answers(t, fresh, 0) {
			if w, ok := want[r.ID]; ok && r != w {
				t.Errorf("the merge took over %v, written as %v", r, w)
			} else if ok {
				got++
			}
		}
		if err == nil && got < len(want) && m.Damaged == 0 && !m.Torn {
			t.Errorf("the merge took %d of %d answers and says nothing", got, len(want))
		}
		if got+m.Damaged > 0 {
			counts["merged"]++
			saved += got
			least = min(least, got)
		}
		fresh.Close()
		for _, f := range []string{path, path + "-wal", path + "-shm", fresh.Path()} {
			os.Remove(f)
		}
		if t.Failed() {
			t.Fatalf("damage %d: %s", i, outcome)
		}
	}
	for _, outcome := range slices.Sorted(maps.Keys(counts)) {
		t.Logf("%4d %s", counts[outcome], outcome)
	}
	if counts["merged"] > 0 {
		t.Logf("a merge saved %.1f of %d answers on average, at least %d", float64(saved)/float64(counts["merged"]), len(want), least)
	}
}

func tryDamaged(t *testing.T, path string, hurt []byte, want map[string]drills.Answer) (outcome string) {
	t.Helper()
	ctx := t.Context()
	db, err := store.Open(ctx, path)
	if err != nil {
		told(t, err, path, store.ErrDamaged, store.ErrForeign, store.ErrNewer)
		if after, _ := os.ReadFile(path); string(after) != string(hurt) {
			t.Error("the refused file was written to")
		}
		if _, err := os.Stat(path + "-wal"); err == nil {
			t.Error("a journal was left beside the refused file")
		}
		return "refused on opening"
	}
	defer db.Close()
	read := func() (map[string]drills.Answer, error) {
		rows := map[string]drills.Answer{}
		for r, err := range db.Answers(ctx, 0) {
			if err != nil {
				told(t, err, path, store.ErrDamaged)
				return rows, err
			}
			rows[r.ID] = r
			if w, ok := want[r.ID]; !ok || r != w {
				t.Errorf("read %v, written as %v", r, w)
			}
		}
		return rows, nil
	}
	rows, readErr := read()
	if _, state, ok, err := db.Snapshot(ctx, "v1"); err != nil {
		told(t, err, path, store.ErrDamaged)
		readErr = errors.Join(readErr, err)
	} else if ok && string(state) != strings.Repeat("memory", 500) {
		t.Error("the memory that was read is not the one that was saved")
	}
	kept, err := db.Kept(ctx)
	settings := kept.Settings
	if err != nil {
		told(t, err, path, store.ErrDamaged)
		readErr = errors.Join(readErr, err)
	} else if v, ok := settings["hand"]; ok && v != `"left"` {
		t.Errorf("the setting became %s", v)
	}
	report, checkErr := db.Check(ctx)
	if checkErr != nil {
		told(t, checkErr, path, store.ErrDamaged)
	}
	found := checkErr != nil || len(report.Faults) > 0
	whole := readErr == nil && len(rows) == len(want) && settings["hand"] == `"left"`
	if !whole && !found {
		t.Errorf("%d of %d answers are read and nobody says so", len(rows), len(want))
	}

	next := answer(1000)
	if err := db.Append(ctx, next); err != nil {
		told(t, err, path, store.ErrDamaged)
	} else {
		want = maps.Clone(want)
		next.Device = db.Device()
		want[next.ID] = next
	}
	now, _ := read()
	for id := range rows {
		if _, ok := now[id]; !ok && whole {
			t.Errorf("the answer %s was lost by going on", id)
		}
	}
	switch {
	case readErr != nil:
		return "told on reading"
	case found:
		return "found by the check"
	}
	return "harmless"
}

func TestAFlippedBitIsHarmlessOrTold(t *testing.T) {
	n := 30
	if long() {
		n = 1000
	}
	harm(t, n, func(rng *rand.Rand, content []byte) []byte {
		at := rng.IntN(len(content))
		content[at] ^= 1 << rng.IntN(8)
		return content
	})
}

// The first page, with the header and the schema, is where a bit does most.
func TestAFlippedBitInTheFirstPageIsHarmlessOrTold(t *testing.T) {
	n := 30
	if long() {
		n = 1000
	}
	harm(t, n, func(rng *rand.Rand, content []byte) []byte {
		at := rng.IntN(200)
		if rng.IntN(2) == 0 {
			at = rng.IntN(4096)
		}
		content[at] ^= 1 << rng.IntN(8)
		return content
	})
}

func TestATruncatedFileIsTold(t *testing.T) {
	n := 30
	if long() {
		n = 1000
	}
	harm(t, n, func(rng *rand.Rand, content []byte) []byte {
		return content[:rng.IntN(len(content))]
	})
}
