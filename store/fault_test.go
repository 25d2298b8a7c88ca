package store_test

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/drills"
	"surefret/store"
)

// long reports whether the tests that try at random should try as often as they
// are meant to: under CI=true. Otherwise they take a sample.
func long() bool { return os.Getenv("CI") == "true" }

// told makes sure that err is one sentence for a player: of one of the kinds,
// with the file in it and something to do, and none of the driver's words.
func told(t testing.TB, err error, path string, kinds ...error) {
	t.Helper()
	var e *store.Error
	if !errors.As(err, &e) || err.Error() != e.Error() {
		t.Errorf("%v (%T) is not a sentence of the store's own", err, err)
		return
	}
	if !slices.ContainsFunc(kinds, func(k error) bool { return errors.Is(err, k) }) {
		t.Errorf("%q is none of %v (cause %v)", err, kinds, e.Cause)
	}
	text := err.Error()
	if !strings.Contains(text, path) || !strings.Contains(text, ": ") || strings.ContainsAny(text, "\n\x1b") {
		t.Errorf("%q does not say what, where and what to do in one line", text)
	}
	for _, raw := range []string{"SQL", "sqlite", "disk image", "malformed", "errno", "no such", "unable", "0x", "nil"} {
		if strings.Contains(strings.ReplaceAll(text, path, ""), raw) {
			t.Errorf("%q speaks of %q", text, raw)
		}
	}
}

func TestFilesThatAreNoLogAreRefusedUntouched(t *testing.T) {
	content, _ := good(t, filepath.Join(t.TempDir(), "good.db"), 200)
	for _, c := range []struct {
		name    string
		content []byte
		kind    error
	}{
		{"zero bytes", nil, store.ErrDamaged},
		{"half-written", content[:len(content)/2], store.ErrDamaged},
		{"half-written to a page", content[:len(content)/2/4096*4096], store.ErrDamaged},
		{"one byte", content[:1], store.ErrForeign},
		{"a text", []byte(strings.Repeat("Low Tide Shuffle in D\n", 100)), store.ErrForeign},
		{"zeros", make([]byte, 8192), store.ErrForeign},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "surefret.db")
			must(t, os.WriteFile(path, c.content, 0o600))
			_, err := store.Open(t.Context(), path)
			told(t, err, path, c.kind)
			t.Log(err)
			if after, err := os.ReadFile(path); err != nil || string(after) != string(c.content) {
				t.Error("the file was touched")
			}
			if entries, _ := os.ReadDir(filepath.Dir(path)); len(entries) != 1 {
				t.Errorf("it left %v", entries)
			}
		})
	}
	t.Run("a folder", func(t *testing.T) {
		path := t.TempDir()
		_, err := store.Open(t.Context(), path)
		told(t, err, path, store.ErrForeign, store.ErrDenied)
		t.Log(err)
	})
	t.Run("a file for a folder", func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "file")
		must(t, os.WriteFile(path, []byte("x"), 0o600))
		path = filepath.Join(path, "surefret.db")
		_, err := store.Open(t.Context(), path)
		told(t, err, path, store.ErrDenied)
		t.Log(err)
	})
}

// crashed makes a log whose process ended without closing it: the file and its
// journal as they are on the disk. Of its answers, some are in the file.
func crashed(t *testing.T, n int) (path string, rows []drills.Answer) {
	t.Helper()
	db := newLog(t)
	for i := range n {
		appendAll(t, db, answer(i))
	}
	path = filepath.Join(t.TempDir(), "surefret.db")
	for name, content := range bytesOf(t, db.Path()) {
		name = path + strings.TrimPrefix(name, db.Path())
		must(t, os.WriteFile(name, []byte(content), 0o600))
	}
	return path, answers(t, db, 0)
}

