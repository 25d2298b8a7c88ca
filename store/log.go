package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"hash/crc32"
	"iter"
	"strconv"
	"time"

	"surefret/drills"
)

// A Cursor is a place in the order in which reviews arrived in this file. Zero
// is before the first. It means nothing in another file.
type Cursor int64

const (
	reviewColumns = `seq, id, device, at, day, item, question, answer, want, correct, thinking, entry, takes_back, sum`
	insertReview  = `INSERT INTO reviews (id, device, at, day, item, question, answer, want, correct, thinking, entry, takes_back, sum)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`
)

// Append adds a review to the log. It is on the disk when Append returns nil,
// and what is on the disk stays. An empty Device means this one, and an empty
// ID gets one. Times are kept to the millisecond in UTC, texts in one line
// without control characters. Appending the same row again changes nothing.
//
// A row that takes back another is refused with [ErrInput] where the log has no
// answer of that id. Other errors are [ErrFull], [ErrLocked] and their like;
// then the row is not in the log, or, after a failure of the disk, may be.
func (db *DB) Append(ctx context.Context, r drills.Review) error {
	if r.ID == "" {
		r.ID = db.NewID(r.At)
	}
	if r.Device == "" {
		r.Device = db.device
	}
	r = tidy(r)
	if why := faultOf(r); why != "" {
		return &Error{Kind: ErrInput, Path: db.path, What: "could not save the answer, " + why}
	}
	const doing = "save the answer"
	place := db.place
	if r.Device != db.device {
		err := transact(ctx, db.write, func(tx *sql.Tx) (err error) {
			place, err = placeOf(ctx, tx, r.Device)
			return err
		})
		if err != nil {
			return explain(db.path, doing, err)
		}
	}
	if r.TakesBack != "" {
		var answers bool
		err := db.read.QueryRowContext(ctx, `SELECT takes_back IS NULL FROM reviews WHERE id = ?`, r.TakesBack).Scan(&answers)
		if errors.Is(err, sql.ErrNoRows) || err == nil && !answers {
			return &Error{Kind: ErrInput, Path: db.path,
				What: fmt.Sprintf("could not take back %s, there is no answer of that id in the log", r.TakesBack)}
		} else if err != nil {
			return explain(db.path, doing, err)
		}
	}
	if err := ctx.Err(); err != nil {
		return explain(db.path, doing, err)
	}
	// Once begun, it is not to be broken off: the answer is in, or it is not.
	res, err := db.insert.ExecContext(context.WithoutCancel(ctx), reviewArgs(r, place)...)
	if err != nil {
		return explain(db.path, doing, err)
	}
	if n, err := res.RowsAffected(); err != nil || n == 1 {
		return explain(db.path, doing, err)
	}
	var sum uint32
	if err := db.read.QueryRowContext(ctx, `SELECT sum FROM reviews WHERE id = ?`, r.ID).Scan(&sum); err != nil {
		return explain(db.path, doing, err)
	}
	if sum != sumOf(r) {
		return &Error{Kind: ErrInput, Path: db.path,
			What: fmt.Sprintf("could not save the answer, the log has another row of the id %s", r.ID)}
	}
	return nil
}

// tidy brings a review to the form in which it is kept.
func tidy(r drills.Review) drills.Review {
	r.At = time.UnixMilli(r.At.UnixMilli()).UTC()
	r.Thinking = r.Thinking.Truncate(time.Millisecond)
	for _, f := range []struct {
		text  *string
		limit int
	}{
		{&r.ID, maxName}, {&r.Device, maxName}, {&r.Day, maxName}, {&r.Item, maxName}, {&r.TakesBack, maxName},
		{&r.Question, maxText}, {&r.Answer, maxText}, {&r.Want, maxText}, {(*string)(&r.Entry), maxName},
	} {
		*f.text = clean(*f.text, f.limit)
	}
	return r
}

// faultOf says what keeps r, tidied, out of the log, or "".
func faultOf(r drills.Review) string {
	switch {
	case r.ID == "":
		return "it has no id"
	case r.Device == "":
		return "it has no device"
	case r.Item == "":
		return "it has no item"
	case r.Entry == "":
		return "it has no way of entry"
	case !isDay(r.Day):
		return fmt.Sprintf("its day is %q, not a date like 2026-11-25", r.Day)
	case r.At.Year() < 1970 || r.At.Year() > 9999:
		return fmt.Sprintf("its time, %s, is out of range", r.At.Format(time.RFC3339))
	case r.Thinking < 0:
		return fmt.Sprintf("its thinking time, %s, is negative", r.Thinking)
	case r.TakesBack == r.ID:
		return "it takes back itself"
	}
	return ""
}

// sumOf is the checksum of the content of a tidied review. No text in it has
// a line break, so the fields cannot run into each other.
func sumOf(r drills.Review) uint32 {
	b := make([]byte, 0, 512)
	for _, s := range [...]string{r.ID, r.Device, r.Day, r.Item, r.Question, r.Answer, r.Want, string(r.Entry), r.TakesBack} {
		b = append(append(b, s...), '\n')
	}
	b = append(strconv.AppendInt(b, r.At.UnixMilli(), 10), '\n')
	b = append(strconv.AppendInt(b, r.Thinking.Milliseconds(), 10), '\n')
	b = strconv.AppendBool(b, r.Right)
	return crc32.Checksum(b, castagnoli)
}

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

func reviewArgs(r drills.Review, place int64) []any {
	return []any{r.ID, place, r.At.UnixMilli(), r.Day, r.Item, r.Question, r.Answer, r.Want, r.Right,
		r.Thinking.Milliseconds(), string(r.Entry), sql.NullString{String: r.TakesBack, Valid: r.TakesBack != ""}, int64(sumOf(r))}
}

