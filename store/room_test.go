package store

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// in lists a folder, without the log and what belongs to it.
func in(t *testing.T, dir string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	Must(t, err)
	for _, e := range entries {
		if filepath.Ext(e.Name()) != ".db" && !strings.HasPrefix(e.Name(), "surefret.db-") {
			names = append(names, e.Name())
		}
	}
	return names
}

// What a killed run left goes at the next start of its kind, at once where its owner
// is known to be dead; what is in use stays.
func TestWhatAKilledRunLeftIsSwept(t *testing.T) {
	killed := exec.Command("true")
	if err := killed.Run(); err != nil {
		t.Skip(err)
	}
	backup := filepath.Join(t.TempDir(), "backup.db")
	old(t, backup, 3)
	for _, c := range []struct {
		name, where string // the folder, beside the log; "" is the shared one
		start       func(t *testing.T, path string) error
	}{
		{"open", ".", func(t *testing.T, path string) error { return closing(Open(t.Context(), path)) }},
		{"open", "", func(t *testing.T, path string) error { return closing(Open(t.Context(), path)) }},
		{"look", "", func(t *testing.T, path string) error { return closing(OpenReadOnly(t.Context(), path)) }},
		{"restore", ".", func(t *testing.T, path string) error {
			_, err := Restore(t.Context(), path, backup, time.Now())
			return err
		}},
		{"backup", "surefret-backups", func(t *testing.T, path string) error {
			db, err := Open(t.Context(), path)
			if err == nil {
				defer db.Close()
				_, err = db.DailyBackup(t.Context(), noon)
			}
			return err
		}},
	} {
		t.Run(c.name+" "+c.where, func(t *testing.T) {
			t.Setenv("TMPDIR", t.TempDir())
			path := filepath.Join(t.TempDir(), "surefret.db")
			dir := filepath.Join(filepath.Dir(path), c.where)
			if c.where == "" {
				dir = os.TempDir()
			}
			old(t, path, 3)
			long := time.Now().Add(-25 * time.Hour)
			var want []string
			for _, room := range []struct {
				name  string
				at    time.Time
				stays bool
			}{
				{fmt.Sprintf(".surefret-%s-%d-dead", fingerprint(), killed.Process.Pid), time.Now(), false},
				{fmt.Sprintf(".surefret-%s-%d-alive", fingerprint(), os.Getppid()), time.Now(), true},
				{fmt.Sprintf(".surefret-%s-%d-own", fingerprint(), os.Getpid()), time.Now(), true},
				{".surefret-elsewhere-1-old", long, false},
				{".surefret-elsewhere-1-young", time.Now(), true},
				{".another program's", long, true},
			} {
				err := errors.Join(os.MkdirAll(filepath.Join(dir, room.name), 0o700), os.WriteFile(filepath.Join(dir, room.name, "copy.db"), nil, 0o600),
					os.Chtimes(filepath.Join(dir, room.name), room.at, room.at))
				Must(t, err)
				if room.stays {
					want = append(want, room.name)
				}
			}
			slices.Sort(want)
			Must(t, c.start(t, path))
			if got := in(t, dir); !slices.Equal(got, want) {
				t.Errorf("there is %q, want %q", got, want)
			}
		})
	}
}

func closing(db *DB, err error) error {
	if err == nil {
		err = db.Close()
	}
	return err
}

// Whatever fails leaves nothing behind, and neither does a look that took a copy.
func TestNothingIsLeftBehind(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	dir := t.TempDir()
	path, bad, other := filepath.Join(dir, "surefret.db"), filepath.Join(dir, "bad.db"), filepath.Join(dir, "other.db")
	old(t, path, 3)
	old(t, other, 2)
	content, err := os.ReadFile(path)
	Must(t, err)
	copy(content[4096:], strings.Repeat("noise ", 1000))
	text := filepath.Join(dir, "text.db")
	Must(t, errors.Join(os.WriteFile(bad, content, 0o600), os.WriteFile(text, make([]byte, 8192), 0o600)))
	db, err := Open(t.Context(), path)
	Must(t, err)
	defer db.Close()
	for what, do := range map[string]func() error{
		"a merge":         func() error { _, err := db.Merge(t.Context(), other); return errors.Join(err, ErrOlder) },
		"a hopeless one":  func() error { _, err := db.Merge(t.Context(), text); return err },
		"an import":       func() error { _, err := db.Import(t.Context(), strings.NewReader("no")); return err },
		"a restore":       func() error { _, err := Restore(t.Context(), filepath.Join(dir, "new.db"), bad, noon); return err },
		"a full look":     func() error { return closing(OpenReadOnly(t.Context(), bad)) },
		"a look at a log": func() error { return errors.Join(closing(OpenReadOnly(t.Context(), other)), ErrOlder) },
	} {
		if do() == nil {
			t.Errorf("%s was to fail", what)
		}
		if got := append(in(t, dir), in(t, os.TempDir())...); len(got) > 0 {
			t.Errorf("%s left %q", what, got)
		}
	}
}
