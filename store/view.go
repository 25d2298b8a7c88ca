package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"hash/crc32"
	"iter"
	"strconv"
	"strings"
	"sync"
	"time"

	"surefret/drills"
)

// A view reads a log. The one in a [DB] shows what is there at each call; the
// one that [view.frozen] hands out shows one moment. It may be used by several
// goroutines.
type view struct {
	path string
	read querier
	old  bool // of a format below 3, whose table of answers has another name
	wary bool // of a file whose tables may be anything: a look at it can be broken off at any step

	mu      sync.Mutex
	devices map[int64]string // rows of the table devices seen so far
}

// A querier is a pool of connections, or a transaction.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// frozen has f read the log as it is at one moment, whatever arrives meanwhile:
// what f learns from several calls fits together. Writing goes on beside it. The
// view ends with f; its error is passed on.
func (db *DB) frozen(ctx context.Context, f func(*view) error) error {
	if db.moment != nil {
		return f(&db.view)
	}
	tx, err := db.readers.BeginTx(ctx, nil)
	if err != nil {
		return explain(db.path, "read the log", err)
	}
	defer tx.Rollback()
	v := &view{path: db.path, read: tx}
	if _, err := v.end(ctx); err != nil { // the moment is that of the first look
		return err
	}
	return f(v)
}

// A Cursor is a place in the order in which answers arrived in this file. Zero
// is before the first. It means nothing in another file.
type Cursor = int64

// effective yields the rows that count: those of [view.inOrder] without the ones
// that were taken back and the ones that took them back. Memory and reports are
// made from these. Taking back a row that took one back does nothing. What a clock
// that was ahead dated wrongly has the time and day that it counts as given.
//
// A row after the cursor may take back one before it. [view.snapshot] looks out
// for that; a caller who keeps a cursor of his own does so by [view.Tail].
func (v *view) effective(ctx context.Context, after Cursor) iter.Seq2[drills.Answer, error] {
	const counts = `takes_back IS NULL AND NOT EXISTS (SELECT 1 FROM answers b WHERE b.takes_back = answers.id)`
	return func(yield func(drills.Answer, error) bool) {
		others, err := v.redated(ctx, after, counts)
		if err != nil {
			yield(drills.Answer{}, err)
			return
		}
		rows := v.inOrder(ctx, after, counts)
		if len(others) > 0 {
			rows = merged(v.inOrder(ctx, after, counts+` AND seq NOT IN (SELECT seq FROM redated)`), others)
		}
		rows(yield)
	}
}

// inOrder yields the rows of the log that arrived after the cursor and that where asks
// for, "" for all, in canonical order: by time, then by id, then by checksum. It shows
// the log as it was when the loop began, and rows may be appended within the loop. An
// error ends it; a row that is not as it was written is [ErrDamaged].
func (v *view) inOrder(ctx context.Context, after Cursor, where string) iter.Seq2[drills.Answer, error] {
	var args []any
	switch {
	case after > 0 && where != "":
		where = ` WHERE seq > ? AND ` + where
	case after > 0:
		where = ` WHERE seq > ?`
	case where != "":
		where = ` WHERE ` + where
	}
	order := ` ORDER BY at, id, sum`
	if after > 0 {
		args = append(args, int64(after))
		order = ` ORDER BY +at, id, sum` // few rows: find them by seq and sort them, not the whole log by its index
	}
	return func(yield func(drills.Answer, error) bool) {
		for row, err := range v.arrivals(ctx, where+order, args...) {
			if !yield(row.Answer, err) || err != nil {
				return
			}
		}
	}
}

// viewOf returns a view of a file of any format and from anywhere, called name.
func viewOf(ctx context.Context, pool *sql.DB, name string) *view {
	v := &view{path: name, read: pool, wary: true}
	// What is wrong with the file is for those who read it to say.
	_ = pool.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema WHERE name = 'reviews'`).Scan(&v.old)
	return v
}

// areTables reports whether what holds the rows of a log is tables: a view in the
// place of one might be read for ever.
func areTables(ctx context.Context, from querier) bool {
	var others int
	err := from.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema WHERE name IN ('answers', 'reviews', 'changes', 'devices')
		AND (type <> 'table' OR rootpage = 0)`).Scan(&others)
	return err == nil && others == 0
}

// answerTable is the table of answers, as queries call it.
func (v *view) answerTable() string {
	if v.old {
		return `reviews AS answers`
	}
	return `answers`
}

// errRow is the cause of the damage of one row, as against that of a page.
var errRow = errors.New("row damaged")

// An arrival is an answer with its place in the order of arrival.
type arrival struct {
	drills.Answer
	seq Cursor
}

// answerColumns asks for a row as one text of a line a field, which is read in
// half the time that as many columns take. No field has a line break in it, and
// one that is NULL, by damage, is a line too few.
const answerColumns = `concat_ws(char(10), seq, sum, id, device, at, day, item, question, answer, want, correct, thinking, entry, coalesce(takes_back, ''))`

// arrivals yields the rows of the answer log that the rest of the query asks
// for, each of them verified. After a row that is damaged, errRow, it goes on if
// the caller does.
func (v *view) arrivals(ctx context.Context, where string, args ...any) iter.Seq2[arrival, error] {
	items := map[string]string{}
	var content []byte
	return each(ctx, v, "read the log", `SELECT `+answerColumns+` FROM `+v.answerTable()+` `+where, args, func(rows *sql.Rows) (arrival, error) {
		a, err := v.scan(ctx, rows, &content)
		// A caller who keeps the item keeps one text an item, not one a row.
		if item, ok := items[a.Item]; ok {
			a.Item = item
		} else {
			a.Item = strings.Clone(a.Item)
			items[a.Item] = a.Item
		}
		return a, err
	})
}

