package store

import (
	"context"
	"database/sql"
	"errors"
	"iter"

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

// rescue makes a new log in file of what can be read of the damaged one in tmp,
// called name. It says how many rows are damaged, and whether a part could not
// be read at all.
func rescue(ctx context.Context, file, tmp, name string) (damaged int, torn bool, err error) {
	pool := connect(tmp, aside)
	defer pool.Close()
	from := viewOf(ctx, pool, name)
	// A tree that points to the wrong page reads without a fault, and short.
	torn = quickCheck(ctx, pool, name) != nil
	err = fill(ctx, file, func(in *intake) error {
		n, tear, err := salvage(func(order string, after Cursor) iter.Seq2[change, error] {
			return from.changes(ctx, `WHERE seq > ? ORDER BY seq `+order, int64(after))
		}, func(c change) error { return in.change(ctx, c) })
		damaged, torn = damaged+n, torn || tear
		if err != nil {
			return err
		}
		n, tear, err = salvage(func(order string, after Cursor) iter.Seq2[arrival, error] {
			return from.arrivals(ctx, `WHERE seq > ? ORDER BY seq `+order, int64(after))
		}, func(a arrival) error { return in.answer(ctx, a.Answer) })
		damaged, torn = damaged+n, torn || tear
		return err
	})
	return damaged, torn, err
}

// salvage takes every row of a table that can be read. query asks for the rows
// after a cursor in the given order. Rows that are not as they were written are
// counted and passed over; behind a page that does not read, it goes on from
// the other end of the table.
func salvage[T interface{ place() Cursor }](query func(order string, after Cursor) iter.Seq2[T, error], take func(T) error) (damaged int, torn bool, err error) {
	var last Cursor
	for _, order := range []string{"ASC", "DESC"} {
		tear := false
		for row, err := range query(order, last) {
			switch {
			case errors.Is(err, errRow):
				damaged++
				continue
			case errors.Is(err, ErrDamaged):
				tear, torn = true, true
				continue
			case err != nil:
				return damaged, torn, err
			}
			if err := take(row); err != nil {
				return damaged, torn, err
			}
			last = row.place()
		}
		if !tear {
			break
		}
	}
	return damaged, torn, nil
}

func (a arrival) place() Cursor { return a.seq }
func (c change) place() Cursor  { return c.seq }
