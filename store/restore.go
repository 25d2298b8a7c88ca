package store

import (
	"context"
	"errors"
	"fmt"
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
	f, err := os.Open(other)
	if err != nil {
		return "", explain(other, doing, err)
	}
	_, err = examine(f, other, len(formats))
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
	source := connect(other, foreign)
	defer source.Close()
	if err := copyDatabase(ctx, tmp, source); err != nil {
		return "", explain(other, doing, err)
	}
	pool := connect(tmp, aside)
	defer pool.Close()
	if err := inspect(ctx, pool, other, len(formats)); err != nil {
		return "", explain(other, doing, err)
	}
	if err := migrate(ctx, pool, other, formats, nil); err != nil {
		return "", explain(other, doing, err)
	}
	return tmp, explain(other, doing, pool.Close())
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