// Reviews yields every row of the log that arrived after the cursor, in
// canonical order: by time, then by id. Rows that were taken back, and those
// that take them back, are among them; see [DB.Effective]. It shows the log as
// it was when the loop began, and rows may be appended within the loop. An
// error ends it; a row that is not as it was written is [ErrDamaged].
func (db *DB) Reviews(ctx context.Context, after Cursor) iter.Seq2[drills.Review, error] {
	return db.reviews(ctx, after, "")
}

// Effective yields the rows that count: those of [DB.Reviews] without the ones
// that were taken back and the ones that took them back. Memory and reports are
// made from these. Taking back a row that took one back does nothing.
//
// A row after the cursor may take back one before it. [DB.Snapshot] looks out
// for that; a caller who keeps a cursor of his own does so by [DB.Tail].
func (db *DB) Effective(ctx context.Context, after Cursor) iter.Seq2[drills.Review, error] {
	return db.reviews(ctx, after, `takes_back IS NULL AND NOT EXISTS (SELECT 1 FROM reviews b WHERE b.takes_back = reviews.id)`)
}

func (db *DB) reviews(ctx context.Context, after Cursor, where string) iter.Seq2[drills.Review, error] {
	var args []any
	switch {
	case after > 0 && where != "":
		where = ` WHERE seq > ? AND ` + where
	case after > 0:
		where = ` WHERE seq > ?`
	case where != "":
		where = ` WHERE ` + where
	}
	order := ` ORDER BY at, id`
	if after > 0 {
		args = append(args, int64(after))
		order = ` ORDER BY +at, id` // few rows: find them by seq and sort them, not the whole log by its index
	}
	return func(yield func(drills.Review, error) bool) {
		for row, err := range db.arrivals(ctx, where+order, args...) {
			if !yield(row.Review, err) || err != nil {
				return
			}
		}
	}
}

// errRow is the cause of the damage of one row, as against that of a page.
var errRow = errors.New("row damaged")

// An arrival is a review with its place in the order of arrival.
type arrival struct {
	drills.Review
	seq Cursor
}

// arrivals yields the rows of the review log that the rest of the query asks
// for, each of them verified. After a row that is damaged, errRow, it goes on if
// the caller does. The driver would start a goroutine a row to watch a context
// that can end, which is most of the time a long log takes: it is asked here.
func (db *DB) arrivals(ctx context.Context, where string, args ...any) iter.Seq2[arrival, error] {
	return func(yield func(arrival, error) bool) {
		rows, err := db.read.QueryContext(context.WithoutCancel(ctx), `SELECT `+reviewColumns+` FROM reviews `+where, args...)
		if err != nil {
			yield(arrival{}, explain(db.path, "read the log", err))
			return
		}
		defer rows.Close()
		for rows.Next() {
			a, err := db.scan(ctx, rows)
			if ctx.Err() != nil {
				err = ctx.Err()
			}
			if !yield(a, explain(db.path, "read the log", err)) {
				return
			}
		}
		if err := rows.Err(); err != nil {
			yield(arrival{}, explain(db.path, "read the log", err))
		}
	}
}

// scan reads and verifies one row. What does not even scan is damage too.
func (db *DB) scan(ctx context.Context, rows *sql.Rows) (arrival, error) {
	var a arrival
	var place, at, thinking int64
	var sum uint32
	var takesBack sql.NullString
	err := rows.Scan(&a.seq, &a.ID, &place, &at, &a.Day, &a.Item, &a.Question, &a.Answer, &a.Want, &a.Right,
		&thinking, (*string)(&a.Entry), &takesBack, &sum)
	if err != nil {
		return a, damagedError(db.path, "a row of the log does not read", errors.Join(errRow, err))
	}
	if a.Device, err = db.deviceOf(ctx, place); err != nil {
		return a, err
	}
	a.At = time.UnixMilli(at).UTC()
	a.Thinking = time.Duration(thinking) * time.Millisecond
	a.TakesBack = takesBack.String
	if sumOf(a.Review) != sum || tidy(a.Review) != a.Review || faultOf(a.Review) != "" {
		return a, damagedError(db.path, fmt.Sprintf("row %d of the log is not as it was written", a.seq), errRow)
	}
	return a, nil
}

// Tail returns the rows that arrived after the cursor, in the order in which
// they did, and the cursor after the last of them. It is cheap enough to call
// before every question, to see what another process has added. The rows that
// the caller appended himself are among them. A row of another process that is
// older than what the caller has learned from, or that takes a row back, asks
// for his memory to be rebuilt; otherwise he learns from it as from his own.
func (db *DB) Tail(ctx context.Context, after Cursor) ([]drills.Review, Cursor, error) {
	var rows []drills.Review
	for a, err := range db.arrivals(ctx, `WHERE seq > ? ORDER BY seq`, int64(after)) {
		if err != nil {
			return nil, after, err
		}
		rows, after = append(rows, a.Review), a.seq
	}
	return rows, after, nil
}

// End returns the cursor after the last row that has arrived.
func (db *DB) End(ctx context.Context) (Cursor, error) {
	var end Cursor
	err := db.read.QueryRowContext(ctx, `SELECT coalesce(max(seq), 0) FROM reviews`).Scan(&end)
	return end, explain(db.path, "read the log", err)
}

// Newest returns the last row in canonical order and reports whether there is
// one. A clock that shows an earlier time than its At has been set back.
func (db *DB) Newest(ctx context.Context) (drills.Review, bool, error) {
	for a, err := range db.arrivals(ctx, `INDEXED BY reviews_at ORDER BY at DESC, id DESC LIMIT 1`) {
		return a.Review, err == nil, err
	}
	return drills.Review{}, false, nil
}
