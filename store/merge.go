package store

import (
	"context"
	"database/sql"
	"errors"
	"iter"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"time"

	"surefret/drills"
)

// Merged says what a merge or an import has done.
type Merged struct {
	Reviews int    `json:"reviews"` // answers that were new here
	Changes int    `json:"changes"` // changes of gigs and settings that were new here
	Known   int    `json:"known"`   // rows that were here already
	Clashes int    `json:"clashes"` // rows whose id stands for something else here; ours stayed
	Damaged int    `json:"damaged"` // rows of the other log that could not be read
	Torn    bool   `json:"torn"`    // whether a part of the other log could not be read at all
	Lost    []Loss `json:"lost,omitempty"`
}

// A Loss is a gig or a setting that both logs had changed, to different values:
// the later change counts, and this is the other one. It stays in the log.
type Loss struct {
	Kind string    `json:"kind"` // "gig" or "setting"
	Key  string    `json:"key"`
	Kept string    `json:"kept"` // JSON, "" where it was removed
	Lost string    `json:"lost"` // JSON, "" where it was removed
	At   time.Time `json:"at"`   // when the lost change was made
	Here bool      `json:"here"` // whether it was made in this log, not the other
}

// Merge takes over what another log has and this one has not: all of it or,
// after an error, nothing. Merging is the union of the rows by id, so it may be
// done twice, in both directions and in any order, and ends in the same log.
// The other log is only read. Rows of it that are damaged are left out and
// counted, which is how a damaged log is emptied into a restored one.
func (db *DB) Merge(ctx context.Context, other string) (Merged, error) {
	tmp, err := takeCopy(ctx, filepath.Dir(db.path), other)
	if err != nil {
		return Merged{}, err
	}
	defer os.Remove(tmp)
	return db.takeOver(ctx, tmp, other)
}

// takeOver adds the rows of the log in the file tmp, which nobody has open, in
// one transaction. name is what errors call it.
func (db *DB) takeOver(ctx context.Context, tmp, name string) (Merged, error) {
	from := &DB{path: name, read: connect(tmp, aside), devices: map[int64]string{}}
	defer from.read.Close()
	var done Merged
	// Room for the pages of a long log, so that each is written once.
	if _, err := db.write.ExecContext(ctx, `PRAGMA cache_size = -65536`); err != nil {
		return done, explain(db.path, "merge the logs", err)
	}
	defer db.write.ExecContext(context.WithoutCancel(ctx), `PRAGMA cache_size = -2000`)
	err := transact(ctx, db.write, func(tx *sql.Tx) error {
		in, err := newIntake(ctx, tx)
		if err != nil {
			return err
		}
		before, err := db.standing(ctx)
		if err != nil {
			return err
		}
		theirs := map[[2]string]change{}
		for c, err := range salvage(&in.done, func(after Cursor, order string) iter.Seq2[change, error] {
			return from.changes(ctx, `WHERE seq > ? ORDER BY seq `+order, int64(after))
		}) {
			if err != nil {
				return err
			}
			if err := in.change(ctx, c); err != nil {
				return err
			}
			if key := [2]string{c.kind, c.key}; later(c, theirs[key]) {
				theirs[key] = c
			}
		}
		for a, err := range salvage(&in.done, func(after Cursor, order string) iter.Seq2[arrival, error] {
			return from.arrivals(ctx, `WHERE seq > ? ORDER BY seq `+order, int64(after))
		}) {
			if err != nil {
				return err
			}
			if err := in.review(ctx, a.Review); err != nil {
				return err
			}
		}
		// A tree that points to the wrong page reads without a fault, and short.
		if quickCheck(ctx, from.read, name) != nil {
			in.done.Torn = true
		}
		in.done.Lost, err = losses(ctx, before, theirs, in.known, from)
		done = in.done
		return err
	})
	if err != nil {
		return Merged{}, explain(db.path, "merge the logs", err)
	}
	return done, nil
}

// standing returns the change that counts for each key, removals among them.
func (db *DB) standing(ctx context.Context) (map[[2]string]change, error) {
	all := map[[2]string]change{}
	for c, err := range db.changes(ctx, `ORDER BY at, id`) {
		if err != nil {
			return nil, err
		}
		all[[2]string{c.kind, c.key}] = c
	}
	return all, nil
}

