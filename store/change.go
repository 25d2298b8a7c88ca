package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"iter"
	"slices"
	"strconv"
	"strings"
	"time"
)

// A change is one row of the second log: a gig or a setting got a new value, or
// was removed. The latest one, by time and then by id, counts.
type change struct {
	seq    Cursor
	id     string
	device string
	at     time.Time
	kind   string // one of kinds
	key    string // a gig's id, a setting's name
	value  []byte // JSON; nil where it was removed
}

const (
	kindGig     = "gig"
	kindSetting = "setting"
	kindPlayer  = "player"
)

// kinds holds what there are changes of, each with what says why a value cannot
// be one of it, or "". The file takes other kinds too, of a program to come: they
// are kept and merged. FORMAT.md describes them all.
var kinds = map[string]func(key string, value []byte) string{
	kindGig:     faultOfGig,
	kindSetting: func(string, []byte) string { return "" },
	kindPlayer:  faultOfObject,
	kindSong:    faultOfObject,
	"shape":     faultOfObject,
	"part":      faultOfObject,
	kindSitting: faultOfObject,
}

func faultOfObject(_ string, value []byte) string {
	if value[0] != '{' {
		return "its value is not an object in braces"
	}
	return ""
}

// maxValue is the most bytes of JSON that a gig, with the tablature of its parts,
// or a setting may take.
const maxValue = 2 << 20

// endOfTime is the latest time that a row may have. The latest that may enter, by
// an import, a merge or this computer's clock, is much earlier, so that there always
// is a later one.
var (
	endOfTime = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC).Add(-time.Millisecond)
	latest    = time.Date(2200, 1, 1, 0, 0, 0, 0, time.UTC).Add(-time.Millisecond)
)

// tooLate says why a row of this time may not enter, or "".
func tooLate(at time.Time) string {
	if at.After(latest) {
		return fmt.Sprintf("its time, %s, is after the year %d: a clock was wrong", at.UTC().Format(time.RFC3339), latest.Year())
	}
	return ""
}

// change appends changes, all of them or none, each later than those there are of
// its kind and key, whatever the clock says. find works out their kinds, keys and
// values from what is there, while nobody else writes.
func (db *DB) change(ctx context.Context, doing string, find func(*view) ([]change, error)) error {
	if err := db.writable(doing); err != nil {
		return err
	}
	err := transact(ctx, db.write, func(tx *sql.Tx) error {
		now := &view{path: db.path, read: tx}
		changes, err := find(now)
		if err != nil {
			return err
		}
		for _, c := range changes {
			if err := db.date(ctx, now, &c); err != nil {
				return err
			}
			if why := faultOfChange(c); why != "" {
				return &Error{kind: ErrInput, path: db.path, what: fmt.Sprintf("could not %s, %s", doing, why)}
			}
			place := db.place
			if c.device != db.device { // made out of a change of that computer
				if place, err = placeOf(ctx, tx, c.device); err != nil {
					return err
				}
			}
			if _, err := tx.ExecContext(ctx, insertChange, changeArgs(c, place)...); err != nil {
				return err
			}
		}
		return nil
	})
	return explain(db.path, doing, err)
}

// date gives a change its id, its device and a time after the last one of its key: now,
// unless it has them. At the end of time, where the id decides, it gets one that sorts
// after.
func (db *DB) date(ctx context.Context, v *view, c *change) error {
	if c.id == "" {
		now := db.Now()
		c.id, c.device, c.at = db.NewID(now), db.device, time.UnixMilli(now.UnixMilli()).UTC()
	}
	if c.at.After(latest) {
		c.at = latest
	}
	var at int64
	var id string
	err := v.read.QueryRowContext(ctx, `SELECT at, id FROM changes WHERE kind = ? AND key = ? ORDER BY at DESC, id DESC LIMIT 1`, c.kind, c.key).Scan(&at, &id)
	switch last := time.UnixMilli(at).UTC(); {
	case errors.Is(err, sql.ErrNoRows):
		return nil
	case err != nil || c.at.After(last):
		return err
	case last.Before(endOfTime):
		c.at = last.Add(time.Millisecond)
	default:
		if c.at = last; c.id <= id {
			c.id = id + "+"
		}
	}
	return nil
}

// compact brings a JSON text to the form in which it is kept: nil for null.
func compact(text []byte) ([]byte, error) {
	var tidied bytes.Buffer
	if err := json.Compact(&tidied, text); err != nil || tidied.String() == "null" {
		return nil, err
	}
	return tidied.Bytes(), nil
}

