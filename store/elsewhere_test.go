package store_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"surefret/store"
)

// A file from elsewhere may hold anything that SQL can say. It is refused or emptied of
// its answers in the end, and nothing of it but rows comes over.
func TestACraftedDatabaseDoesNoHarm(t *testing.T) {
	const endless = `WITH RECURSIVE r(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r) SELECT `
	row := `n AS seq, '' AS id, 1 AS device, 0 AS at, '' AS day, '' AS item, '' AS question, '' AS answer, '' AS want, 0 AS correct, 0 AS thinking, '' AS entry, NULL AS takes_back, 0 AS sum FROM r`
	for name, harm := range map[string]string{
		"endless rows":             `DROP TABLE answers; CREATE VIEW answers AS ` + endless + row,
		"endless without a row":    `DROP TABLE answers; CREATE VIEW answers AS ` + endless + row + ` WHERE n < 0`,
		"endless devices":          `DROP TABLE devices; CREATE VIEW devices AS ` + endless + `n, '' AS id FROM r WHERE n < 0`,
		"endless older":            `DROP TABLE answers; PRAGMA user_version = 2; CREATE VIEW reviews AS ` + endless + row + ` WHERE n < 0`,
		"a trigger that swallows":  `CREATE TRIGGER no BEFORE INSERT ON answers BEGIN SELECT RAISE(IGNORE); END`,
		"a table more":             `CREATE TABLE venues (name)`,
		"a trigger of another one": `CREATE TABLE venues (name); CREATE TRIGGER no AFTER INSERT ON changes BEGIN DELETE FROM venues; END`,
	} {
		for _, journal := range []bool{false, true} {
			other := filepath.Join(t.TempDir(), "other.db")
			good(t, other, 20)
			crafting := raw(t, other)
			if _, err := crafting.Exec(`PRAGMA foreign_keys = off; ` + harm); err != nil {
				t.Fatal(name, err)
			}
			if journal { // its process was killed before it had closed the file
				for file, content := range bytesOf(t, other) {
					must(t, os.WriteFile(strings.Replace(file, "other.db", "killed.db", 1), []byte(content), 0o600))
				}
				other = filepath.Join(filepath.Dir(other), "killed.db")
			}
			crafting.Close()
			db := newLog(t)
			wild := strings.HasPrefix(name, "endless") && !journal
			// A journal that brings what is none of the log's is not its own: the file is
			// taken without it.
			path := filepath.Join(t.TempDir(), "restored.db")
			if _, err := store.Restore(t.Context(), path, other, morning); err == nil {
				if r, err := openAt(t, path).Check(t.Context()); !journal || err != nil || len(r.Faults) > 0 || r.Answers != 20 {
					t.Errorf("%s, journal %v: restored %+v, %v", name, journal, r, err)
				}
			} else if told(t, err, other, store.ErrForeign, store.ErrDamaged); journal {
				t.Errorf("%s: %v", name, err)
			}
			m, err := db.Merge(t.Context(), other)
			if err != nil && wild {
				told(t, err, other, store.ErrForeign, store.ErrDamaged)
			} else if err != nil || m.Answers != 20 && !wild {
				t.Errorf("%s, journal %v: %+v, %v", name, journal, m, err)
			}
			if own, err := store.Open(t.Context(), other); !journal && wild {
				told(t, err, other, store.ErrDamaged)
			} else if journal {
				if err != nil || own.Notice == "" || len(answers(t, own, 0)) != 20 {
					t.Errorf("%s: opened with such a journal: %v", name, err)
				}
				own.Close()
			} else if err == nil {
				own.Close()
			}
			appendAll(t, db, answer(50))
			if r, err := db.Check(t.Context()); err != nil || len(r.Faults) > 0 || r.Answers != m.Answers+1 {
				t.Errorf("%s, journal %v: %+v, %v", name, journal, r, err)
			}
		}
	}
}

// A log is not merged with itself, by whatever name.
func TestALogIsNotMergedWithItself(t *testing.T) {
	db := newLog(t)
	appendAll(t, db, answer(1))
	before := export(t, db)
	in := func(name string) string { return filepath.Join(filepath.Dir(db.Path()), name) }
	must(t, errors.Join(os.Symlink("surefret.db", in("soft.db")), os.Link(db.Path(), in("hard.db"))))
	for _, name := range []string{db.Path(), in("../"+filepath.Base(in("."))) + "/surefret.db", in("soft.db"), in("hard.db")} {
		_, err := db.Merge(t.Context(), name)
		told(t, err, name, store.ErrInput)
	}
	equal(t, before, export(t, db))
	// Its locks are held as before.
	if _, err := store.Restore(t.Context(), db.Path(), in("hard.db"), morning); !errors.Is(err, store.ErrLocked) {
		t.Errorf("it may be exchanged: %v", err)
	}
}

// Names that no file can have say what they are.
func TestNamesThatNoFileCanHave(t *testing.T) {
	dir, db := t.TempDir(), newLog(t)
	for name, to := range map[string]string{"loop.db": "back.db", "back.db": "loop.db"} {
		must(t, os.Symlink(to, filepath.Join(dir, name)))
	}
	opening := func(open func(context.Context, string) (*store.DB, error)) func(string) error {
		return func(name string) error { _, err := open(t.Context(), name); return err }
	}
	sound := filepath.Join(dir, "sound.db")
	good(t, sound, 1)
	for _, c := range []struct{ name, says string }{
		{strings.Repeat("x", 300) + ".db", "is too long"},
		{"loop.db", "lead round in a circle"},
	} {
		name := filepath.Join(dir, c.name)
		for what, do := range map[string]func(name string) error{
			"open": opening(store.Open), "look": opening(store.OpenReadOnly),
			"restore": func(name string) error { _, err := store.Restore(t.Context(), sound, name, morning); return err },
			"over":    func(name string) error { _, err := store.Restore(t.Context(), name, sound, morning); return err },
			"merge":   func(name string) error { _, err := db.Merge(t.Context(), name); return err },
			"backup":  func(name string) error { return db.Backup(t.Context(), name) },
			"guard":   func(name string) error { return store.Guard(sound, name) },
		} {
			err := do(name)
			if what == "backup" && c.name == "loop.db" { // which is not written through
				told(t, err, name, store.ErrExists)
				continue
			}
			told(t, err, name, store.ErrMissing)
			if !strings.Contains(err.Error(), c.says) {
				t.Errorf("%s: %v", what, err)
			}
		}
	}
}
