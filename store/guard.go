package store

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// journals are the endings of the files that SQLite keeps beside a database.
var journals = []string{"-wal", "-shm", "-journal"}

// Guard says why the file called name must not be written, or nil: it is the
// log at path, one of its journals or backups, or a database or journal of any
// program, if only by another name or a link.
func Guard(path, name string) error {
	refuse := func(what string) error {
		return &Error{kind: ErrExists, path: name, what: fmt.Sprintf("%s was not written, it is %s", name, what), do: "choose another name"}
	}
	target, err := resolve(name)
	if err != nil {
		return explain(name, "write the file", err)
	}
	log, err := resolve(path)
	if err != nil {
		log = path
	}
	if sameFile(log, target) {
		return refuse("the file of your practice")
	}
	for _, ending := range journals {
		if sameFile(log+ending, target) {
			return refuse("the journal of your practice")
		}
		if database, ok := strings.CutSuffix(target, ending); ok && isSQLite(database) {
			return refuse("the journal of a database")
		}
	}
	for _, b := range allBackups(path) {
		if sameFile(b, target) {
			return refuse("a backup of your practice")
		}
	}
	if isSQLite(target) {
		return refuse("a database or its journal")
	}
	return nil
}

// sameFile reports whether two names are of one file, which need not exist.
func sameFile(a, b string) bool {
	if a == b {
		return true
	}
	one, err1 := os.Stat(a)
	two, err2 := os.Stat(b)
	return err1 == nil && err2 == nil && os.SameFile(one, two)
}

// isSQLite reports whether a file begins as a database or a journal of SQLite
// does (the SQLite file format, sections 1.3, 3 and 4.1).
func isSQLite(name string) bool {
	f, _, err := openRegular(name, os.O_RDONLY)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, len(magic))
	n, _ := io.ReadFull(f, head)
	for _, begin := range []string{magic, "\x37\x7f\x06\x82", "\x37\x7f\x06\x83", "\xd9\xd5\x05\xf9\x20\xa1\x63\xd7"} {
		if bytes.HasPrefix(head[:n], []byte(begin)) {
			return true
		}
	}
	return false
}

// errNoRegular says that a name is of a folder, a pipe or a device.
var errNoRegular = errors.New("not a regular file")

// openRegular opens a regular file. Anything else it does not even open: a pipe
// would be waited for.
func openRegular(name string, flag int) (*os.File, fs.FileInfo, error) {
	info, err := os.Stat(name)
	if err == nil && !info.Mode().IsRegular() {
		err = errNoRegular
	}
	if err != nil {
		return nil, nil, err
	}
	f, err := os.OpenFile(name, flag|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, nil, err
	}
	if info, err = f.Stat(); err == nil && !info.Mode().IsRegular() {
		err = errNoRegular
	}
	if err != nil {
		f.Close()
		return nil, nil, err
	}
	return f, info, nil
}

// resolve returns the absolute name of the file that a name leads to by links.
// The file itself need not exist: a link may lead to one that is to be made.
func resolve(name string) (string, error) {
	name, err := filepath.Abs(name)
	if err != nil {
		return "", err
	}
	for range 40 {
		_, err := os.Stat(name)
		if err == nil {
			return filepath.EvalSymlinks(name)
		} else if !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
		to, err := os.Readlink(name)
		if err != nil {
			folder, err := filepath.EvalSymlinks(filepath.Dir(name))
			if errors.Is(err, fs.ErrNotExist) {
				return name, nil
			}
			return filepath.Join(folder, filepath.Base(name)), err
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(name), to)
		}
		name = to
	}
	return "", syscall.ELOOP
}
