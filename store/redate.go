package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"iter"
	"slices"
	"time"

	"surefret/drills"
)

// A clock that was ahead dates answers after the day on which they were given. The
// rows stay as they were written; when the log is next read with a clock that is
// right, the file notes once when they count as given, and from then on they have
// that place. Ids of one device rise whatever its clock does, so that is the time of
// the device's next answer, or now where there is none.

const (
	// aheadBy is how far an answer may be ahead of the clock, for travel and clocks
	// that are not quite right.
	aheadBy = 24 * time.Hour

	// fewAhead is how many answers may be ahead though most of the log is: in a
	// longer log it is the clock of now that is wrong, and behind.
	fewAhead = 2000
)

// A dating is when an answer counts as given.
type dating struct {
	at  int64 // ms since 1970 UTC
	day string
}

// redate notes the answers that are ahead of the clock, and forgets those whose day
// has come. What was learned from the log is learned anew after that.
func (db *DB) redate(ctx context.Context) error {
	now := db.Now()
	limit := now.Add(aheadBy).UnixMilli()
	var found, past bool
	err := db.readers.QueryRowContext(ctx, `SELECT
		EXISTS (SELECT 1 FROM answers INDEXED BY answers_at WHERE at > ?1 AND seq NOT IN (SELECT seq FROM redated WHERE at <= ?1)),
		EXISTS (SELECT 1 FROM redated CROSS JOIN answers USING (seq) WHERE answers.at <= ?1)`, limit).Scan(&found, &past)
	if err == nil && (found || past) {
		err = transact(ctx, db.write, func(tx *sql.Tx) error { return redate(ctx, tx, now, limit) })
	}
	return explain(db.path, "date the answers that are ahead of the clock", err)
}

func redate(ctx context.Context, tx *sql.Tx, now time.Time, limit int64) error {
	res, err := tx.ExecContext(ctx, `DELETE FROM redated WHERE seq IN (SELECT seq FROM redated CROSS JOIN answers USING (seq) WHERE answers.at <= ?)`, limit)
	if err != nil {
		return err
	}
	changed, err := res.RowsAffected()
	if err != nil {
		return err
	}
	var ahead, all int
	err = tx.QueryRowContext(ctx, `SELECT (SELECT count(*) FROM answers INDEXED BY answers_at WHERE at > ?), (SELECT count(*) FROM answers)`, limit).Scan(&ahead, &all)
	if err != nil {
		return err
	}
	if ahead <= max(fewAhead, all/2) {
		found, err := datings(ctx, tx, now, limit)
		if err != nil {
			return err
		}
		for seq, d := range found {
			if _, err := tx.ExecContext(ctx, `INSERT INTO redated (seq, at, day) VALUES (?, ?, ?)
				ON CONFLICT (seq) DO UPDATE SET at = excluded.at, day = excluded.day`, seq, d.at, d.day); err != nil {
				return err
			}
		}
		changed += int64(len(found))
	}
	if changed > 0 {
		_, err = tx.ExecContext(ctx, `DELETE FROM snapshots; INSERT INTO here (key, value) VALUES (?, 1)
			ON CONFLICT (key) DO UPDATE SET value = value + 1`, datesKey)
	}
	return err
}

// datesKey is what counts, in here, how often dates were changed: what was learned by
// those of before is not to be kept.
const datesKey = "dates"

// datesNow returns that count.
func datesNow(ctx context.Context, from querier) (n int64, err error) {
	err = from.QueryRowContext(ctx, `SELECT coalesce(max(CAST(value AS INTEGER)), 0) FROM here WHERE key = ?`, datesKey).Scan(&n)
	return n, err
}

// datings works out when the answers count that are ahead and that are not noted yet,
// or were noted by a clock that was ahead too.
func datings(ctx context.Context, tx *sql.Tx, now time.Time, limit int64) (map[int64]dating, error) {
	rows, err := tx.QueryContext(ctx, `SELECT a.seq, device, coalesce(r.at, a.at), coalesce(r.day, a.day)
		FROM answers a LEFT JOIN redated r USING (seq)
		WHERE id >= (SELECT min(id) FROM answers INDEXED BY answers_at WHERE at > ?) ORDER BY id DESC`, limit)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	found, next := map[int64]dating{}, map[int64]dating{}
	for rows.Next() {
		var seq, device int64
		var d dating
		if err := rows.Scan(&seq, &device, &d.at, &d.day); err != nil {
			return nil, err
		}
		if d.at > limit {
			var ok bool
			if d, ok = next[device]; !ok {
				d = dating{now.UnixMilli(), dayOf(now)}
			}
			found[seq] = d
		}
		next[device] = d
	}
	return found, rows.Err()
}

// dayOf returns the practice day of an instant, which begins at 4 in the morning. The
// store knows no scheduler to ask.
func dayOf(t time.Time) string {
	_, offset := t.Local().Zone()
	return t.UTC().Add(time.Duration(offset)*time.Second - 4*time.Hour).Format(time.DateOnly)
}

// redated returns the answers after the cursor that have another date than they were
// written with, in the order in which they count; where says which of them are asked
// for.
func (v *view) redated(ctx context.Context, after Cursor, where string) ([]drills.Answer, error) {
	dates := map[Cursor]dating{}
	rows, err := v.read.QueryContext(ctx, `SELECT seq, at, day FROM redated WHERE seq > ?`, int64(after))
	if err != nil {
		return nil, explain(v.path, "read the log", err)
	}
	defer rows.Close()
	for rows.Next() {
		var seq Cursor
		var d dating
		if err := rows.Scan(&seq, &d.at, &d.day); err != nil || !isDay(d.day) {
			return nil, damagedError(v.path, "a date of an answer does not read", errors.Join(errRow, err))
		}
		dates[seq] = d
	}
	if err := rows.Err(); err != nil || len(dates) == 0 {
		return nil, explain(v.path, "read the log", err)
	}
	var all []drills.Answer
	for a, err := range v.arrivals(ctx, `WHERE seq > ? AND seq IN (SELECT seq FROM redated) AND `+where, int64(after)) {
		if err != nil {
			return nil, err
		}
		a.At, a.Day = time.UnixMilli(dates[a.seq].at).UTC(), dates[a.seq].day
		all = append(all, a.Answer)
	}
	slices.SortFunc(all, inTime)
	return all, nil
}

func inTime(a, b drills.Answer) int {
	return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.ID, b.ID))
}

// merged yields rows and others, both in the order of time, as one.
func merged(rows iter.Seq2[drills.Answer, error], others []drills.Answer) iter.Seq2[drills.Answer, error] {
	return func(yield func(drills.Answer, error) bool) {
		for r, err := range rows {
			for err == nil && len(others) > 0 && inTime(others[0], r) < 0 {
				if !yield(others[0], nil) {
					return
				}
				others = others[1:]
			}
			if !yield(r, err) || err != nil {
				return
			}
		}
		for _, r := range others {
			if !yield(r, nil) {
				return
			}
		}
	}
}
