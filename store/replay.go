package store

import (
	"context"
	"iter"

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
