package store

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Restore puts a backup in the place of the log at path. The backup is verified
// first and stays as it is; the log that was there, whatever its state, is kept
// under the name that is returned, "" if there was none. A log that another
// process has open is [ErrLocked].
func Restore(ctx context.Context, path, backup string) (kept string, err error) {
	path, err = filepath.Abs(path)
	if err != nil {
		return "", explain(path, "find the log", err)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return "", explain(path, "make the folder of the log", err)
	}
	tmp, err := takeCopy(ctx, filepath.Dir(path), backup)
	if err != nil {
		return "", err
	}
	defer os.Remove(tmp)
	if err := verify(ctx, tmp, backup); err != nil {
		return "", err
	}
	kept, err = setAside(ctx, path, time.Now())
	if err != nil {
		return kept, explain(path, "set the present log aside", err)
	}
	if err := errors.Join(syncFile(tmp), os.Rename(tmp, path)); err != nil {
		return kept, explain(path, "put the backup in its place", err)
	}
	syncFile(filepath.Dir(path))
	return kept, nil
}

// takeCopy copies another log, which is only read, into a new file in folder
// and brings the copy to the newest format. The caller removes it.
func takeCopy(ctx context.Context, folder, other string) (tmp string, err error) {
	const doing = "read the other log"
	f, _, err := openRegular(other, os.O_RDONLY)
	if err != nil {
		return "", explain(other, doing, err)
	}
	err = examine(f, other, len(formats))
	f.Close()
	if err != nil {
		return "", err
	}
	copied, err := os.CreateTemp(folder, ".surefret-*") // of mode 0600
	if err != nil {
		return "", explain(folder, doing, err)
	}
	copied.Close()
	tmp = copied.Name()
	defer func() {
		if err != nil {
			os.Remove(tmp)
		}
	}()
	if settled, err := copyFile(tmp, other); err != nil {
		return "", explain(other, doing, err)
	} else if !settled {
		source := connect(other, foreign)
		defer source.Close()
		if err := copyDatabase(ctx, tmp, source); err != nil {
			return "", explain(other, doing, err)
		}
	}
	pool := connect(tmp, aside)
	defer pool.Close()
	if err := inspect(ctx, pool, other, len(formats)); err != nil {
		return "", explain(other, doing, err)
	}
	// A damaged file of an older format is for verify to find, and is read as it is.
	if err := explain(other, doing, migrate(ctx, pool, other, formats, nil)); err != nil && !errors.Is(err, ErrDamaged) {
		return "", explain(other, doing, err)
	}
	return tmp, explain(other, doing, pool.Close())
}

// copyFile copies a log that has nothing in its journal, byte by byte: that
// needs no right to write beside it, and it takes what SQLite would refuse. It
// reports false where the log is being written to.
//
// The copy is one for [aside]: it is not in WAL mode, and where the end of the
// file was cut off, empty pages stand for it, so that the others can be read.
func copyFile(tmp, other string) (settled bool, err error) {
	quiet := func() bool {
		info, err := os.Stat(other + "-wal")
		return errors.Is(err, fs.ErrNotExist) || err == nil && info.Size() == 0
	}
	if !quiet() {
		return false, nil
	}
	from, err := os.Open(other)
	if err != nil {
		return false, err
	}
	defer from.Close()
	before, err := from.Stat()
	if err != nil {
		return false, err
	}
	to, err := os.OpenFile(tmp, os.O_RDWR|os.O_TRUNC, 0)
	if err != nil {
		return false, err
	}
	defer to.Close()
	size, err := io.Copy(to, from)
	if err != nil {
		return false, err
	}
	if after, err := from.Stat(); err != nil || !quiet() || !after.ModTime().Equal(before.ModTime()) {
		return false, err
	}
	// The SQLite file format, section 1.3: versions at 18, size in pages at 28.
	header := make([]byte, 32)
	if _, err := to.ReadAt(header, 0); err != nil {
		return false, err
	}
	if whole := int64(binary.BigEndian.Uint32(header[28:])) * 4096; size < whole && whole < 1<<40 {
		if err := to.Truncate(whole); err != nil {
			return false, err
		}
	}
	_, err = to.WriteAt([]byte{1, 1}, 18)
	return true, err
}

// setAside gives the log at path, with its journal if it has one, a name with
// the time in it. The log stays under its own name too, where the file system
// can do that, until the caller puts another in its place.
func setAside(ctx context.Context, path string, now time.Time) (kept string, err error) {
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	// Leaving WAL mode takes the journal into the file, and it fails while
	// another process has the log open. A file that is too damaged for it is
	// moved as it is, with its journal.
	pool := connect(path, aside)
	var mode string
	err = pool.QueryRowContext(ctx, `PRAGMA journal_mode = DELETE`).Scan(&mode)
	pool.Close()
	if err := explain(path, "set the present log aside", err); errors.Is(err, ErrLocked) {
		return "", err
	}
	stem := strings.TrimSuffix(path, filepath.Ext(path)) + "-before-restore-" + now.Format("20060102T150405")
	kept = stem + filepath.Ext(path)
	for n := 2; ; n++ {
		if _, err := os.Lstat(kept); errors.Is(err, fs.ErrNotExist) {
			break
		}
		kept = fmt.Sprintf("%s-%d%s", stem, n, filepath.Ext(path))
	}
	if err := os.Link(path, kept); err != nil {
		if err := os.Rename(path, kept); err != nil {
			return "", err
		}
	}
	if err := os.Rename(path+"-wal", kept+"-wal"); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return kept, err
	}
	if err := os.Remove(path + "-shm"); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return kept, err
	}
	return kept, nil
}
