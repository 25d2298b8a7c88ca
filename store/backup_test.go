package store_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"surefret/store"
	"surefret/testdata/oracle"
)

func TestABackupIsTheWholeLogInOneFile(t *testing.T) {
	db := newLog(t)
	fill(t, db)
	file := filepath.Join(t.TempDir(), "copy.db")
	must(t, db.Backup(t.Context(), file))
	if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v; want mode 0600", info.Mode(), err)
	}
	if entries, _ := os.ReadDir(filepath.Dir(file)); len(entries) != 1 {
		t.Errorf("beside the backup: %v", entries)
	}
	before, err := os.ReadFile(file)
	must(t, err)
	if err := db.Backup(t.Context(), file); !errors.Is(err, store.ErrExists) {
		t.Errorf("over a backup: %v, want ErrExists", err)
	}
	if after, _ := os.ReadFile(file); string(after) != string(before) {
		t.Error("the backup that was there was overwritten")
	}
	equal(t, export(t, db), export(t, openAt(t, file)))
}

// An independent reader: the sqlite3 program of the system, another build of
// another version of SQLite.
func TestAnotherSQLiteFindsTheBackupSound(t *testing.T) {
	sqlite3 := oracle.Program(t, "sqlite3")
	db := newLog(t)
	fill(t, db)
	file := filepath.Join(t.TempDir(), "copy.db")
	must(t, db.Backup(t.Context(), file))
	out, err := exec.Command(sqlite3, "-readonly", file, "PRAGMA integrity_check; PRAGMA foreign_key_check; SELECT count(*), max(seq), sum(correct) FROM answers; SELECT count(*) FROM changes").CombinedOutput()
	if want := "ok\n52|52|41\n7\n"; err != nil || string(out) != want {
		t.Errorf("sqlite3 says %q, %v; want %q", out, err, want)
	}
}

func TestTheNewestSevenDaysAndTheLastOfEachMonthAreKept(t *testing.T) {
	db := newLog(t)
	appendAll(t, db, answer(1))
	day := time.Date(2026, 9, 20, 23, 30, 0, 0, time.UTC)
	for day.Before(time.Date(2026, 12, 3, 0, 0, 0, 0, time.UTC)) {
		file, err := db.DailyBackup(t.Context(), day)
		must(t, err)
		if again, err := db.DailyBackup(t.Context(), day.Add(20*time.Minute)); err != nil || again != file {
			t.Fatalf("the second backup of a day: %s, %v; want %s", again, err, file)
		}
		day = day.AddDate(0, 0, 3)
	}
	var got []string
	for _, f := range store.Backups(db.Path()) {
		got = append(got, strings.TrimSuffix(filepath.Base(f), ".db"))
	}
	want := []string{"2026-09-29", "2026-10-29", "2026-11-13", "2026-11-16", "2026-11-19", "2026-11-22", "2026-11-25", "2026-11-28", "2026-12-01"}
	equal(t, want, got)
	// With the clock set back, no backup of a later day goes.
	if _, err := db.DailyBackup(t.Context(), day.AddDate(-1, 0, 0)); err != nil {
		t.Fatal(err)
	}
	for _, d := range want {
		if !slices.Contains(store.Backups(db.Path()), filepath.Join(filepath.Dir(store.Backups(db.Path())[0]), d+".db")) {
			t.Errorf("the backup of %s is gone", d)
		}
	}
}

func TestADamagedLogIsNotBackedUp(t *testing.T) {
	db := newLog(t)
	fill(t, db)
	good, err := db.DailyBackup(t.Context(), morning)
	must(t, err)
	smash(t, db.Path(), `UPDATE answers SET answer = 'B' WHERE seq = 3`)
	if _, err := db.DailyBackup(t.Context(), morning.AddDate(0, 0, 1)); !errors.Is(err, store.ErrDamaged) || !strings.Contains(err.Error(), good) {
		t.Errorf("%v; want ErrDamaged with the name of the good backup", err)
	}
	if got := store.Backups(db.Path()); len(got) != 1 {
		t.Errorf("backups are %v", got)
	}
}

func TestRestoreVerifiesFirstAndKeepsTheOldLog(t *testing.T) {
	db := newLog(t)
	fill(t, db)
	backup := filepath.Join(t.TempDir(), "copy.db")
	must(t, db.Backup(t.Context(), backup))
	then := export(t, db)
	appendAll(t, db, answer(70))
	now := export(t, db)

	if _, err := store.Restore(t.Context(), db.Path(), backup, morning); !errors.Is(err, store.ErrLocked) {
		t.Fatalf("under an open log: %v, want ErrLocked", err)
	}
	if diff := cmp.Diff(now, export(t, db)); diff != "" {
		t.Fatal(diff)
	}
	db.Close()

	bad := filepath.Join(t.TempDir(), "bad.db")
	content, _ := os.ReadFile(backup)
	must(t, os.WriteFile(bad, content, 0o600))
	smash(t, bad, `UPDATE answers SET answer = 'B' WHERE seq = 3`)
	if _, err := store.Restore(t.Context(), db.Path(), bad, morning); !errors.Is(err, store.ErrDamaged) {
		t.Errorf("from a damaged backup: %v, want ErrDamaged", err)
	}
	if _, err := store.Restore(t.Context(), db.Path(), bad+"x", morning); !errors.Is(err, store.ErrMissing) {
		t.Errorf("from no backup: %v, want ErrMissing", err)
	}
	if diff := cmp.Diff(now, export(t, openAt(t, db.Path()))); diff != "" {
		t.Fatal(diff)
	}

	again := openAt(t, db.Path())
	again.Close()
	t.Run("over it", func(t *testing.T) {
		one := filepath.Join(t.TempDir(), "surefret.db")
		first := openAt(t, one)
		fill(t, first)
		appendAll(t, first, answer(80))
		old := export(t, first)
		first.Close()
		kept, err := store.Restore(t.Context(), one, backup, morning)
		must(t, err)
		restored := openAt(t, one)
		if diff := cmp.Diff(then, export(t, restored)); diff != "" {
			t.Errorf("restored: %s", diff)
		}
		if diff := cmp.Diff(old, export(t, openAt(t, kept))); diff != "" {
			t.Errorf("kept: %s", diff)
		}
		m, err := restored.Merge(t.Context(), kept)
		if err != nil || m.Answers == 0 || m.Damaged != 0 {
			t.Errorf("merging what was kept: %+v, %v", m, err)
		}
		restored.Close()
		second, err := store.Restore(t.Context(), one, backup, morning)
		if err != nil || second == kept {
			t.Errorf("restoring twice kept %s, then %s, %v", kept, second, err)
		}
	})
	t.Run("on a new computer", func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "new", "surefret.db")
		if kept, err := store.Restore(t.Context(), path, backup, morning); err != nil || kept != "" {
			t.Fatalf("%q, %v", kept, err)
		}
		equal(t, then, export(t, openAt(t, path)))
	})
}