// each yields what scan makes of the rows of a query, and goes on after a row
// that does not scan if the caller does. The driver would start a goroutine a row
// to watch a context that can end, which is most of the time a long log takes: it
// is asked here.
func each[T any](ctx context.Context, v *view, doing, query string, args []any, scan func(*sql.Rows) (T, error)) iter.Seq2[T, error] {
	return func(yield func(T, error) bool) {
		var none T
		asking := context.WithoutCancel(ctx)
		if v.wary {
			asking = ctx
		}
		err := ctx.Err() // where there is no row it would not be asked
		var rows *sql.Rows
		if err == nil {
			rows, err = v.read.QueryContext(asking, query, args...)
		}
		if err != nil {
			yield(none, explain(v.path, doing, err))
			return
		}
		defer rows.Close()
		for rows.Next() {
			row, err := scan(rows)
			if ctx.Err() != nil {
				err = ctx.Err()
			}
			if !yield(row, explain(v.path, doing, err)) {
				return
			}
		}
		if err := rows.Err(); err != nil {
			yield(none, explain(v.path, doing, err))
		}
	}
}

// scan reads and verifies one row. What does not even scan is damage too. The
// texts of the row share the memory of one string; content is room for what the
// checksum is of.
func (v *view) scan(ctx context.Context, rows *sql.Rows, content *[]byte) (arrival, error) {
	var a arrival
	var text string
	if err := rows.Scan(&text); err != nil {
		return a, damagedError(v.path, "a row of the log does not read", errors.Join(errRow, err))
	}
	var seq, sum, place, at, right, thinking string
	lines, more := 0, true
	for _, field := range [...]*string{&seq, &sum, &a.ID, &place, &at, &a.Day, &a.Item, &a.Question, &a.Given, &a.Want, &right, &thinking, (*string)(&a.Entry), &a.TakesBack} {
		if !more {
			break
		}
		*field, text, more = strings.Cut(text, "\n")
		lines++
	}
	var n, ms, spent, want int64
	var err error
	for _, number := range []struct {
		value *int64
		text  string
	}{{&a.seq, seq}, {&want, sum}, {&n, place}, {&ms, at}, {&spent, thinking}} {
		if *number.value, err = strconv.ParseInt(number.text, 10, 64); err != nil {
			break
		}
	}
	if err != nil || lines != 14 || more {
		return a, damagedError(v.path, fmt.Sprintf("row %d of the log does not read", a.seq), errors.Join(errRow, err))
	}
	if a.Device, err = v.deviceOf(ctx, n); err != nil {
		return a, err
	}
	a.At = time.UnixMilli(ms).UTC()
	a.Right = right == "1"
	a.Thinking = time.Duration(spent) * time.Millisecond
	*content = summed((*content)[:0], a.Answer)
	if int64(crc32.Checksum(*content, castagnoli)) != want || tidy(a.Answer) != a.Answer || faultOf(a.Answer) != "" {
		return a, damagedError(v.path, fmt.Sprintf("row %d of the log is not as it was written", a.seq), errRow)
	}
	return a, nil
}

// deviceOf returns the id of the device in row n of the table devices.
func (v *view) deviceOf(ctx context.Context, n int64) (string, error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if id, ok := v.devices[n]; ok {
		return id, nil
	}
	var id string
	err := v.read.QueryRowContext(ctx, `SELECT id FROM devices WHERE n = ?`, n).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return "", damagedError(v.path, fmt.Sprintf("it does not know device %d", n), errRow)
	} else if err != nil {
		return "", err
	}
	if v.devices == nil {
		v.devices = map[int64]string{}
	}
	v.devices[n] = id
	return id, nil
}

// Tail returns the rows that arrived after the cursor, in the order in which
// they did, and the cursor after the last of them. It is cheap enough to call
// before every question, to see what another process has added. The rows that
// the caller appended himself are among them. A row of another process that is
// older than what the caller has learned from, or that takes a row back, asks
// for his memory to be rebuilt; otherwise he learns from it as from his own.
func (v *view) Tail(ctx context.Context, after Cursor) ([]drills.Answer, Cursor, error) {
	var rows []drills.Answer
	for a, err := range v.arrivals(ctx, `WHERE seq > ? ORDER BY seq`, int64(after)) {
		if err != nil {
			return nil, after, err
		}
		rows, after = append(rows, a.Answer), a.seq
	}
	return rows, after, nil
}

// end returns the cursor after the last row that has arrived.
func (v *view) end(ctx context.Context) (Cursor, error) {
	var end Cursor
	err := v.read.QueryRowContext(ctx, `SELECT coalesce(max(seq), 0) FROM answers`).Scan(&end)
	return end, explain(v.path, "read the log", err)
}

// Newest returns the last row in canonical order, as [view.effective] dates it, and
// reports whether there is one. A clock that shows an earlier time than its At has
// been set back.
func (v *view) Newest(ctx context.Context) (newest drills.Answer, some bool, err error) {
	others, err := v.redated(ctx, 0, `true`)
	if err != nil {
		return newest, false, err
	}
	if n := len(others); n > 0 {
		newest, some = others[n-1], true
	}
	for a, err := range v.arrivals(ctx, `INDEXED BY answers_at WHERE seq NOT IN (SELECT seq FROM redated) ORDER BY at DESC, id DESC, sum DESC LIMIT 1`) {
		if err != nil || !some || inTime(newest, a.Answer) < 0 {
			newest, some = a.Answer, err == nil
		}
		return newest, some, err
	}
	return newest, some, nil
}
