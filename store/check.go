package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"runtime"
	"slices"
	"strings"
	"time"
)

// A Report is what [DB.Check] has found.
type Report struct {
	Path     string    `json:"path"`
	Bytes    int64     `json:"bytes"` // size of the main file
	Answers  int       `json:"answers"`
	Undone   int       `json:"taken_back"` // how many of them were taken back; the rows that take back are no answers
	Changes  int       `json:"changes"`    // of gigs and settings
	Devices  int       `json:"devices"`    // computers that practice came from
	First    time.Time `json:"first"`      // zero where there are no answers
	Last     time.Time `json:"last"`
	Snapshot bool      `json:"snapshot"` // whether a memory is kept beside the log
	Faults   []string  `json:"faults"`   // what is wrong, one sentence each; none in a sound log
	Notes    []string  `json:"notes"`    // what is worth knowing, but no fault
}

// Err returns [ErrDamaged] where there are faults, with the way back.
func (r Report) Err() error {
	if len(r.Faults) == 0 {
		return nil
	}
	return &Error{kind: ErrDamaged, path: r.Path, what: fmt.Sprintf("%s has faults, %d in all", r.Path, len(r.Faults))}
}

// maxFaults is the most faults of one kind that are told one by one.
const maxFaults = 5

// Check reads the whole file and says what it finds: whether pages, indexes and
// references fit together, whether every row is as it was written and none is
// missing, whether the rules that protect the log are in place, and whether other
// users of the computer can read it, all at one moment. It changes nothing. The error
// is for a check that could not be made, not for what it found.
//
// That the memory kept beside the log is what replaying gives is for the caller
// to check: the store does not know what the memory means.
func (db *DB) Check(ctx context.Context) (Report, error) {
	r := Report{Path: db.path, Faults: []string{}, Notes: []string{}}
	err := db.frozen(ctx, func(v *view) error {
		for _, look := range []func(context.Context, *view, *Report) error{
			checkPages, checkRules, db.checkAnswers, checkChanges, db.checkAccess,
		} {
			if err := look(ctx, v, &r); errors.Is(err, ErrDamaged) {
				r.Faults = append(r.Faults, err.Error())
			} else if err != nil {
				return err
			}
		}
		return nil
	})
	return r, err
}

func checkPages(ctx context.Context, v *view, r *Report) error {
	for check, what := range map[string]string{
		"integrity_check(1)": "pages and indexes do not fit together: ",
		"foreign_key_check":  "a row refers to one that is missing: ",
	} {
		rows, err := v.read.QueryContext(ctx, `PRAGMA `+check)
		if err != nil {
			return explain(v.path, "check the log", err)
		}
		defer rows.Close()
		for rows.Next() {
			var says sql.NullString
			columns, err := rows.Columns()
			if err != nil {
				return err
			}
			into := make([]any, len(columns))
			for i := range into {
				into[i] = new(any)
			}
			into[0] = &says
			if err := rows.Scan(into...); err != nil {
				return explain(v.path, "check the log", err)
			}
			if says.String != "ok" && len(r.Faults) < maxFaults {
				r.Faults = append(r.Faults, what+clean(says.String, maxName))
			}
		}
		if err := rows.Err(); err != nil {
			return explain(v.path, "check the log", err)
		}
	}
	return nil
}

// checkRules compares the tables, indexes and triggers with those of a new log.
func checkRules(ctx context.Context, v *view, r *Report) error {
	odd, err := strangeRules(ctx, v.read, formats)
	r.Faults = append(r.Faults, odd...)
	return explain(v.path, "check the log", err)
}