// later reports whether a counts rather than b.
func later(a, b change) bool {
	return a.at.After(b.at) || a.at.Equal(b.at) && a.id > b.id
}

// losses finds the keys for which each side made a change that the other did
// not know of.
func losses(ctx context.Context, ours, theirs map[[2]string]change, known map[string]bool, from *DB) ([]Loss, error) {
	var lost []Loss
	for _, key := range slices.SortedFunc(maps.Keys(theirs), func(a, b [2]string) int { return slices.Compare(a[:], b[:]) }) {
		a, here := ours[key]
		b := theirs[key]
		if !here || a.id == b.id || string(a.value) == string(b.value) && (a.value == nil) == (b.value == nil) {
			continue
		}
		l := Loss{Kind: b.kind, Key: b.key, Kept: string(a.value), Lost: string(b.value), At: b.at}
		followed := known[b.id] // we had seen their change when we made ours
		if later(b, a) {
			l = Loss{Kind: b.kind, Key: b.key, Kept: string(b.value), Lost: string(a.value), At: a.at, Here: true}
			if err := from.read.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM changes WHERE id = ?)`, a.id).Scan(&followed); err != nil {
				return nil, err
			}
		}
		if !followed {
			lost = append(lost, l)
		}
	}
	return lost, nil
}

// An intake adds rows from elsewhere within one transaction.
type intake struct {
	tx      *sql.Tx
	reviews *sql.Stmt
	changes *sql.Stmt
	places  map[string]int64
	known   map[string]bool // ids of changes that were here before
	done    Merged
}

func newIntake(ctx context.Context, tx *sql.Tx) (*intake, error) {
	in := &intake{tx: tx, places: map[string]int64{}, known: map[string]bool{}}
	var err error
	if in.reviews, err = tx.PrepareContext(ctx, insertReview); err != nil {
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

func (in *intake) review(ctx context.Context, r drills.Review) error {
	place, err := in.place(ctx, r.Device)
	if err != nil {
		return err
	}
	added, err := in.add(ctx, in.reviews, "reviews", r.ID, sumOf(r), reviewArgs(r, place))
	if added {
		in.done.Reviews++
	}
	return err
}

func (in *intake) change(ctx context.Context, c change) error {
	place, err := in.place(ctx, c.device)
	if err != nil {
		return err
	}
	added, err := in.add(ctx, in.changes, "changes", c.id, sumOfChange(c), changeArgs(c, place))
	if added {
		in.done.Changes++
	} else {
		in.known[c.id] = true
	}
	return err
}

// add inserts one row unless its id is there, and tells the same row from
// another one by its checksum.
func (in *intake) add(ctx context.Context, insert *sql.Stmt, table, id string, sum uint32, args []any) (bool, error) {
	if err := ctx.Err(); err != nil {
		return false, err
	}
	res, err := insert.ExecContext(context.WithoutCancel(ctx), args...)
	if err != nil {
		return false, err
	}
	if n, err := res.RowsAffected(); err != nil || n == 1 {
		return err == nil, err
	}
	var here uint32
	if err := in.tx.QueryRowContext(ctx, `SELECT sum FROM `+table+` WHERE id = ?`, id).Scan(&here); err != nil {
		return false, err
	}
	if here == sum {
		in.done.Known++
	} else {
		in.done.Clashes++
	}
	return false, nil
}

// salvage yields every row of a table that can be read. query asks for the rows
// after a cursor in the given order. Rows that are not as they were written are
// counted and passed over; behind a page that does not read, it goes on from
// the other end of the table.
func salvage[T interface{ place() Cursor }](done *Merged, query func(after Cursor, order string) iter.Seq2[T, error]) iter.Seq2[T, error] {
	return func(yield func(T, error) bool) {
		var last Cursor
		for _, order := range []string{"ASC", "DESC"} {
			torn := false
			for row, err := range query(last, order) {
				if errors.Is(err, errRow) {
					done.Damaged++
				} else if errors.Is(err, ErrDamaged) {
					torn, done.Torn = true, true
				} else if !yield(row, err) || err != nil {
					return
				} else if order == "ASC" {
					last = row.place()
				}
			}
			if !torn {
				return
			}
		}
	}
}

func (a arrival) place() Cursor { return a.seq }
func (c change) place() Cursor  { return c.seq }
