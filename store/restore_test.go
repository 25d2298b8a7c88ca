package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Restore sets all that belongs to a log aside, or nothing, and at every step of it
// there is a log under its name: with and without links from the file system.
func TestRestoreSetsAsideAllOrNothing(t *testing.T) {
	defer func() { link = os.Link }()
	backup := filepath.Join(t.TempDir(), "backup.db")
	content := old(t, backup, 3)
	was := map[string]string{"": "what was there, no log", "-wal": "a journal", "-shm": "its index", "-journal": "an older one"}
	for _, there := range [][]string{{}, {""}, {"", "-wal"}, {"-wal"}, {"-shm", "-journal"}, {"", "-wal", "-shm", "-journal"}, {"", "-wal", "folder"}} {
		for _, links := range []bool{true, false} {
			path := filepath.Join(t.TempDir(), "surefret.db")
			for _, ending := range there {
				err := os.WriteFile(path+ending, []byte(was[ending]), 0o600)
				if ending == "folder" { // which cannot be set aside
					err = os.Mkdir(path+"-journal", 0o700)
				}
				Must(t, err)
			}
			link = func(from, to string) error {
				if text, err := os.ReadFile(path); len(there) > 0 && there[0] == "" && (err != nil || string(text) != was[""]) {
					t.Errorf("%q, links %v: before %s is set aside there is no log: %v", there, links, filepath.Base(from), err)
				}
				if links {
					return os.Link(from, to)
				}
				return errors.ErrUnsupported
			}
			kept, err := Restore(t.Context(), path, backup, noon)
			aside, _ := filepath.Glob(filepath.Join(filepath.Dir(path), "*-before-restore-*"))
			if len(there) > 2 && there[2] == "folder" {
				if text, _ := os.ReadFile(path); err == nil || string(text) != was[""] || len(aside) > 0 {
					t.Errorf("links %v: %v, set aside: %q, the log is %q", links, err, aside, text)
				}
				continue
			}
			if err != nil || len(aside) != len(there) {
				t.Errorf("%q, links %v: %v, set aside: %q", there, links, err, aside)
				continue
			}
			for i, ending := range there {
				stem, _, _ := strings.Cut(kept, ".db-")
				name := strings.TrimSuffix(stem, ".db") + ".db" + ending
				if text, err := os.ReadFile(name); err != nil || string(text) != was[ending] || i == 0 && name != kept {
					t.Errorf("%q, links %v: %s holds %q, %v; kept is said to be %s", there, links, name, text, err, kept)
				}
			}
			db, err := Open(t.Context(), path)
			Must(t, err)
			if db.Notice != "" || exported(t, db) != content {
				t.Errorf("%q, links %v: %s, and it holds %s", there, links, db.Notice, exported(t, db))
			}
			db.Close()
		}
	}
}

// Another process may have taken the name by now.
func TestANewFileTakesNoNameThatIsTaken(t *testing.T) {
	dir := t.TempDir()
	tmp, path := filepath.Join(dir, "tmp"), filepath.Join(dir, "path")
	for _, with := range []func(string, string) error{link, func(string, string) error { return errors.ErrUnsupported }} {
		was := link
		link = with
		t.Cleanup(func() { link = was })
		os.Remove(path)
		for _, text := range []string{"first", "second"} {
			Must(t, os.WriteFile(tmp, []byte(text), 0o600))
			if err := adopt(tmp, path); errors.Is(err, fs.ErrExist) != (text == "second") {
				t.Errorf("the %s: %v", text, err)
			}
		}
		if text, _ := os.ReadFile(path); string(text) != "first" {
			t.Errorf("it says %q", text)
		}
	}
}
