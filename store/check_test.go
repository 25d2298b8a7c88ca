package store_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"surefret/store"
)

func TestCheckFindsASoundLogSound(t *testing.T) {
	db := newLog(t)
	fill(t, db)
	if _, err := db.DailyBackup(t.Context(), morning); err != nil {
		t.Fatal(err)
	}
	got, err := db.Check(t.Context())
	must(t, err)
	want := store.Report{Path: db.Path(), Bytes: got.Bytes, Answers: 51, Undone: 1, Changes: 7, Devices: 2,
		First: morning, Last: morning.Add(61 * time.Second), Faults: []string{}, Notes: []string{}}
	equal(t, want, got)
}

// Whatever is written meanwhile, the check sees one moment: it finds no faults that are
// none.
func TestCheckBesideAPractisingProcessFindsNoFault(t *testing.T) {
	db, practised := newLog(t), make(chan error)
	other := openAt(t, db.Path())
	ctx, stop := context.WithCancel(t.Context())
	must(t, db.SaveSettings(ctx, map[string]string{"aim": "1.5"}))
	go func() {
		var err error
		for n := 0; err == nil && ctx.Err() == nil; n++ {
			r := answer(n)
			r.Device = fmt.Sprint("computer ", n)
			err = errors.Join(other.Append(t.Context(), r), other.SaveSettings(t.Context(), map[string]string{"aim": fmt.Sprint(n)}))
		}
		practised <- err
	}()
	for range 20 {
		r, err := db.Check(t.Context())
		if err != nil || len(r.Faults) > 0 {
			t.Fatalf("%v, %v", r.Faults, err)
		}
		if more := r.Changes - r.Answers; more < 1 || more > 2 { // with the id of the player
			t.Errorf("%d answers and %d changes were never there at one moment", r.Answers, r.Changes)
		}
	}
	stop()
	if err := <-practised; err != nil {
		t.Error(err)
	}
}

func TestCheckFindsWhatIsWrong(t *testing.T) {
	for _, c := range []struct{ name, harm, says string }{
		{"a changed answer", `UPDATE answers SET answer = 'B' WHERE seq = 3`, "row 3 of the log is not as it was written"},
		{"a changed time", `UPDATE answers SET at = at + 1 WHERE seq = 3`, "row 3 of the log is not as it was written"},
		{"a changed verdict", `UPDATE answers SET correct = 1 - correct WHERE seq = 3`, "row 3 of the log is not as it was written"},
		{"many", `UPDATE answers SET thinking = 1`, "52 answers in all are not as they were written"},
		{"a removed answer", `DELETE FROM answers WHERE seq = 3`, "1 answers are missing"},
		{"a changed gig", `UPDATE changes SET value = replace(value, 'Harbour', 'Harvest')`, "of gigs and settings is not as it was written"},
		{"a removed change", `DELETE FROM changes WHERE seq = 2`, "1 changes of gigs and settings are missing"},
		{"a removed rule", `DROP INDEX answers_at`, "the index answers_at that belongs to the log is missing"},
		{"an answer of no device", `PRAGMA foreign_keys = off; DELETE FROM devices WHERE id = 'another computer'`, "a row refers to one that is missing: answers"},
		{"an old index", `PRAGMA writable_schema = on; UPDATE sqlite_schema SET sql = replace(sql, '(at)', '(at + 0)') WHERE name = 'answers_at'`, "the index answers_at"},
	} {
		t.Run(c.name, func(t *testing.T) {
			db := newLog(t)
			fill(t, db)
			smash(t, db.Path(), c.harm)
			got, err := db.Check(t.Context())
			must(t, err)
			if !strings.Contains(strings.Join(got.Faults, "\n"), c.says) {
				t.Errorf("found %q, want %q", got.Faults, c.says)
			}
		})
	}
	t.Run("access", func(t *testing.T) {
		db := newLog(t)
		file, err := db.DailyBackup(t.Context(), morning)
		must(t, err)
		for _, name := range []string{file, db.Path()} {
			must(t, os.Chmod(name, 0o644))
		}
		got, err := db.Check(t.Context())
		if err != nil || len(got.Faults) != 2 || !strings.Contains(fmt.Sprint(got.Faults), file+" may be read by others") {
			t.Errorf("found %q, %v", got.Faults, err)
		}
		db.Close()
		openAt(t, db.Path())
		if info, _ := os.Stat(db.Path()); info.Mode().Perm() != 0o600 {
			t.Errorf("opening left it %v", info.Mode())
		}
	})
	t.Run("the future", func(t *testing.T) {
		db := newLog(t)
		r := answer(1)
		r.At = morning.AddDate(1, 0, 0)
		appendAll(t, db, r)
		got, err := db.Check(t.Context())
		if err != nil || len(got.Faults) != 0 || len(got.Notes) != 1 {
			t.Errorf("found %+v, %v; want one note", got, err)
		}
	})
}