const insertChange = `INSERT INTO changes (id, device, at, kind, key, value, sum) VALUES (?, ?, ?, ?, ?, ?, ?)`

func changeArgs(c change, place int64) []any {
	return []any{c.id, place, c.at.UnixMilli(), c.kind, c.key, sql.NullString{String: string(c.value), Valid: c.value != nil}, int64(sumOfChange(c))}
}

func sumOfChange(c change) uint32 {
	b := make([]byte, 0, 512)
	for _, s := range [...]string{c.id, c.device, c.kind, c.key} {
		b = append(append(b, s...), '\n')
	}
	b = append(strconv.AppendInt(b, c.at.UnixMilli(), 10), '\n')
	b = append(strconv.AppendBool(b, c.value == nil), '\n')
	return crc32.Update(crc32.Checksum(b, castagnoli), castagnoli, c.value)
}

// faultOfChange says what keeps c out of the log, or "".
func faultOfChange(c change) string {
	switch {
	case c.id == "" || c.device == "" || c.key == "":
		return "an id, a device or a key is missing"
	case !isKind(c.kind):
		return fmt.Sprintf("%q is no kind of change", clean(c.kind, maxName))
	case len(c.id) > maxName || len(c.device) > maxName || len(c.key) > maxName:
		return fmt.Sprintf("a name is longer than %d bytes", maxName)
	case !printable(c.id) || !printable(c.device) || !printable(c.key):
		return "a name has control characters"
	case c.at.Year() < 1970 || c.at.Year() > 9999:
		return fmt.Sprintf("its time, %s, is out of range", c.at.Format(time.RFC3339))
	case len(c.value) > maxValue:
		return fmt.Sprintf("it is longer than %d bytes", maxValue)
	case c.value == nil:
		return ""
	case !bytes.Equal(c.value, cleanJSON(c.value)):
		return "a text in it has control characters"
	case !json.Valid(c.value) || string(c.value) == "null":
		return "its value is not JSON"
	}
	if fault := kinds[c.kind]; fault != nil {
		return fault(c.key, c.value)
	}
	return ""
}

// isKind reports whether s can be a kind: a word in small letters, but none that an
// export has for other lines.
func isKind(s string) bool {
	return s != "" && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz") == "" && !slices.Contains(otherLines, s)
}

// keyNow returns the key that a change has, of the one that it had in format 2.
func keyNow(kind, key string) string {
	if item, ok := strings.CutPrefix(key, "skipped/"); ok && kind == kindSetting {
		return asideKey + item
	}
	return key
}

// current yields the changes of one kind that count, by key, without those that
// were removed.
func (v *view) current(ctx context.Context, kind string) iter.Seq2[change, error] {
	return func(yield func(change, error) bool) {
		var last change
		for c, err := range v.changes(ctx, `WHERE kind = ? ORDER BY key, at, id, sum`, kind) {
			if err != nil {
				yield(change{}, err)
				return
			}
			if last.value != nil && last.key != c.key && !yield(last, nil) {
				return
			}
			last = c
		}
		if last.value != nil {
			yield(last, nil)
		}
	}
}

// changes yields the rows of the log of changes that the rest of the query asks
// for, as arrivals does.
func (v *view) changes(ctx context.Context, where string, args ...any) iter.Seq2[change, error] {
	return each(ctx, v, "read the gigs and settings", `SELECT seq, id, device, at, kind, key, value, sum FROM changes `+where, args,
		func(rows *sql.Rows) (change, error) { return v.scanChange(ctx, rows) })
}

func (v *view) scanChange(ctx context.Context, rows *sql.Rows) (change, error) {
	var c change
	var place, at int64
	var sum uint32
	if err := rows.Scan(&c.seq, &c.id, &place, &at, &c.kind, &c.key, &c.value, &sum); err != nil {
		return c, damagedError(v.path, "a row of gigs and settings does not read", errors.Join(errRow, err))
	}
	c.at = time.UnixMilli(at).UTC()
	var err error
	if c.device, err = v.deviceOf(ctx, place); err != nil {
		return c, err
	}
	if sum != sumOfChange(c) || faultOfChange(c) != "" {
		return c, damagedError(v.path, fmt.Sprintf("row %d of gigs and settings is not as it was written", c.seq), errRow)
	}
	return c, nil
}