// Without its journal a file that was not closed goes back to the last
// checkpoint: that is for SQLite to keep close, and for us to keep sound.
func TestALostJournalTakesTheLastAnswersAlone(t *testing.T) {
	noise := make([]byte, 64<<10)
	for i := range noise {
		noise[i] = byte(i * 7)
	}
	for _, c := range []struct {
		name string
		do   func(wal string) error
	}{
		{"lost", os.Remove},
		{"noise", func(wal string) error { return os.WriteFile(wal, noise, 0o600) }},
		{"emptied", func(wal string) error { return os.Truncate(wal, 0) }},
		{"cut", func(wal string) error { return os.Truncate(wal, 20_000) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			path, rows := crashed(t, 150)
			must(t, c.do(path+"-wal"))
			db := openAt(t, path)
			got := answers(t, db, 0)
			for i := range got {
				got[i].Device = rows[i].Device
				if got[i] != rows[i] {
					t.Errorf("answer %d is %v, written as %v", i, got[i], rows[i])
				}
			}
			t.Logf("%d of %d answers are left", len(got), len(rows))
			if len(got) < len(rows)-60 {
				t.Errorf("%d answers were lost, a checkpoint should be closer", len(rows)-len(got))
			}
			sound(t, db)
			appendAll(t, db, answer(1000))
		})
	}
}

func TestAJournalWithoutItsLogIsNotTakenForANewOne(t *testing.T) {
	path, _ := crashed(t, 20)
	must(t, os.Remove(path))
	before, _ := os.ReadFile(path + "-wal")
	_, err := store.Open(t.Context(), path)
	told(t, err, path, store.ErrDamaged)
	t.Log(err)
	if after, _ := os.ReadFile(path + "-wal"); string(after) != string(before) {
		t.Error("the journal was touched")
	}
}

func TestALogThatAnotherProgramLocksIsTold(t *testing.T) {
	store.Impatient(t)
	t.Run("on saving", func(t *testing.T) {
		db := newLog(t)
		appendAll(t, db, answer(1))
		other := raw(t, db.Path())
		if _, err := other.Exec(`BEGIN IMMEDIATE`); err != nil {
			t.Fatal(err)
		}
		start := time.Now()
		err := db.Append(t.Context(), answer(2))
		t.Logf("after %v: %v", time.Since(start), err)
		told(t, err, db.Path(), store.ErrLocked)
		if got := answers(t, db, 0); len(got) != 1 {
			t.Errorf("reading under the lock gave %d answers, want 1", len(got))
		}
		if _, err := other.Exec(`ROLLBACK`); err != nil {
			t.Fatal(err)
		}
		appendAll(t, db, answer(2))
		if got := answers(t, db, 0); len(got) != 2 {
			t.Errorf("%d answers, want 2", len(got))
		}
	})
	t.Run("on opening", func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "surefret.db")
		before, _ := good(t, path, 20)
		other := raw(t, path)
		if _, err := other.Exec(`PRAGMA locking_mode = EXCLUSIVE; BEGIN EXCLUSIVE`); err != nil {
			t.Fatal(err)
		}
		_, err := store.Open(t.Context(), path)
		told(t, err, path, store.ErrLocked)
		t.Log(err)
		other.Close()
		if after, _ := os.ReadFile(path); string(after) != string(before) {
			t.Error("the file was touched")
		}
	})
}

// smallDisk mounts a disk of its own, of this size, in memory. Where that is not
// to be had the test is skipped, but not where everything is to be tried.
func smallDisk(t *testing.T, size string) (dir string) {
	t.Helper()
	dir = t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size="+size, "none", dir).CombinedOutput(); err != nil {
		if long() {
			t.Fatalf("no disk can be mounted here, which takes root: %s", out)
		}
		t.Skipf("no disk can be mounted here, which takes root: %s", out)
	}
	t.Cleanup(func() { exec.Command("umount", "-l", dir).Run() })
	return dir
}

