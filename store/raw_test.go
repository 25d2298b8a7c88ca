package store_test

import (
	"bytes"
	"database/sql"
	"errors"
	"os"
	"strings"
	"testing"

	_ "github.com/mattn/go-sqlite3"

	"surefret/store"
)

// raw opens the file at path as another program would, past the store.
func raw(t testing.TB, path string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite3", path)
	must(t, err)
	db.SetMaxOpenConns(1)
	t.Cleanup(func() { db.Close() })
	return db
}

// smash does what no program should: it takes the triggers of the file away,
// changes it, and puts them back.
func smash(t testing.TB, path, harm string) {
	t.Helper()
	db := raw(t, path)
	defer db.Close()
	rows, err := db.Query(`SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'`)
	must(t, err)
	var drop, restore []string
	for rows.Next() {
		var name, text string
		must(t, rows.Scan(&name, &text))
		drop, restore = append(drop, "DROP TRIGGER "+name), append(restore, text)
	}
	rows.Close()
	for _, step := range [][]string{drop, {harm}, restore} {
		if _, err := db.Exec(strings.Join(step, ";")); err != nil {
			t.Fatal(err)
		}
	}
}

// pagesOf lists the numbers, from 1, of the pages that hold rows with this text
// (leaf pages of a table begin with 13: the SQLite file format, section 1.6).
func pagesOf(t testing.TB, path, text string) []int {
	t.Helper()
	content, err := os.ReadFile(path)
	must(t, err)
	var pages []int
	for n := 1; n*4096 < len(content); n++ {
		if page := content[n*4096:][:4096]; page[0] == 13 && bytes.Contains(page, []byte(text)) {
			pages = append(pages, n+1)
		}
	}
	if len(pages) < 8 {
		t.Fatalf("only %d pages hold %q", len(pages), text)
	}
	return pages
}

// spoil overwrites a page of a file with noise.
func spoil(t testing.TB, path string, page int) {
	t.Helper()
	content, err := os.ReadFile(path)
	if err == nil {
		copy(content[(page-1)*4096:], strings.Repeat("noise ", 4096/6))
		err = os.WriteFile(path, content, 0o600)
	}
	must(t, err)
}

func TestTheLogsAreAppendOnly(t *testing.T) {
	db := newLog(t)
	fill(t, db)
	before := export(t, db)
	other := raw(t, db.Path())
	for _, harm := range []string{
		`UPDATE answers SET answer = 'B'`,
		`UPDATE OR IGNORE answers SET answer = 'B'`,
		`DELETE FROM answers`,
		`DELETE FROM answers WHERE seq = 1`,
		`REPLACE INTO answers SELECT seq, id, device, at, day, item, question, 'B', want, correct, thinking, entry, takes_back, sum FROM answers`,
		`REPLACE INTO answers SELECT seq, id || 'x', device, at, day, item, question, 'B', want, correct, thinking, entry, takes_back, sum FROM answers`,
		`INSERT INTO answers SELECT * FROM answers WHERE true ON CONFLICT (id) DO UPDATE SET answer = 'B'`,
		`UPDATE changes SET value = NULL`,
		`DELETE FROM changes`,
		`REPLACE INTO changes SELECT seq, id, device, at, kind, key, NULL, sum FROM changes`,
	} {
		_, err := other.Exec(harm)
		t.Logf("%.40s: %v", harm, err)
		if got := export(t, db); got != before {
			t.Errorf("%s has changed the log", harm)
		}
	}
	sound(t, db)
}

// A line break that came into a row, and a field that was lost from it, are
// damage, though the rest of the row is as its checksum says.
func TestARowWithALineTooManyOrTooFewIsDamage(t *testing.T) {
	for _, harm := range []string{
		`UPDATE answers SET takes_back = char(10) || 'more'`,
		`UPDATE answers SET takes_back = char(10)`,
		`UPDATE answers SET entry = entry || char(10)`,
		`UPDATE answers SET question = ''`,
	} {
		db := newLog(t)
		appendAll(t, db, answer(1))
		smash(t, db.Path(), harm)
		if rows, _, err := db.Tail(t.Context(), 0); !errors.Is(err, store.ErrDamaged) {
			t.Errorf("%s: %v, %v", harm, rows, err)
		}
	}
}
