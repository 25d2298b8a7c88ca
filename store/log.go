package store

import (
	"cmp"
	"context"
	"database/sql"
	"fmt"
	"hash/crc32"
	"iter"
	"strconv"
	"time"

	"surefret/drills"
)

const insertAnswer = `INSERT INTO answers (id, device, at, day, item, question, answer, want, correct, thinking, entry, takes_back, sum)
	VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`

// Append adds an answer to the log. It is on the disk when Append returns nil,
// and what is on the disk stays. An empty Device means this one, and an empty
// ID gets one. Times are kept to the millisecond in UTC, texts in one line
// without control characters. Appending the same row again changes nothing;
// one of the same ID that says something else is another row.
//
// A row that takes back another is refused with [ErrInput] where the log has no
// answer of that id. Other errors are [ErrFull], [ErrLocked] and their like;
// then the row is not in the log, or, after a failure of the disk, may be.
func (db *DB) Append(ctx context.Context, r drills.Answer) error {
	_, err := db.AppendAt(ctx, r)
	return err
}

// AppendAt is Append, and returns the cursor of the row, 0 where it was there
// already.
func (db *DB) AppendAt(ctx context.Context, r drills.Answer) (Cursor, error) {
	if err := db.writable("save the answer"); err != nil {
		return 0, err
	}
	if r.ID == "" {
		r.ID = db.NewID(r.At)
	}
	if r.Device == "" {
		r.Device = db.device
	}
	r = tidy(r)
	if why := cmp.Or(faultOf(r), tooLate(r.At)); why != "" {
		return 0, &Error{kind: ErrInput, path: db.path, what: "could not save the answer, " + why}
	}
	const doing = "save the answer"
	place := db.place
	if r.Device != db.device {
		err := transact(ctx, db.write, func(tx *sql.Tx) (err error) {
			place, err = placeOf(ctx, tx, r.Device)
			return err
		})
		if err != nil {
			return 0, explain(db.path, doing, err)
		}
	}
	if r.TakesBack != "" {
		var answers bool
		err := db.read.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM answers WHERE id = ? AND takes_back IS NULL)`, r.TakesBack).Scan(&answers)
		if err != nil {
			return 0, explain(db.path, doing, err)
		} else if !answers {
			return 0, &Error{kind: ErrInput, path: db.path,
				what: fmt.Sprintf("could not take back %s, there is no answer of that id in the log", r.TakesBack)}
		}
	}
	if err := ctx.Err(); err != nil {
		return 0, explain(db.path, doing, err)
	}
	// Once begun, it is not to be broken off: the answer is in, or it is not.
	done, err := db.insert.ExecContext(context.WithoutCancel(ctx), answerArgs(r, place)...)
	if err != nil {
		return 0, explain(db.path, doing, err)
	}
	if n, err := done.RowsAffected(); n == 0 || err != nil {
		return 0, explain(db.path, doing, err)
	}
	seq, err := done.LastInsertId()
	return seq, explain(db.path, doing, err)
}

// AppendAll adds many answers of this computer at once: all of them or, after
// an error, none. It is for logs that are made, not practised; an answer is kept
// by [DB.Append]. Rows that take others back are not for it.
func (db *DB) AppendAll(ctx context.Context, rows iter.Seq[drills.Answer]) error {
	const doing = "save the answers"
	if err := db.writable(doing); err != nil {
		return err
	}
	err := transact(ctx, db.write, func(tx *sql.Tx) error {
		in, err := newIntake(ctx, tx)
		if err != nil {
			return err
		}
		for r := range rows {
			r.Device = db.device
			r = tidy(r)
			if why := cmp.Or(faultOf(r), tooLate(r.At)); why != "" || r.TakesBack != "" {
				return &Error{kind: ErrInput, path: db.path, what: "could not save the answer of " + r.Item + ", " + why}
			}
			if err := in.answer(ctx, r); err != nil {
				return err
			}
		}
		return nil
	})
	return explain(db.path, doing, err)
}

// tidy brings an answer to the form in which it is kept.
func tidy(r drills.Answer) drills.Answer {
	r.At = time.UnixMilli(r.At.UnixMilli()).UTC()
	r.Thinking = r.Thinking.Truncate(time.Millisecond)
	for _, f := range []struct {
		text  *string
		limit int
	}{
		{&r.ID, maxName}, {&r.Device, maxName}, {&r.Day, maxName}, {&r.Item, maxName}, {&r.TakesBack, maxName},
		{&r.Question, maxText}, {&r.Given, maxText}, {&r.Want, maxText}, {(*string)(&r.Entry), maxName},
	} {
		*f.text = clean(*f.text, f.limit)
	}
	return r
}

// faultOf says what keeps r, tidied, out of the log, or "".
func faultOf(r drills.Answer) string {
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

// sumOf is the checksum of the content of a tidied answer. No text in it has
// a line break, so the fields cannot run into each other.
func sumOf(r drills.Answer) uint32 {
	return crc32.Checksum(summed(make([]byte, 0, 512), r), castagnoli)
}

// summed appends what the checksum is of.
func summed(b []byte, r drills.Answer) []byte {
	for _, s := range [...]string{r.ID, r.Device, r.Day, r.Item, r.Question, r.Given, r.Want, string(r.Entry), r.TakesBack} {
		b = append(append(b, s...), '\n')
	}
	b = append(strconv.AppendInt(b, r.At.UnixMilli(), 10), '\n')
	b = append(strconv.AppendInt(b, r.Thinking.Milliseconds(), 10), '\n')
	return strconv.AppendBool(b, r.Right)
}

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

func answerArgs(r drills.Answer, place int64) []any {
	return []any{r.ID, place, r.At.UnixMilli(), r.Day, r.Item, r.Question, r.Given, r.Want, r.Right,
		r.Thinking.Milliseconds(), string(r.Entry), sql.NullString{String: r.TakesBack, Valid: r.TakesBack != ""}, int64(sumOf(r))}
}