func (db *DB) checkAnswers(ctx context.Context, v *view, r *Report) error {
	var rows, bad, future int
	var end Cursor
	late := db.Now().Add(24 * time.Hour)
	for a, err := range v.arrivals(ctx, `ORDER BY seq`) {
		if errors.Is(err, errRow) {
			if bad++; bad <= maxFaults {
				r.Faults = append(r.Faults, err.Error())
			}
		} else if err != nil {
			return err
		}
		end = max(end, a.seq)
		if rows++; a.TakesBack == "" {
			r.Answers++
		}
		if err != nil {
			continue
		}
		if r.First.IsZero() || a.At.Before(r.First) {
			r.First = a.At
		}
		if a.At.After(r.Last) {
			r.Last = a.At
		}
		if a.At.After(late) {
			future++
		}
	}
	if bad > maxFaults {
		r.Faults = append(r.Faults, fmt.Sprintf("%d answers in all are not as they were written", bad))
	}
	if missing := int(end) - rows; missing > 0 {
		r.Faults = append(r.Faults, fmt.Sprintf("%d answers are missing from the log", missing))
	}
	if future > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("%d answers are dated after today: was a clock wrong?", future))
	}
	var orphans, twins int
	err := v.read.QueryRowContext(ctx, `SELECT
		(SELECT count(*) FROM devices),
		EXISTS (SELECT 1 FROM snapshots),
		(SELECT count(DISTINCT a.seq) FROM answers b CROSS JOIN answers a ON a.id = b.takes_back WHERE b.takes_back IS NOT NULL AND a.takes_back IS NULL),
		(SELECT count(*) FROM answers b WHERE b.takes_back IS NOT NULL AND NOT EXISTS (SELECT 1 FROM answers a WHERE a.id = b.takes_back)),
		(SELECT count(*) - count(DISTINCT id) FROM answers)`).
		Scan(&r.Devices, &r.Snapshot, &r.Undone, &orphans, &twins)
	if orphans > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("%d rows take back answers that are in another log; 'surefret data merge' brings them together", orphans))
	}
	if twins > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("%d answers have the id of another one and say something else; all of them count", twins))
	}
	return explain(v.path, "check the log", err)
}

func checkChanges(ctx context.Context, v *view, r *Report) error {
	var end Cursor
	for c, err := range v.changes(ctx, `ORDER BY seq`) {
		if errors.Is(err, errRow) {
			r.Faults = append(r.Faults, err.Error())
		} else if err != nil {
			return err
		}
		end = max(end, c.seq)
		r.Changes++
	}
	if missing := int(end) - r.Changes; missing > 0 {
		r.Faults = append(r.Faults, fmt.Sprintf("%d changes of gigs and settings are missing", missing))
	}
	return nil
}

// checkAccess looks for files that others than the owner may read.
func (db *DB) checkAccess(_ context.Context, _ *view, r *Report) error {
	info, err := os.Stat(db.file)
	if err != nil {
		return explain(db.path, "check the log", err)
	}
	r.Bytes = info.Size()
	if runtime.GOOS == "windows" {
		return nil // its permissions are not in the mode
	}
	files := []string{db.file, db.file + "-wal", db.file + "-shm"}
	for _, name := range append(files, allBackups(db.path)...) {
		info, err := os.Stat(name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		} else if err != nil {
			return explain(name, "check who may read it", err)
		}
		if info.Mode().Perm()&0o077 != 0 {
			r.Faults = append(r.Faults, fmt.Sprintf("%s may be read by others: 'chmod 600' makes it yours alone", name))
		}
	}
	return nil
}

// rules returns the tables, indexes, triggers and views of a database by name, but for
// the indexes that SQLite makes itself.
func rules(ctx context.Context, from querier) (map[string]string, error) {
	return pairs(ctx, from, `SELECT type || ' ' || name, sql FROM sqlite_schema WHERE sql IS NOT NULL`)
}

// pairs returns the rows of a query for two texts.
func pairs(ctx context.Context, from querier, query string) (map[string]string, error) {
	rows, err := from.QueryContext(ctx, query)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all := map[string]string{}
	for rows.Next() {
		var name, text string
		if err := rows.Scan(&name, &text); err != nil {
			return nil, err
		}
		all[name] = text
	}
	return all, rows.Err()
}

// newSchema returns a database in memory as the scripts make it.
func newSchema(ctx context.Context, formats []string) (*sql.DB, error) {
	pool := connect(":memory:", aside)
	pool.SetMaxOpenConns(1) // each connection has a database of its own
	if _, err := pool.ExecContext(ctx, strings.Join(formats, "\n")); err != nil {
		pool.Close()
		return nil, err
	}
	return pool, nil
}

// strangeRules says, one sentence each, in what the rules of a database differ
// from those that the scripts make.
func strangeRules(ctx context.Context, from querier, formats []string) ([]string, error) {
	sample, err := newSchema(ctx, formats)
	if err != nil {
		return nil, err
	}
	defer sample.Close()
	want, err := rules(ctx, sample)
	if err != nil {
		return nil, err
	}
	got, err := rules(ctx, from)
	if err != nil {
		return nil, err
	}
	var strange []string
	for _, name := range slices.Sorted(maps.Keys(want)) {
		if got[name] != want[name] {
			strange = append(strange, fmt.Sprintf("the %s that belongs to the log is missing or was changed", name))
		}
	}
	for _, name := range slices.Sorted(maps.Keys(got)) {
		if _, known := want[name]; !known {
			strange = append(strange, fmt.Sprintf("the %s is none of the log's", clean(name, maxName)))
		}
	}
	return strange, nil
}
