package store_test

import (
	"context"
	"database/sql"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"surefret/store"
)

// A moment is a log as a process that is killed leaves it.
type moment struct{ file, journal string }

// moments makes logs that are practised in, now and then closed, and returns how
// each of them lay on the disk at several times.
func moments(t *testing.T) (all []moment) {
	dir := t.TempDir()
	content := func(name string) string {
		text, _ := os.ReadFile(name)
		return string(text)
	}
	for log := range 4 {
		path := filepath.Join(dir, fmt.Sprint(log, ".db"))
		db := openAt(t, path)
		for n, of := 0, []int{30, 150, 400, 400}[log]; n < of; n++ {
			r := answer(n)
			if log == 2 { // otherwise the logs say the same, as copies do
				r.ID = fmt.Sprint("other ", n)
			}
			appendAll(t, db, r)
			if n%(of/8) == 0 {
				all = append(all, moment{content(path), content(path + "-wal")})
			}
			if n == of/2 || n == of-3 {
				db.Close()
				db = openAt(t, path)
			}
		}
		db.Close()
	}
	return all
}

// rowsOf reads the ids of the answers in a file by SQLite alone.
func rowsOf(t *testing.T, path string) map[string]bool {
	t.Helper()
	all := map[string]bool{}
	pool := raw(t, path)
	defer pool.Close()
	rows, err := pool.Query(`SELECT id FROM answers`)
	if err != nil {
		return all
	}
	defer rows.Close()
	for rows.Next() {
		var id sql.NullString
		if rows.Scan(&id) == nil {
			all[id.String] = true
		}
	}
	return all
}

// SQLite writes any journal into the file beside which it lies. Whatever journal
// that is, the rows of the file stay, and what is told of the journal is true.
func TestAStrangeJournalTakesNothingAway(t *testing.T) {
	all := moments(t)
	rng := rand.New(rand.NewPCG(7, 7))
	counts, pairs := map[string]int{}, 40
	if long() {
		pairs = 200
	}
	for n := range pairs {
		file, journal := all[rng.IntN(len(all))], all[rng.IntN(len(all))]
		if n%4 == 0 {
			journal = file
		}
		dir := t.TempDir()
		path := filepath.Join(dir, "surefret.db")
		write := func(name, text string) {
			must(t, os.WriteFile(name, []byte(text), 0o600))
		}
		bare := filepath.Join(dir, "bare", "x.db")
		os.Mkdir(filepath.Dir(bare), 0o700)
		write(bare, file.file)
		own := rowsOf(t, bare)
		write(bare, file.file)
		write(bare+"-wal", file.journal)
		want := own
		if journal == file {
			want = rowsOf(t, bare) // what was acknowledged is there
		}
		ending := "-wal"
		write(path, file.file)
		write(path+ending, journal.journal)

		readonly, err := store.OpenReadOnly(t.Context(), path)
		if err != nil {
			t.Errorf("pair %d, for reading: %v", n, err)
		} else {
			if got := len(answers(t, readonly, 0)); got < len(want) {
				t.Errorf("pair %d, for reading: %d rows of %d", n, got, len(want))
			}
			readonly.Close()
		}
		db, err := store.Open(t.Context(), path)
		if err != nil {
			t.Errorf("pair %d: %v", n, err)
			continue
		}
		outcome := "joined"
		if db.Notice != "" {
			outcome = "set aside"
			_, kept, _ := strings.Cut(db.Notice, "it is kept as ")
			if text, _ := os.ReadFile(kept); string(text) != journal.journal {
				t.Errorf("pair %d: %s, but it is not there", n, db.Notice)
			}
			if journal == file {
				t.Errorf("pair %d: its own journal was taken for a strange one", n)
			}
			if got := len(answers(t, db, 0)); got != len(own) {
				t.Errorf("pair %d: %s, but of %d rows there are %d", n, db.Notice, len(own), got)
			}
		}
		counts[outcome]++
		if r, err := db.Check(t.Context()); err != nil || len(r.Faults) > 0 {
			t.Errorf("pair %d, %s: %v, %v", n, outcome, r.Faults, err)
		}
		db.Close()
		got := rowsOf(t, path)
		for id := range want {
			if !got[id] {
				t.Errorf("pair %d, %s: %s is gone", n, outcome, id)
			}
		}
		os.RemoveAll(dir)
	}
	t.Log(counts)
	if counts["set aside"] < pairs/4 || counts["joined"] < pairs/4 {
		t.Errorf("the pairs show little: %v", maps.Clone(counts))
	}
}

// A journal whose pages fit, but which brings a table that is none of the log's, is no
// damage of the log: it is set aside, unless it has answers as well.
func TestAJournalWithAStrangeTableIsNoDamage(t *testing.T) {
	for _, more := range []int{0, 3} {
		dir := t.TempDir()
		path, copied := filepath.Join(dir, "surefret.db"), filepath.Join(dir, "copy.db")
		content, rows := good(t, path, 20)
		must(t, os.WriteFile(copied, content, 0o600))
		db := openAt(t, copied)
		if _, err := raw(t, copied).Exec(`CREATE TABLE venues (name TEXT)`); err != nil {
			t.Fatal(err)
		}
		for n := range more {
			appendAll(t, db, answer(100+n))
		}
		journal, err := os.ReadFile(copied + "-wal")
		must(t, err)
		must(t, os.WriteFile(path+"-wal", journal, 0o600))
		for _, open := range []func(context.Context, string) (*store.DB, error){store.OpenReadOnly, store.Open} {
			db, err := open(t.Context(), path)
			if err != nil {
				t.Errorf("with %d answers more: %v", more, err)
				continue
			}
			if got := len(answers(t, db, 0)); got != len(rows)+more || (db.Notice != "") != (more == 0) || more == 0 && !strings.Contains(db.Notice, "-wal is not the journal of "+path) {
				t.Errorf("with %d answers more: %d answers, %q", more, got, db.Notice)
			}
			db.Close()
		}
	}
}
