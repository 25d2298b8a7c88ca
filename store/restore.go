package store

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/mattn/go-sqlite3"
)

// Restore puts a backup in the place of the log at path, where a link leads to.
// The backup is verified first and stays as it is; the log that was there, whatever
// its state, is kept with its journals under the name that is returned, "" if
// there was nothing; a journal without a log under a name that ends as journals do. Now
// is in the name. A log that another process has open is [ErrLocked].
func Restore(ctx context.Context, path, backup string, now time.Time) (kept string, err error) {
	file, err := resolve(path)
	if err != nil {
		return "", explain(path, "find the log", err)
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
		return "", explain(path, "make the folder of the log", err)
	}
	sweep(filepath.Dir(file), now)
	room, err := newRoom(filepath.Dir(file))
	if err != nil {
		return "", explain(path, "put the backup in its place", err)
	}
	defer os.RemoveAll(room)
	ctx, cancel := bounded(ctx, backup)
	defer cancel()
	tmp, err := takeCopy(ctx, room, backup, "read the backup")
	if err == nil {
		err = verify(ctx, tmp, backup)
	}
	if err != nil {
		return "", forOther(ctx, backup, err)
	}
	// In WAL mode from the start, it needs no journal of another kind when it is opened.
	pool := connect(tmp, forWriting)
	if err := errors.Join(pool.PingContext(ctx), pool.Close(), syncFile(tmp)); err != nil {
		return "", explain(path, "put the backup in its place", err)
	}
	kept, err = exchange(ctx, file, tmp, now)
	return kept, explain(path, "put the backup in its place", err)
}

// bounded ends what is done with a file from elsewhere after far longer than its
// size explains: a crafted one may have SQLite go round for ever.
func bounded(ctx context.Context, file string) (context.Context, context.CancelFunc) {
	limit := 30 * time.Second
	if info, err := os.Stat(file); err == nil {
		limit += time.Duration(info.Size()>>20) * time.Second
	}
	return context.WithTimeout(ctx, limit)
}

// forOther words what goes wrong with a file from elsewhere, where it is not for
// the player to name another practice.
func forOther(ctx context.Context, other string, err error) error {
	if errors.Is(ctx.Err(), context.DeadlineExceeded) {
		return &Error{kind: ErrForeign, path: other, what: other + " takes far longer to read than its size explains", do: "it was left as it is; name a file that surefret wrote"}
	}
	var e *Error
	if errors.As(err, &e) && e.path == other {
		switch {
		case errors.Is(err, ErrForeign) && !errors.Is(err, errNoRegular):
			e.do = "it was left as it is; name a file that surefret wrote"
		case errors.Is(err, ErrDamaged):
			e.do = fmt.Sprintf("nothing was changed; restore another backup and then take over what can be read in it with 'surefret data merge %s'", other)
		}
	}
	return err
}

// takeCopy makes a copy of another log in room, joined with its journal if that
// is its own, admits it and brings it to the newest format. The other log is only
// read, and doing says for what. The copy is there after [ErrDamaged] and [ErrForeign], too, as it was read.
func takeCopy(ctx context.Context, room, other, doing string) (tmp string, err error) {
	file, err := resolve(other)
	if err != nil {
		return "", explain(other, doing, err)
	}
	f, info, err := openRegular(file, os.O_RDONLY)
	if err != nil {
		return "", explain(other, doing, err)
	}
	err = examine(f, other, len(formats))
	f.Close()
	if err != nil && (!isDamage(err) || errors.Is(err, ErrForeign) && info.Size()%pageSize != 0) {
		return "", err
	}
	if _, err := join(ctx, room, file, other); err != nil {
		return "", err
	}
	tmp = filepath.Join(room, "copy.db")
	if err != nil {
		return tmp, err
	}
	return tmp, explain(other, doing, admit(ctx, tmp, other))
}

// admit makes sure that a copy of a log from elsewhere has the tables, indexes and
// triggers of its format and nothing more, and brings it to the newest format.
func admit(ctx context.Context, tmp, other string) error {
	pool := connect(tmp, aside)
	defer pool.Close()
	format, err := inspect(ctx, pool, other, len(formats))
	if err != nil {
		return err
	}
	odd, err := strangeRules(ctx, pool, formats[:format])
	if err != nil {
		return err
	}
	if len(odd) > 0 {
		return damagedError(other, odd[0], nil)
	}
	if err := migrate(ctx, pool, other, formats, nil); err != nil {
		return err
	}
	return pool.Close()
}

const pageSize = 4096

// link gives a file a second name; a test puts a file system without links in its place.
var link = os.Link

// settleCopy makes a copy of a log stand alone: it is not in WAL mode, and where
// the end of the file was cut off, empty pages stand for it, so that the others
// can be read.
func settleCopy(name string) error {
	f, err := os.OpenFile(name, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	// The SQLite file format, section 1.3: versions at 18, size in pages at 28.
	header := make([]byte, 32)
	if _, err := f.ReadAt(header, 0); err != nil {
		return nil // too short to be one
	}
	info, err := f.Stat()
	if err != nil {
		return err
	}
	if whole := int64(binary.BigEndian.Uint32(header[28:])) * pageSize; info.Size() < whole && whole < 2*info.Size()+1<<20 {
		if err := f.Truncate(whole); err != nil {
			return err
		}
	}
	if string(header[:16]) != magic {
		return nil
	}
	_, err = f.WriteAt([]byte{1, 1}, 18)
	return err
}

// exchange puts the file tmp in the place of the log, which it gives another name
// with all that belongs to it: all of it, or nothing. Killed at any point, it leaves
// the one log or the other; a journal that is left beside the new one is seen to
// be strange when that is opened.
func exchange(ctx context.Context, file, tmp string, now time.Time) (kept string, err error) {
	busy := explain(file, "set the present log aside", sqlite3.Error{Code: sqlite3.ErrBusy})
	if inUse(file) {
		return "", busy
	}
	if ending, _ := journalOf(file); ending == "" {
		// SQLite says for every system whether the log is in use.
		pool := connect(file, aside)
		var mode string
		err := pool.QueryRowContext(ctx, `PRAGMA journal_mode = DELETE`).Scan(&mode)
		pool.Close()
		if errors.Is(explain(file, "", err), ErrLocked) {
			return "", busy
		}
	}
	var there []string
	for _, ending := range append([]string{""}, journals...) {
		if _, err := os.Lstat(file + ending); err == nil {
			there = append(there, ending)
		} else if !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
	}
	if len(there) == 0 {
		return "", os.Rename(tmp, file)
	}
	kept = freeName(file, "-before-restore-", now)
	undo := func() {
		for _, ending := range there {
			os.Remove(kept + ending)
		}
	}
	for _, ending := range there {
		if link(file+ending, kept+ending) == nil {
			continue
		}
		// A file system without links. What is there keeps its name until the other
		// log takes it.
		if err := errors.Join(copyFile(kept+ending, file+ending), syncFile(kept+ending)); err != nil {
			undo()
			return "", err
		}
	}
	if err := os.Rename(tmp, file); err != nil {
		undo()
		return "", err
	}
	for _, ending := range journals {
		os.Remove(file + ending)
	}
	syncFolder(filepath.Dir(file))
	return kept + there[0], nil
}
