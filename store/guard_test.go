package store_test

import (
	"os"
	"path/filepath"
	"testing"

	"surefret/store"
)

func TestNothingIsWrittenOverAPracticeOrADatabase(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "surefret.db")
	good(t, path, 20)
	in := func(name string) string { return filepath.Join(dir, name) }
	write := func(name, text string) {
		must(t, os.WriteFile(in(name), []byte(text), 0o600))
	}
	write("copy.txt", "SQLite format 3\x00 and more")
	write("old-wal.txt", "\x37\x7f\x06\x83")
	write("text.txt", "SQLite")
	must(t, os.MkdirAll(in("surefret-backups"), 0o700))
	write("surefret-backups/2026-11-25.db", "")
	for link, to := range map[string]string{"soft.txt": "surefret.db", "dangling": "surefret.db-wal", "fine": "new.txt"} {
		must(t, os.Symlink(to, in(link)))
	}
	must(t, os.Link(path, in("hard.txt")))
	for name, free := range map[string]bool{
		"surefret.db": false, "x/../surefret.db": false, "surefret.db-wal": false, "surefret.db-shm": false, "surefret.db-journal": false,
		"soft.txt": false, "hard.txt": false, "dangling": false, "copy.txt": false, "copy.txt-wal": false, "old-wal.txt": false,
		"surefret-backups/2026-11-25.db": false,
		"text.txt":                       true, "new.txt": true, "new.db": true, "fine": true, "/dev/null": true, "none/new.txt": true,
	} {
		if !filepath.IsAbs(name) {
			name = in(name)
		}
		err := store.Guard(path, name)
		if free && err != nil {
			t.Errorf("%s: %v", name, err)
		} else if !free {
			told(t, err, name, store.ErrExists)
		}
	}
	// A practice that is still to be made is not to be made by another writer.
	if err := store.Guard(in("first.db"), in("first.db")); err == nil {
		t.Error("the place of a practice is free")
	}
}