func TestAFullDiskIsToldAndLosesNothing(t *testing.T) {
	dir := smallDisk(t, "1m")
	path := filepath.Join(dir, "surefret.db")
	db := openAt(t, path)
	acknowledged := 0
	var err error
	for err == nil {
		if err = db.Append(t.Context(), answer(acknowledged)); err == nil {
			acknowledged++
		}
		if acknowledged > 10_000 {
			t.Fatal("the disk is never full")
		}
	}
	t.Logf("after %d answers: %v", acknowledged, err)
	told(t, err, path, store.ErrFull)
	if got := len(answers(t, db, 0)); got != acknowledged {
		t.Errorf("%d answers, want the %d that were acknowledged", got, acknowledged)
	}
	for what, err := range map[string]error{
		"setting":  db.SaveSettings(t.Context(), map[string]string{"text": `"` + strings.Repeat("x", 200_000) + `"`}),
		"snapshot": db.SaveSnapshot(t.Context(), "v1", 1, make([]byte, 200_000)),
		"backup":   db.Backup(t.Context(), filepath.Join(dir, "copy.db")),
	} {
		if !errors.Is(err, store.ErrFull) {
			t.Errorf("%s on a full disk: %v, want ErrFull", what, err)
		}
	}
	_, err = store.Open(t.Context(), filepath.Join(dir, "second.db"))
	told(t, err, filepath.Join(dir, "second.db"), store.ErrFull)
	db.Close() // its journal stays, as there is no room to take it into the file
	entries, _ := os.ReadDir(dir)
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), "surefret.db") {
			t.Errorf("left on the full disk: %v", e)
		}
	}

	if out, err := exec.Command("mount", "-o", "remount,size=8m", dir).CombinedOutput(); err != nil {
		t.Fatalf("%s", out)
	}
	db = openAt(t, path)
	if got := len(answers(t, db, 0)); got != acknowledged {
		t.Errorf("%d answers after opening again, want %d", got, acknowledged)
	}
	sound(t, db)
	appendAll(t, db, answer(100_000))
	db.Close()
}

func TestAReadOnlyFolderIsTold(t *testing.T) {
	var dir string
	var lock func()
	if os.Geteuid() == 0 { // who may write everywhere, but for a disk that cannot be written
		dir = smallDisk(t, "4m")
		lock = func() {
			if out, err := exec.Command("mount", "-o", "remount,ro", dir).CombinedOutput(); err != nil {
				t.Fatalf("%s", out)
			}
		}
	} else {
		dir = t.TempDir()
		lock = func() { os.Chmod(dir, 0o500) }
		t.Cleanup(func() { os.Chmod(dir, 0o700) })
	}
	path := filepath.Join(dir, "surefret.db")
	before, _ := good(t, path, 20)
	killed, rows := crashed(t, 30)
	for name, content := range bytesOf(t, killed) {
		must(t, os.WriteFile(filepath.Join(dir, strings.Replace(filepath.Base(name), "surefret", "killed", 1)), []byte(content), 0o600))
	}
	lock()
	for name, want := range map[string]int{"surefret.db": 20, "killed.db": len(rows)} { // both may be read
		db, err := store.OpenReadOnly(t.Context(), filepath.Join(dir, name))
		if err != nil {
			t.Errorf("reading %s: %v", name, err)
			continue
		}
		if got := len(answers(t, db, 0)); got != want {
			t.Errorf("%s has %d answers, want %d", name, got, want)
		}
		for _, err := range []error{db.Append(t.Context(), answer(99)), db.SetAside(t.Context(), true, "i"), db.AppendAll(t.Context(), slices.Values([]drills.Answer{answer(99)}))} {
			told(t, err, db.Path(), store.ErrDenied)
		}
		db.Close()
	}
	for _, name := range []string{path, filepath.Join(dir, "new.db"), filepath.Join(dir, "sub", "new.db")} {
		_, err := store.Open(t.Context(), name)
		told(t, err, name, store.ErrDenied)
		t.Log(err)
	}
	if after, _ := os.ReadFile(path); string(after) != string(before) {
		t.Error("the file was touched")
	}
	// A log there can still be taken over into another one.
	db := newLog(t)
	if m, err := db.Merge(t.Context(), path); err != nil || m.Answers != 20 {
		t.Errorf("merging from it: %+v, %v", m, err)
	}
}