// The way out of damage: restore the backup, then merge what can still be read
// of the damaged log. Nothing that is readable in either is lost.
func TestADamagedLogIsEmptiedIntoTheRestoredOne(t *testing.T) {
	path := filepath.Join(t.TempDir(), "surefret.db")
	db := openAt(t, path)
	for n := range 400 {
		appendAll(t, db, answer(n))
	}
	backup, err := db.DailyBackup(t.Context(), morning)
	must(t, err)
	for n := 400; n < 800; n++ {
		appendAll(t, db, answer(n))
	}
	want := len(answers(t, db, 0))
	db.Close()
	pages := pagesOf(t, path, "String 6, fret")
	spoil(t, path, pages[len(pages)/4]) // in the older half of the table
	_, err = store.Open(t.Context(), path)
	if !errors.Is(err, store.ErrDamaged) || !strings.Contains(err.Error(), "surefret data restore '"+backup+"'") {
		t.Fatalf("%v; want ErrDamaged and how to restore", err)
	}
	kept, err := store.Restore(t.Context(), path, backup, morning)
	must(t, err)
	db = openAt(t, path)
	m := merge(t, db, kept)
	if got := len(answers(t, db, 0)); got != want {
		t.Errorf("%d answers after restore and merge, want %d (%+v)", got, want, m)
	}
	if !m.Torn || m.Damaged != 0 {
		t.Errorf("%+v, want that a part could not be read, and no row by itself", m)
	}
	sound(t, db)
}

// Of the backups the one is named that has most rows in common with the damaged log,
// not the one whose name is the newest, and how many answers it holds.
func TestTheBestBackupIsNamed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "surefret.db")
	db, other := openAt(t, path), newLog(t)
	backup := func(of *store.DB, day string) string {
		t.Helper()
		file := filepath.Join(filepath.Dir(path), "surefret-backups", day+".db")
		must(t, errors.Join(os.MkdirAll(filepath.Dir(file), 0o700), of.Backup(t.Context(), file)))
		return file
	}
	for n := range 400 {
		appendAll(t, db, answer(n))
		appendAll(t, other, answer(1000+n), answer(2000+n))
		if n == 100 {
			backup(db, "2031-01-01") // by a clock that was ahead
		}
	}
	backup(db, "2026-11-23")
	backup(other, "2026-11-26") // another player's, the largest
	more := newLog(t)           // with all of these, and what the log has no more
	merge(t, more, db.Path())
	appendAll(t, more, answer(3000))
	backup(more, "2026-11-24")
	best := backup(more, "2026-11-25") // the newest of equal ones
	backup(db, "2026-11-27")
	db.Close()
	spoil(t, path, pagesOf(t, path, "String 6, fret")[3])
	_, err := store.Open(t.Context(), path)
	if want := "the backup that has most of it, 401 answers, with 'surefret data restore '" + best + "''"; err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("%v; want %s", err, want)
	}
}

// A table whose tree points past some of its pages reads without a fault, and
// short: the merge says so.
func TestAMergeSaysThatATreeReadsShort(t *testing.T) {
	path := filepath.Join(t.TempDir(), "surefret.db")
	db := openAt(t, path)
	for n := range 400 {
		appendAll(t, db, answer(n))
	}
	db.Close()
	content, err := os.ReadFile(path)
	must(t, err)
	// Two neighbours in an interior page of the table (type 5, cells of a child's
	// number and a key: the SQLite file format, section 1.6) get the same child.
	leaves := pagesOf(t, path, "String 6, fret")
	child := func(n int) []byte { return binary.BigEndian.AppendUint32(nil, uint32(leaves[n])) }
	changed := false
	for n := 1; n*4096 < len(content); n++ {
		if page := content[n*4096:][:4096]; page[0] == 5 {
			if i := bytes.LastIndex(page, child(5)); i >= 0 {
				copy(page[i:], child(4))
				changed = true
			}
		}
	}
	if !changed {
		t.Fatal("the tree was not found: the test shows nothing")
	}
	must(t, os.WriteFile(path, content, 0o600))
	m, err := newLog(t).Merge(t.Context(), path)
	if err != nil || !m.Torn || m.Answers >= 400 || m.Answers < 300 {
		t.Errorf("%+v, %v", m, err)
	}
}
