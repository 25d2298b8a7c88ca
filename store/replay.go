package store

import (
	"context"
	"errors"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"strings"
	"time"

	"surefret/drills"
)

// Replay reads the log as it is at one moment. It calls resume once, with the state
// that was saved for version and the cursor up to which it covers the log, or with
// nil where there is none that may be used, as [view.snapshot] says; then read,
// once, with the rows that count in canonical order: those after that cursor if
// resume returned true, else all. It returns the cursor after the last row. What a
// clock that was ahead has dated is given its true place first, once; see redate.go.
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

// SaveBeside writes rows that cannot be saved to a new file beside the log, for its
// owner alone, which [DB.Import] reads, and returns its name. They need an ID and a
// Device. A file that could not be finished is not left.
func (db *DB) SaveBeside(now time.Time, rows []drills.Answer) (file string, err error) {
	stem := strings.TrimSuffix(db.path, filepath.Ext(db.path))
	var f *os.File
	for {
		file = freeName(stem+".jsonl", "-unsaved-", now)
		if f, err = os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600); err == nil {
			break
		} else if !errors.Is(err, fs.ErrExist) { // another process was faster
			return "", explain(file, "write what could not be saved", err)
		}
	}
	err = export(f, func(x *exporter) error {
		for _, r := range rows {
			if err := x.add(lineOf(tidy(r))); err != nil {
				return err
			}
		}
		return nil
	})
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		os.Remove(file)
		return "", explain(file, "write what could not be saved", err)
	}
	return file, nil
}

// Locked reports whether another program keeps the file busy: what failed may be
// tried again.
func (e *Error) Locked() bool { return e.Kind == ErrLocked }
