package store

import (
	"cmp"
	"context"
	"database/sql"
	"iter"

	"surefret/drills"
)

// AppendAll adds many answers of this computer at once: all of them or, after
// an error, none. It is for logs that are made, not practised; an answer is kept
// by [DB.Append]. Rows that take others back are not for it.
func (db *DB) AppendAll(ctx context.Context, rows iter.Seq[drills.Answer]) error {
	const doing = "save the answers"
	if err := db.writable(doing); err != nil {
		return err
	}
	err := transact(ctx, db.write, func(tx *sql.Tx) error {
		insert, err := tx.PrepareContext(ctx, insertAnswer)
		if err != nil {
			return err
		}
		defer insert.Close()
		for r := range rows {
			r.Device = db.device
			r = tidy(r)
			if why := cmp.Or(faultOf(r), tooLate(r.At)); why != "" || r.TakesBack != "" {
				return &Error{Kind: ErrInput, Path: db.path, What: "could not save the answer of " + r.Item + ", " + why}
			}
			if _, err := insert.ExecContext(ctx, answerArgs(r, db.place)...); err != nil {
				return err
			}
		}
		return nil
	})
	return explain(db.path, doing, err)
}
