package store

import (
	"context"
	"database/sql"
	"errors"
	"hash/crc32"
	"iter"
	"strconv"

	"surefret/drills"
)

// SaveSnapshot keeps state, which the store does not look into, as what
// replaying the effective answers up to the cursor gives. The caller has
// learned from all of them, in canonical order, by [DB.Replay]; where another program
// has dated some of them anew since, nothing is kept. version names the code and the
// settings that made it; its first word names the kind of memory, and the
// snapshot takes the place of the one of its kind.
//
// It is only a cache: of a log that was opened for reading, nothing is kept.
func (db *DB) SaveSnapshot(ctx context.Context, version string, upto Cursor, state []byte) error {
	if db.moment != nil {
		return nil
	}
	err := transact(ctx, db.write, func(tx *sql.Tx) error {
		if dates, err := datesNow(ctx, tx); err != nil || dates != db.dates.Load() {
			return err
		}
		var at int64
		var id string
		err := tx.QueryRowContext(ctx, `
			SELECT at, id FROM (SELECT at, id FROM answers INDEXED BY answers_at
				WHERE +seq <= ?1 AND seq NOT IN (SELECT seq FROM redated) ORDER BY at DESC, id DESC LIMIT 1)
			UNION ALL SELECT redated.at, id FROM redated CROSS JOIN answers USING (seq) WHERE redated.seq <= ?1
			ORDER BY 1 DESC, 2 DESC LIMIT 1`, int64(upto)).Scan(&at, &id)
		if err != nil && !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		if _, err := tx.ExecContext(ctx, `DELETE FROM snapshots
			WHERE substr(version, 1, instr(version || ' ', ' ')) = substr(?1, 1, instr(?1 || ' ', ' '))`, version); err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO snapshots (version, upto, at, id, state, sum) VALUES (?, ?, ?, ?, ?, ?)`,
			version, int64(upto), at, id, state, int64(snapshotSum(version, upto, at, id, state)))
		return err
	})
	return explain(db.path, "save the memory", err)
}

// snapshot returns the state that was saved for this version and the cursor up
// to which it covers the log, and reports whether it may be used: replaying
// [view.effective] from there on then gives what replaying the whole log would.
// It may not be used after a row has arrived that belongs before its last one,
// from a merge or from a clock that was set back, or that takes one of its rows
// back. Then, as when there is none, ok is false and the log is replayed from
// the start.
func (v *view) snapshot(ctx context.Context, version string) (upto Cursor, state []byte, ok bool, err error) {
	var at int64
	var id string
	var sum uint32
	err = v.read.QueryRowContext(ctx, `SELECT upto, at, id, state, sum FROM snapshots WHERE version = ?`, version).
		Scan(&upto, &at, &id, &state, &sum)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, nil, false, nil
	} else if err != nil {
		return 0, nil, false, explain(v.path, "read the memory", err)
	}
	if sum != snapshotSum(version, upto, at, id, state) {
		return 0, nil, false, nil // damaged, but it is only a cache
	}
	var stale bool
	// CROSS JOIN has SQLite begin with the few new rows.
	err = v.read.QueryRowContext(ctx, `SELECT
		? > (SELECT coalesce(max(seq), 0) FROM answers) OR
		EXISTS (SELECT 1 FROM answers WHERE seq > ? AND (at, id) <= (?, ?)) OR
		EXISTS (SELECT 1 FROM answers b CROSS JOIN answers a ON a.id = b.takes_back WHERE b.takes_back IS NOT NULL AND b.seq > ? AND a.seq <= ?)`,
		int64(upto), int64(upto), at, id, int64(upto), int64(upto)).Scan(&stale)
	if err != nil || stale {
		return 0, nil, false, explain(v.path, "read the memory", err)
	}
	return upto, state, true, nil
}

func snapshotSum(version string, upto Cursor, at int64, id string, state []byte) uint32 {
	head := version + "\n" + strconv.FormatInt(int64(upto), 10) + "\n" + strconv.FormatInt(at, 10) + "\n" + id + "\n"
	return crc32.Update(crc32.Checksum([]byte(head), castagnoli), castagnoli, state)
}

// Replay reads the log as it is at one moment. It calls resume once, with the state
// that was saved for version and the cursor up to which it covers the log, or with
// nil where there is none that may be used, as [view.snapshot] says; then read,
// once, with the rows that count in canonical order: those after that cursor if
// resume returned true, else all. It returns the cursor after the last row. What a
// clock that was ahead has dated is given its true place first, once, see [DB.redate].
func (db *DB) Replay(ctx context.Context, version string, resume func(upto Cursor, state []byte) bool,
	read func(iter.Seq2[drills.Answer, error]) error) (end Cursor, err error) {
	if db.write != db.readers { // not opened read-only
		if err := db.redate(ctx); err != nil {
			return 0, err
		}
	}
	err = db.frozen(ctx, func(v *view) error {
		upto, state, _, err := v.snapshot(ctx, version)
		if err != nil {
			return err
		}
		if !resume(upto, state) {
			upto = 0
		}
		if end, err = v.end(ctx); err != nil {
			return err
		}
		dates, err := datesNow(ctx, v.read)
		if err != nil {
			return explain(v.path, "read the log", err)
		}
		db.dates.Store(dates)
		return read(v.effective(ctx, upto))
	})
	return end, err
}
