//go:build unix

package store_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"surefret/drills"
	"surefret/store"
)

// limited lets no file of this process grow beyond so many bytes, as ulimit -f does.
// It is for a process of its own: what tests log is written to files, too.
func limited(t *testing.T, bytes uint64) (lift func()) {
	t.Helper()
	var was syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &was); err != nil {
		t.Skip(err)
	}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: bytes, Max: was.Max}); err != nil {
		t.Skip(err)
	}
	return func() { syscall.Setrlimit(syscall.RLIMIT_FSIZE, &was) }
}

// A file that may not grow is told as a full disk, never as damage, and what was
// acknowledged stays.
func TestAFileThatMayNotGrowIsToldAsAFullDisk(t *testing.T) {
	if os.Getenv("SUREFRET_TEST_LIMITED") == "" {
		cmd := exec.Command(os.Args[0], "-test.run=^"+t.Name()+"$", "-test.v")
		cmd.Env = append(os.Environ(), "SUREFRET_TEST_LIMITED=yes")
		if out, err := cmd.CombinedOutput(); err != nil || !strings.Contains(string(out), "--- PASS") {
			t.Errorf("%v\n%s", err, out)
		}
		return
	}
	dir := t.TempDir()
	db := openAt(t, filepath.Join(dir, "surefret.db"))
	appendAll(t, db, answer(0))
	lift := limited(t, 150_000)
	acknowledged, err := 1, error(nil)
	for ; err == nil && acknowledged < 1000; acknowledged++ {
		err = db.Append(t.Context(), answer(acknowledged))
	}
	acknowledged--
	told(t, err, db.Path(), store.ErrFull)
	limited(t, 20_000)
	told(t, db.Backup(t.Context(), filepath.Join(dir, "copy.db")), filepath.Join(dir, "copy.db"), store.ErrFull)
	many := make([]drills.Answer, 1000)
	for n := range many {
		many[n] = answer(n)
	}
	if file, err := db.SaveBeside(morning, many); err == nil {
		t.Errorf("it is in %s", file)
	}
	lift()
	if entries, _ := os.ReadDir(dir); len(entries) != 3 {
		t.Errorf("there is %v", entries)
	}
	db.Close()
	db = openAt(t, db.Path())
	if got := len(answers(t, db, 0)); got != acknowledged {
		t.Errorf("%d answers, want %d", got, acknowledged)
	}
	sound(t, db)
}
