package store

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"iter"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// A rescued log holds what could be read of a damaged one.
type rescued struct {
	file    string
	rows    int
	damaged int  // rows that are not as they were written
	torn    bool // whether a part could not be read at all
}

// rescue makes a new log, in room, of what can be read of the damaged copy, called
// name. Where header or schema are damaged, it reads the pages beside those of a
// sound log: one of those named, the present one and its backups, or a new one.
func rescue(ctx context.Context, room, copied, name string, sound []string) (rescued, error) {
	devices := map[int64]string{}
	for _, file := range sound {
		pool := connect(file, foreign)
		v := viewOf(ctx, pool, file)
		for n, id := range v.allDevices(ctx) {
			if devices[n] == "" {
				devices[n] = id
			}
		}
		pool.Close()
	}
	best, err := readInto(ctx, filepath.Join(room, "rescued.db"), copied, name, devices)
	if err != nil || !best.torn {
		return best, err
	}
	var tried []schema
	for i, file := range append(sound, "") {
		s, err := schemaOf(ctx, file)
		if err != nil || slices.ContainsFunc(tried, s.equal) {
			continue
		}
		tried = append(tried, s)
		if err := s.lead(ctx, filepath.Join(room, fmt.Sprintf("head%d.db", i)), copied); err != nil {
			return best, err
		}
		r, err := readInto(ctx, filepath.Join(room, fmt.Sprintf("rescued%d.db", i)), copied, name, devices)
		if err != nil {
			return best, err
		}
		r.torn = true // what is missing cannot be told
		if r.rows > best.rows {
			best = r
		}
	}
	return best, nil
}

// A schema is what is needed of a sound log to read the pages of a damaged one:
// its format, and each table with its columns and its first page.
type schema struct {
	format int
	tables []table
}

type table struct {
	name, columns string
	root          int
}

func (s schema) equal(t schema) bool { return s.format == t.format && slices.Equal(s.tables, t.tables) }

// schemaOf reads the schema of a sound file; "" stands for a new one.
func schemaOf(ctx context.Context, file string) (s schema, err error) {
	pool := connect(file, foreign)
	if file == "" {
		pool.Close()
		if pool, err = newSchema(ctx, formats); err != nil {
			return s, err
		}
	}
	defer pool.Close()
	if err := pool.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&s.format); err != nil {
		return s, err
	}
	rows, err := pool.QueryContext(ctx, `SELECT t.name, t.rootpage, group_concat(c.name || iif(c.pk, ' INTEGER PRIMARY KEY', ''), ', ' ORDER BY c.cid)
		FROM sqlite_schema t, pragma_table_info(t.name) c WHERE t.type = 'table' AND t.sql NOT LIKE '%WITHOUT ROWID%' GROUP BY t.name ORDER BY t.name`)
	if err != nil {
		return s, err
	}
	defer rows.Close()
	for rows.Next() {
		var t table
		if err := rows.Scan(&t.name, &t.root, &t.columns); err != nil {
			return s, err
		}
		s.tables = append(s.tables, t)
	}
	return s, rows.Err()
}

