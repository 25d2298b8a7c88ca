package store

import (
	"context"
	"errors"
	"fmt"
	"hash/maphash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"
)

// SQLite takes whatever journal lies beside a file for the file's own and writes
// its pages into it. What a crash left is of use; what another file or another
// time of this one left, as tools that copy files do, destroys the log. So before
// SQLite opens a log with a journal, file and journal are joined in a private
// copy, and the rows of the file are looked for in the outcome.

// A bond is how a file and the journal beside it belong together.
type bond int

const (
	alone   bond = iota // there is no journal, or a process that made sure of it is at work
	joined              // the journal adds to the file and takes nothing away
	strange             // the file is sound without the journal and not with it
	broken              // the file is damaged, whatever the journal
)

// opened counts the logs that this process has open, by file.
var opened = struct {
	sync.Mutex
	files map[string]int
}{files: map[string]int{}}

func isOpen(file string) bool {
	opened.Lock()
	defer opened.Unlock()
	return opened.files[file] > 0
}

// inUse reports whether a process has the log open, this one among them. Where
// this process has it, the file is not even opened here: to close it again would
// end SQLite's locks (POSIX has one set of them a process).
func inUse(file string) bool {
	if isOpen(file) {
		return true
	}
	f, err := os.Open(file)
	if err != nil {
		return false
	}
	defer f.Close()
	return lockedElsewhere(f)
}

// journalOf returns the ending of the journal with something in it that lies
// beside a file, "" for none, and what tells it from another one.
func journalOf(file string) (ending string, info fs.FileInfo) {
	for _, ending := range []string{"-wal", "-journal"} {
		if info, err := os.Stat(file + ending); err == nil && info.Size() > 0 {
			return ending, info
		}
	}
	return "", nil
}

// join says how a file, called name, and its journal belong together, and leaves a
// private copy of both, as one file, in room/copy.db: without the journal where it
// is strange, and with as much of both as can be read where the file is broken.
func join(ctx context.Context, room, file, name string) (bond, error) {
	for {
		ending, before := journalOf(file)
		if inUse(file) {
			return alone, copyOpen(ctx, room, file, name)
		}
		b, err := joinOnce(ctx, room, file, name, ending)
		// While this looked, another process may have begun to practise.
		again, after := journalOf(file)
		if again == ending && !inUse(file) && (ending == "" || os.SameFile(before, after) && before.ModTime().Equal(after.ModTime())) {
			return b, explain(name, "read the log", err)
		}
		if ctx.Err() != nil {
			return b, explain(name, "read the log", ctx.Err())
		}
	}
}

func joinOnce(ctx context.Context, room, file, name, ending string) (bond, error) {
	both, copied := filepath.Join(room, "both.db"), filepath.Join(room, "copy.db")
	for _, old := range []string{both, both + "-wal", both + "-journal", both + "-shm", copied} {
		os.Remove(old)
	}
	if err := copyFile(copied, file); err != nil {
		return broken, err
	}
	if err := settleCopy(copied); err != nil {
		return broken, err
	}
	if ending == "" {
		return alone, nil
	}
	if err := errors.Join(copyFile(both, file), copyFile(both+ending, file+ending)); err != nil {
		return broken, err
	}
	own, err := contentsOf(ctx, copied, name)
	if err != nil {
		return broken, err
	}
	all, err := contentsOf(ctx, both, name)
	if err != nil {
		return broken, err
	}
	switch {
	case all.sound && all.holds(own) && (all.odd <= own.odd || len(all.rows) > len(own.rows)):
		return joined, os.Rename(both, copied)
	case own.sound:
		return strange, nil
	case len(all.rows) > len(own.rows):
		return broken, os.Rename(both, copied)
	}
	return broken, nil
}

// copyOpen copies a log that a process has open, as it is at one moment.
func copyOpen(ctx context.Context, room, file, name string) error {
	source := connect(file, foreign)
	defer source.Close()
	return explain(name, "read the log", copyDatabase(ctx, filepath.Join(room, "copy.db"), source))
}

func copyFile(to, from string) error {
	in, _, err := openRegular(from, os.O_RDONLY)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}

// contents are the rows of a log that can be read, by table and place.
type contents struct {
	sound bool // its pages and indexes fit together
	odd   int  // tables, indexes and triggers that are not those of its format
	rows  map[place]uint64
	bad   map[place]bool // rows that are not as they were written
	last  map[byte]Cursor
}

type place struct {
	table byte // 'a'nswers, 'c'hanges, 'd'evices
	seq   Cursor
}

var seed = maphash.MakeSeed()

