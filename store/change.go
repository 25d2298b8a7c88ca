package store

import (
	"bytes"
	"cmp"
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

	"surefret/drills/gig"
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
	"song":      faultOfObject,
	"shape":     faultOfObject,
	"part":      faultOfObject,
	"sitting":   faultOfObject,
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

// Setting returns the JSON text of a setting and reports whether it is set.
func (v *View) Setting(ctx context.Context, key string) (value string, ok bool, err error) {
	c, ok, err := v.latest(ctx, kindSetting, key)
	return string(c.value), ok && c.value != nil, err
}

// SetSetting sets a setting to a JSON text; spaces between its tokens are not
// kept, and null removes it. A text that is not JSON is [ErrInput].
func (db *DB) SetSetting(ctx context.Context, key, value string) error {
	return db.change(ctx, "save the setting "+clean(key, maxName), kindSetting, key, []byte(value))
}

// Settings returns every setting with its JSON text.
func (v *View) Settings(ctx context.Context) (map[string]string, error) {
	all := map[string]string{}
	for c, err := range v.current(ctx, kindSetting) {
		if err != nil {
			return nil, err
		}
		all[c.key] = string(c.value)
	}
	return all, nil
}

// Gigs returns the gigs by day, those of one day by id.
func (v *View) Gigs(ctx context.Context) ([]gig.Gig, error) {
	var all []gig.Gig
	for c, err := range v.current(ctx, kindGig) {
		if err != nil {
			return nil, err
		}
		var g gig.Gig
		if err := json.Unmarshal(c.value, &g); err != nil {
			return nil, damagedError(v.path, "the gig "+c.key+" does not read", err)
		}
		all = append(all, g)
	}
	slices.SortFunc(all, func(a, b gig.Gig) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.ID, b.ID))
	})
	return all, nil
}

// PutGig adds a gig, or takes it in the place of the one with its ID. Control
// characters in its texts become U+FFFD; a line break stays in the Note.
func (db *DB) PutGig(ctx context.Context, g gig.Gig) error {
	value, err := json.Marshal(g)
	var own gig.Gig // a deep copy: the caller's slices stay as they are
	if err == nil {
		err = json.Unmarshal(value, &own)
	}
	for text := range lines(&own) {
		*text = clean(*text, maxText)
	}
	if err == nil {
		value, err = json.Marshal(own)
	}
	if err != nil {
		return fmt.Errorf("save the gig %s: %w", g.ID, err)
	}
	return db.change(ctx, "save the gig", kindGig, g.ID, value)
}

// RemoveGig removes the gig of this id. [ErrMissing] says that there is none.
func (db *DB) RemoveGig(ctx context.Context, id string) error {
	c, ok, err := db.latest(ctx, kindGig, id)
	if err != nil {
		return err
	}
	if !ok || c.value == nil {
		return &Error{Kind: ErrMissing, Path: db.path, What: "there is no gig of the id " + clean(id, maxName)}
	}
	return db.change(ctx, "remove the gig", kindGig, id, nil)
}

// change appends a change that is later than the ones there are for its key,
// even if the clock has been set back.
func (db *DB) change(ctx context.Context, doing, kind, key string, value []byte) error {
	now := db.Now()
	c := change{id: db.NewID(now), device: db.device, at: time.UnixMilli(now.UnixMilli()).UTC(), kind: kind, key: key}
	if value != nil {
		var tidied bytes.Buffer
		if err := json.Compact(&tidied, cleanJSON(value)); err != nil {
			return &Error{Kind: ErrInput, Path: db.path, Cause: err,
				What: fmt.Sprintf("could not %s, %q is not JSON", doing, clean(string(value), 60))}
		}
		if c.value = tidied.Bytes(); string(c.value) == "null" {
			c.value = nil
		}
	}
	if why := faultOfChange(c); why != "" {
		return &Error{Kind: ErrInput, Path: db.path, What: fmt.Sprintf("could not %s, %s", doing, why)}
	}
	err := transact(ctx, db.write, func(tx *sql.Tx) error {
		var last sql.NullInt64
		if err := tx.QueryRowContext(ctx, `SELECT max(at) FROM changes WHERE kind = ? AND key = ?`, kind, key).Scan(&last); err != nil {
			return err
		}
		if last.Valid && c.at.UnixMilli() <= last.Int64 {
			c.at = time.UnixMilli(last.Int64 + 1).UTC()
		}
		_, err := tx.ExecContext(ctx, insertChange, changeArgs(c, db.place)...)
		return err
	})
	return explain(db.path, doing, err)
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

// isKind reports whether s can be a kind: a word in small letters.
func isKind(s string) bool {
	return s != "" && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz") == ""
}

func faultOfGig(key string, value []byte) string {
	var g gig.Gig
	if err := json.Unmarshal(value, &g); err != nil {
		return "it does not read as a gig"
	}
	if g.ID != key {
		return "its id is not its key"
	}
	if !isDay(g.Day) {
		return fmt.Sprintf("the day of the gig is %q, not a date like 2026-12-05", clean(g.Day, maxName))
	}
	for text := range lines(&g) {
		if *text != clean(*text, maxText) {
			return "a text in it has control characters or is longer than " + strconv.Itoa(maxText) + " bytes"
		}
	}
	return ""
}

// lines yields the texts of a gig that are one line each: all but its note.
func lines(g *gig.Gig) iter.Seq[*string] {
	return func(yield func(*string) bool) {
		texts := []*string{&g.ID, &g.Name, &g.Day}
		for i := range g.Songs {
			s := &g.Songs[i]
			texts = append(texts, &s.Title, &s.Learned, &s.Called)
			for j := range s.Sections {
				texts = append(texts, &s.Sections[j].Name, &s.Sections[j].Chords)
			}
			for j := range s.Shapes {
				texts = append(texts, &s.Shapes[j])
			}
			for j := range s.Parts {
				texts = append(texts, &s.Parts[j].Name)
			}
		}
		for _, t := range texts {
			if !yield(t) {
				return
			}
		}
	}
}

// keyNow returns the key that a change has, of the one that it had in format 2.
func keyNow(kind, key string) string {
	if item, ok := strings.CutPrefix(key, "skipped/"); ok && kind == kindSetting {
		return asideKey + item
	}
	return key
}

// asideKey comes before an item's id in the key of the setting that says whether
// it is set aside.
const asideKey = "aside/"

// current yields the changes of one kind that count, by key, without those that
// were removed.
func (v *View) current(ctx context.Context, kind string) iter.Seq2[change, error] {
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

// latest returns the change that counts for one key.
func (v *View) latest(ctx context.Context, kind, key string) (change, bool, error) {
	for c, err := range v.changes(ctx, `WHERE kind = ? AND key = ? ORDER BY at DESC, id DESC, sum DESC LIMIT 1`, kind, key) {
		return c, err == nil, err
	}
	return change{}, false, nil
}

// changes yields the rows of the log of changes that the rest of the query asks
// for, as arrivals does.
func (v *View) changes(ctx context.Context, where string, args ...any) iter.Seq2[change, error] {
	return each(ctx, v, "read the gigs and settings", `SELECT seq, id, device, at, kind, key, value, sum FROM changes `+where, args,
		func(rows *sql.Rows) (change, error) { return v.scanChange(ctx, rows) })
}

func (v *View) scanChange(ctx context.Context, rows *sql.Rows) (change, error) {
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