// lead puts a first page with this schema in front of the pages of a file. There
// are no indexes in it: the rows are read in the order of their places.
func (s schema) lead(ctx context.Context, head, file string) error {
	f, err := os.OpenFile(file, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	pages := uint32(info.Size() / pageSize)
	if err := os.WriteFile(head, nil, 0o600); err != nil {
		return err
	}
	pool := connect(head, aside)
	defer pool.Close()
	pool.SetMaxOpenConns(1)
	var script strings.Builder
	for _, t := range s.tables {
		fmt.Fprintf(&script, "CREATE TABLE %s (%s);", t.name, t.columns)
	}
	script.WriteString("PRAGMA writable_schema = on;")
	for _, t := range s.tables {
		fmt.Fprintf(&script, "UPDATE sqlite_schema SET rootpage = %d WHERE name = '%s';", t.root, t.name)
	}
	fmt.Fprintf(&script, "PRAGMA application_id = %d; PRAGMA user_version = %d;", applicationID, s.format)
	if _, err := pool.ExecContext(ctx, script.String()); err != nil {
		return err
	}
	if err := pool.Close(); err != nil {
		return err
	}
	page, err := os.ReadFile(head)
	if err != nil {
		return err
	}
	page = page[:pageSize]
	// The SQLite file format, section 1.3: counter at 24, size in pages at 28, free
	// pages at 32 and 36, the counter for which the size is valid at 92.
	for at, value := range map[int]uint32{24: 1, 28: pages, 32: 0, 36: 0, 92: 1} {
		binary.BigEndian.PutUint32(page[at:], value)
	}
	_, err = f.WriteAt(page, 0)
	return err
}

// readInto makes a new log in file of the rows that can be read in the damaged
// one. devices are those that it may have lost.
func readInto(ctx context.Context, file, damaged, name string, devices map[int64]string) (r rescued, err error) {
	pool := connect(damaged, aside)
	defer pool.Close()
	from := viewOf(ctx, pool, name)
	r.file = file
	if !areTables(ctx, pool) {
		r.torn = true
		return r, nil
	}
	// A tree that points to the wrong page reads without a fault, and short.
	r.torn = pragmaCheck(ctx, pool, name, "quick_check(1)") != nil
	from.devices = map[int64]string{}
	for n, id := range from.allDevices(ctx) {
		from.devices[n] = id
	}
	for n, id := range devices {
		if from.devices[n] == "" {
			from.devices[n] = id
		}
	}
	err = fill(ctx, file, func(in *intake) error {
		err := salvage(&r, func(after Cursor) iter.Seq2[change, error] {
			return from.changes(ctx, `WHERE seq > ? ORDER BY seq`, int64(after))
		}, func(c change) error { return in.change(ctx, c) })
		if err != nil {
			return err
		}
		return salvage(&r, func(after Cursor) iter.Seq2[arrival, error] {
			return from.arrivals(ctx, `WHERE seq > ? ORDER BY seq`, int64(after))
		}, func(a arrival) error { return in.answer(ctx, a.Answer) })
	})
	return r, err
}

// allDevices returns the devices of a log that can be read.
func (v *view) allDevices(ctx context.Context) map[int64]string {
	all := map[int64]string{}
	rows, err := v.read.QueryContext(ctx, `SELECT n, id FROM devices`)
	if err != nil {
		return all
	}
	defer rows.Close()
	for rows.Next() {
		var n int64
		var id string
		if rows.Scan(&n, &id) == nil {
			all[n] = id
		}
	}
	return all
}

// salvage takes every row of a table that can be read. query asks for the rows
// after a place, in order. Rows that are not as they were written are counted and
// passed over; behind a page that does not read, it goes on.
func salvage[T interface{ place() Cursor }](r *rescued, query func(after Cursor) iter.Seq2[T, error], take func(T) error) error {
	var last Cursor
	for {
		tear := false
		for row, err := range query(last) {
			switch {
			case errors.Is(err, errRow) && row.place() > last:
				r.damaged++
				last = row.place()
			case errors.Is(err, ErrDamaged), err == nil && row.place() <= last: // a tree that leads in a circle
				tear = true
			case err != nil:
				return err
			default:
				if err := take(row); err != nil {
					return err
				}
				last = row.place()
				r.rows++
			}
			if tear {
				break
			}
		}
		if !tear {
			return nil
		}
		r.torn = true
		next, ok := beyond(last, query)
		if !ok {
			return nil
		}
		last = next
	}
}

// beyond returns the first place after last from which a table can be read again:
// it doubles its step until it gets there, and then halves it.
func beyond[T interface{ place() Cursor }](last Cursor, query func(after Cursor) iter.Seq2[T, error]) (Cursor, bool) {
	reads := func(after Cursor) bool {
		for row, err := range query(after) {
			return (err == nil || errors.Is(err, errRow)) && row.place() > after
		}
		return true // nothing comes after it
	}
	step := Cursor(1)
	for !reads(last + step) {
		if step *= 2; step > math.MaxInt32 {
			return 0, false
		}
	}
	low, high := last+step/2, last+step
	for low+1 < high {
		if mid := (low + high) / 2; reads(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high, true
}

func (a arrival) place() Cursor { return a.seq }
func (c change) place() Cursor  { return c.seq }