// contentsOf reads a file that nobody else has open. A journal beside it is taken
// into it. The error is for what is not damage.
func contentsOf(ctx context.Context, file, name string) (contents, error) {
	pool := connect(file, aside)
	defer pool.Close()
	c := contents{rows: map[place]uint64{}, bad: map[place]bool{}, last: map[byte]Cursor{}}
	var mode string
	err := pool.QueryRowContext(ctx, `PRAGMA journal_mode = DELETE`).Scan(&mode)
	format := 0
	if err == nil {
		format, err = inspect(ctx, pool, name, 1<<31)
	}
	if err == nil && format <= len(formats) { // of those to come nothing is known
		var odd []string
		odd, err = strangeRules(ctx, pool, formats[:format])
		c.odd = len(odd)
	}
	if err == nil {
		err = pragmaCheck(ctx, pool, name, checkFor(file))
	}
	c.sound = err == nil
	if err := explain(name, "read the log", err); err != nil && !isDamage(err) {
		return c, err
	}
	if !areTables(ctx, pool) {
		c.sound = false
		return c, nil
	}
	v := viewOf(ctx, pool, name)
	v.wary = !c.sound || c.odd > 0
	take := func(table byte, seq Cursor, text string, err error) error {
		at := place{table, seq}
		c.last[table] = max(c.last[table], seq)
		switch {
		case err == nil:
			c.rows[at] = maphash.String(seed, text)
		case errors.Is(err, errRow):
			c.bad[at] = true
		case isDamage(err):
			c.sound = false
		default:
			return err
		}
		return nil
	}
	for a, err := range v.arrivals(ctx, `ORDER BY seq`) {
		if err := take('a', a.seq, fmt.Sprint(a.ID, sumOf(a.Answer)), err); err != nil {
			return c, err
		}
	}
	for ch, err := range v.changes(ctx, `ORDER BY seq`) {
		// A change of format gives some of them new keys, and sums with them.
		if err := take('c', ch.seq, ch.id, err); err != nil {
			return c, err
		}
	}
	for n, id := range v.devices {
		c.rows[place{'d', Cursor(n)}] = maphash.String(seed, id)
	}
	return c, nil
}

// holds reports whether a log has all that another one has, row for row in its
// place, and no more that is missing or not as it was written.
func (c contents) holds(own contents) bool {
	for at, text := range own.rows {
		if c.rows[at] != text {
			return false
		}
	}
	for at := range c.bad {
		if !own.bad[at] {
			return false
		}
	}
	return c.missing() <= own.missing()
}

// missing counts the places between the rows that hold none.
func (c contents) missing() (n int) {
	for at := range c.rows {
		if at.table != 'd' {
			n--
		}
	}
	n -= len(c.bad)
	for _, last := range c.last {
		n += int(last)
	}
	return n
}

// isDamage reports whether an error is about what is in a file.
func isDamage(err error) bool { return errors.Is(err, ErrDamaged) || errors.Is(err, ErrForeign) }

// settleJournal makes sure, before SQLite opens the log, that the journal beside
// it is its own. A strange one is given another name, which the notice tells; a
// damaged file is left as it is with all that lies beside it.
func settleJournal(ctx context.Context, file, name string, known int, now time.Time) (notice string, err error) {
	ending, before := journalOf(file)
	if ending == "" || inUse(file) {
		return "", nil
	}
	room, err := newRoom(filepath.Dir(file))
	if err != nil {
		return "", explain(name, "open the practice", err)
	}
	defer os.RemoveAll(room)
	b, err := join(ctx, room, file, name)
	if err != nil {
		return "", err
	}
	switch b {
	case broken:
		return "", damagedError(name, "", nil)
	case joined:
		copied, _, err := openRegular(filepath.Join(room, "copy.db"), os.O_RDONLY)
		if err != nil {
			return "", explain(name, "open the practice", err)
		}
		defer copied.Close()
		return "", examine(copied, name, known) // a newer format may be in the journal alone
	case strange:
		kept := freeName(file, "-journal-", now)
		if after, err := os.Stat(file + ending); err != nil || !os.SameFile(before, after) {
			return "", nil // another process was faster
		}
		if err := os.Rename(file+ending, kept+ending); err != nil {
			return "", explain(name, "set a journal aside", err)
		}
		os.Remove(file + "-shm")
		return fmt.Sprintf("%s%s is not the journal of %s, which is as it was without it: it is kept as %s%s", file, ending, name, kept, ending), nil
	}
	return "", nil
}

// freeName returns a name beside file, with the time in it, that nothing has.
func freeName(file, what string, now time.Time) string {
	ext := filepath.Ext(file)
	stem := file[:len(file)-len(ext)] + what + now.Format("20060102T150405")
	name := stem + ext
	for n := 2; ; n++ {
		taken := false
		for _, ending := range append([]string{""}, journals...) {
			_, err := os.Lstat(name + ending)
			taken = taken || err == nil
		}
		if !taken {
			return name
		}
		name = fmt.Sprintf("%s-%d%s", stem, n, ext)
	}
}
