package store_test

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
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
	must(t, err)
	rows := map[string]drills.Answer{}
	for i := range n {
		appendAll(t, db, answer(i))
	}
	for _, r := range answers(t, db, 0) {
		rows[r.ID] = r
	}
	must(t, db.SaveSettings(t.Context(), map[string]string{"hand": `"left"`}))
	end, err := db.End(t.Context())
	must(t, err)
	must(t, db.SaveSnapshot(t.Context(), "v1", end, []byte(strings.Repeat("memory", 500))))
	must(t, db.Close())
	content, err := os.ReadFile(path)
	must(t, err)
	return content, rows
}

// A bit that was flipped anywhere, or a file that was cut off, is harmless or told: what
// is read is as it was written, and what is missing is found by the check; a file that
// is refused keeps every byte; practice on one that is not loses nothing. And whoever
// follows the sentences that are printed, and nothing else, gets back what does not lie
// on the damaged page: at least nine of ten rows, though the backup that is named, if
// there is one, holds a quarter of them.
func TestDamageIsHarmlessOrToldAndThereIsAWayBack(t *testing.T) {
	dir := t.TempDir()
	content, want := good(t, filepath.Join(dir, "good.db"), 200)
	backup := quarter(t, filepath.Join(dir, "good.db"), filepath.Join(dir, "backup.db"))
	rng := rand.New(rand.NewPCG(1, 0)) // the same flips each time: whether nine rows in ten come back is no luck
	flip := func(content []byte, from, to int) ([]byte, int) {
		at := from + rng.IntN(to-from)
		content[at] ^= 1 << rng.IntN(8)
		return content, at
	}
	schema, leaves := []int{0}, []int(nil)
	for at := 4096; at < len(content); at += 4096 {
		switch kind := content[at]; { // leaves of a table and of an index: the SQLite file format, section 1.6
		case kind == 13 && bytes.Contains(content[at:at+4096], []byte("CREATE TRIGGER")):
			schema = append(schema, at)
		case kind == 13 || kind == 10:
			leaves = append(leaves, at)
		}
	}
	onOne := func(pages []int) func([]byte) ([]byte, int) {
		return func(b []byte) ([]byte, int) {
			page := pages[rng.IntN(len(pages))]
			return flip(b, page, page+4096)
		}
	}
	for _, c := range []struct {
		name   string
		aimed  bool // whether it is among those of which nine rows in ten come back
		damage func([]byte) (hurt []byte, at int)
	}{
		{"anywhere", false, func(b []byte) ([]byte, int) { return flip(b, 0, len(b)) }},
		{"header", true, func(b []byte) ([]byte, int) { return flip(b, 0, 100) }},
		{"schema", true, onOne(schema)},
		{"leaf", true, onOne(leaves)},
		{"cut", false, func(b []byte) ([]byte, int) { at := rng.IntN(len(b)); return b[:at], at }},
	} {
		t.Run(c.name, func(t *testing.T) {
			tries := map[bool]int{true: 17, false: 5}[c.aimed]
			if long() {
				tries *= 4
			}
			counts, outside, saved := map[string]int{}, 0, 0
			for i := range tries {
				path := filepath.Join(dir, fmt.Sprintf("%s%d", c.name, i), "surefret.db")
				os.Mkdir(filepath.Dir(path), 0o700)
				hurt, at := c.damage(slices.Clone(content))
				must(t, os.WriteFile(path, hurt, 0o600))
				if i%2 == 0 {
					os.Mkdir(filepath.Join(filepath.Dir(path), "surefret-backups"), 0o700)
					must(t, os.WriteFile(filepath.Join(filepath.Dir(path), "surefret-backups", "2026-11-25.db"), backup, 0o600))
				}
				outcome := tryDamaged(t, path, hurt, want)
				counts[outcome]++
				back := wayBack(t, path, want)
				for id := range want {
					if page := content[at/4096*4096:][:4096]; c.name != "cut" && (at < 4096 || page[0] != 13 || !bytes.Contains(page, []byte(id))) {
						if outside++; back[id] {
							saved++
						}
					}
				}
				os.RemoveAll(filepath.Dir(path))
				if t.Failed() {
					t.Fatalf("damage %d, at %d: %s", i, at, outcome)
				}
			}
			t.Logf("%v; of the rows outside the damaged page %d of %d came back", counts, saved, outside)
			if c.aimed && saved*10 < outside*9 {
				t.Errorf("only %d of %d rows came back", saved, outside)
			}
		})
	}
}

// quarter makes a backup of the first quarter of a log's answers, and returns its bytes.
func quarter(t *testing.T, path, file string) []byte {
	t.Helper()
	all := openAt(t, path)
	part, err := store.Open(t.Context(), file)
	must(t, err)
	rows := answers(t, all, 0)
	appendAll(t, part, rows[:len(rows)/4]...)
	must(t, errors.Join(part.Close(), all.Close()))
	content, err := os.ReadFile(file)
	must(t, err)
	return content
}

var (
	restoring = regexp.MustCompile(`'surefret data restore '([^']+)''`)
	merging   = regexp.MustCompile(`'surefret data merge --db NEW.db '([^']+)''`)
)

// wayBack does what the printed sentences say until there is a sound log, and returns
// which answers it has.
func wayBack(t *testing.T, path string, want map[string]drills.Answer) map[string]bool {
	t.Helper()
	db, err := store.Open(t.Context(), path)
	if err == nil {
		var r store.Report
		if r, err = db.Check(t.Context()); err == nil {
			err = r.Err()
		}
	}
	if err != nil {
		if db != nil {
			db.Close()
		}
		other := ""
		if backup := restoring.FindStringSubmatch(err.Error()); backup != nil {
			if other, err = store.Restore(t.Context(), path, backup[1], morning); err != nil {
				t.Fatal(err)
			}
		} else if damaged := merging.FindStringSubmatch(err.Error()); damaged != nil {
			other, path = damaged[1], filepath.Join(filepath.Dir(path), "NEW.db")
		} else if !errors.Is(err, store.ErrForeign) && !errors.Is(err, store.ErrNewer) {
			t.Fatalf("%v: and now?", err)
		}
		if db, err = store.Open(t.Context(), path); err != nil {
			return nil
		}
		var m store.Merged
		if other != "" {
			m, err = db.Merge(t.Context(), other)
		}
		if err != nil {
			told(t, err, other, store.ErrDamaged, store.ErrForeign, store.ErrNewer)
		} else if n := len(answers(t, db, 0)); n < len(want) && m.Damaged == 0 && !m.Torn {
			t.Errorf("the merge gives %d of %d answers and says nothing", n, len(want))
		}
	}
	defer db.Close()
	back := map[string]bool{}
	for _, r := range answers(t, db, 0) {
		if w, ok := want[r.ID]; ok && r != w {
			t.Errorf("%v came back, written as %v", r, w)
		}
		back[r.ID] = true
	}
	if r, err := db.Check(t.Context()); err != nil || len(r.Faults) > 0 {
		t.Errorf("on the way back: %v, %v", r.Faults, err)
	}
	return back
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
