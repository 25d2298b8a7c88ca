package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// create makes a new log at path. It is finished under another name first and
// then given its own, so that there never is half a log, and a log that another
// process makes at the same time is not overwritten.
func create(ctx context.Context, path string, formats []string) (err error) {
	defer func() { err = explain(path, "make a new log", err) }()
	dir := filepath.Dir(path)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrExist) {
			err = fs.ErrPermission
		}
		return explain(path, "make a new log", err)
	}
	if info, err := os.Stat(path + "-wal"); err == nil && info.Size() > 0 {
		// SQLite would write these pages into the new file.
		return &Error{kind: ErrDamaged, path: path,
			what: fmt.Sprintf("%s is missing, but its journal %s-wal is still there", path, path),
			do:   "put the log back beside it, or bring back a backup with 'surefret data restore FILE', which keeps the journal"}
	}
	room, err := newRoom(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return fs.ErrPermission // as the folder is there
	} else if err != nil {
		return err
	}
	defer os.RemoveAll(room)
	tmp := filepath.Join(room, "new.db")
	if err := os.WriteFile(tmp, nil, 0o600); err != nil {
		return err
	}
	pool := connect(tmp, aside)
	defer pool.Close()
	steps := fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d;", applicationID, len(formats))
	if _, err := pool.ExecContext(ctx, "BEGIN;"+strings.Join(formats, "\n")+steps+"COMMIT;PRAGMA journal_mode = WAL"); err != nil {
		return err
	}
	if err := pool.Close(); err != nil { // the -wal file goes with the last connection
		return err
	}
	if err := adopt(tmp, path); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return nil
}

// adopt gives the finished file tmp the name path, on the disk when it returns.
// It never overwrites: the error is [fs.ErrExist] where path is taken.
func adopt(tmp, path string) error {
	if err := syncFile(tmp); err != nil {
		return err
	}
	err := link(tmp, path)
	if err != nil && !errors.Is(err, fs.ErrExist) {
		err = renameNew(tmp, path) // a file system without links
	}
	if err != nil {
		return err
	}
	os.Remove(tmp)
	syncFolder(filepath.Dir(path))
	return nil
}

// renameUnlessThere gives tmp the name path unless that is taken. Another process may
// take it between the look and the renaming.
func renameUnlessThere(tmp, path string) error {
	if _, err := os.Lstat(path); err == nil {
		return fs.ErrExist
	}
	return os.Rename(tmp, path)
}

// syncFile waits until a file is on the disk. It is opened for writing, as Windows
// refuses this to who only reads.
func syncFile(name string) error {
	f, err := os.OpenFile(name, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// syncFolder does so for the names in a folder, where the system can.
func syncFolder(name string) {
	if f, err := os.Open(name); err == nil {
		f.Sync()
		f.Close()
	}
}

// newRoom makes a hidden folder in dir, for the owner alone, where files are made
// before they get their names. Its name says which process made it. The caller
// removes it; sweep does so for one that was killed.
func newRoom(dir string) (string, error) {
	return os.MkdirTemp(dir, fmt.Sprintf(".surefret-%s-%d-*", fingerprint(), os.Getpid()))
}

// sweep removes the rooms in dir whose owner is dead and, where that cannot be
// told, those that are more than a day old now.
func sweep(dir string, now time.Time) {
	entries, _ := os.ReadDir(dir)
	for _, e := range entries {
		rest, ok := strings.CutPrefix(e.Name(), ".surefret-")
		if !ok {
			continue
		}
		machine, rest, _ := strings.Cut(rest, "-")
		owner, _, _ := strings.Cut(rest, "-")
		pid, err := strconv.Atoi(owner)
		dead := err == nil && machine == fingerprint() && pid != os.Getpid() && !alive(pid)
		if info, err := e.Info(); err == nil && (dead || now.Sub(info.ModTime()) > 24*time.Hour) {
			os.RemoveAll(filepath.Join(dir, e.Name())) // what stays is tried again at the next start
		}
	}
}
