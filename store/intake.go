package store

import (
	"context"
	"database/sql"
	"errors"

	"surefret/drills"
)

// An intake fills a new log with rows from elsewhere, within one transaction.
type intake struct {
	tx      *sql.Tx
	answers *sql.Stmt
	changes *sql.Stmt
	places  map[string]int64
}

// fill makes a new log in file and has f fill it.
func fill(ctx context.Context, file string, f func(*intake) error) error {
	if err := create(ctx, file, formats); err != nil {
		return err
	}
	pool := connect(file, aside)
	defer pool.Close()
	// What is lost with the power is gathered again.
	if _, err := pool.ExecContext(ctx, `PRAGMA journal_mode = DELETE`); err != nil {
		return err
	}
	err := transact(ctx, pool, func(tx *sql.Tx) error {
		in, err := newIntake(ctx, tx)
		if err != nil {
			return err
		}
		return f(in)
	})
	return errors.Join(err, pool.Close())
}

func newIntake(ctx context.Context, tx *sql.Tx) (*intake, error) {
	in := &intake{tx: tx, places: map[string]int64{}}
	var err error
	if in.answers, err = tx.PrepareContext(ctx, insertAnswer); err != nil {
		return nil, err
	}
	in.changes, err = tx.PrepareContext(ctx, insertChange)
	return in, err
}

func (in *intake) place(ctx context.Context, device string) (int64, error) {
	if n, ok := in.places[device]; ok {
		return n, nil
	}
	n, err := placeOf(ctx, in.tx, device)
	in.places[device] = n
	return n, err
}

func (in *intake) answer(ctx context.Context, r drills.Answer) error {
	place, err := in.place(ctx, r.Device)
	if err != nil {
		return err
	}
	return in.add(ctx, in.answers, answerArgs(r, place))
}

func (in *intake) change(ctx context.Context, c change) error {
	c.key = keyNow(c.kind, c.key)
	place, err := in.place(ctx, c.device)
	if err != nil {
		return err
	}
	return in.add(ctx, in.changes, changeArgs(c, place))
}

// add inserts one row, unless it is there. The driver would start a goroutine a
// row to watch a context that can end: it is asked here.
func (in *intake) add(ctx context.Context, insert *sql.Stmt, args []any) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	_, err := insert.ExecContext(context.WithoutCancel(ctx), args...)
	return err
}
