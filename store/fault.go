package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	"github.com/mattn/go-sqlite3"
)

// What can be wrong with the player's file. Every error of this package that
// the player can do something about is an [*Error] that wraps one of these.
var (
	ErrDamaged = errors.New("damaged")         // the content is not what was written
	ErrForeign = errors.New("not a log")       // no database, or another program's
	ErrNewer   = errors.New("too new")         // made by a later version of this program
	ErrOlder   = errors.New("too old")         // of a computer with an earlier version
	ErrLocked  = errors.New("locked")          // another program keeps it busy
	ErrFull    = errors.New("disk full")       // nothing more can be written
	ErrDenied  = errors.New("no access")       // a permission or a missing folder
	ErrExists  = errors.New("already there")   // a file that would be overwritten
	ErrMissing = errors.New("no such file")    // a file that was named is not there
	ErrInput   = errors.New("not understood")  // a line, a row or a value that is not valid
	ErrFailing = errors.New("the disk failed") // the system reported a failure of the disk
)

// An Error is one clear sentence for the player: what, where and what to do.
type Error struct {
	kind  error  // one of the Err values above
	path  string // the file it is about
	what  string // the sentence up to the colon
	do    string // what the player can do; "" of a damaged log is the way back by its backups
	Cause error  // what the system said; not shown, it is not written for players
}

func (e *Error) Error() string {
	do := e.do
	if do == "" && e.kind == ErrDamaged {
		do = wayBack(e.path)
	}
	if do == "" {
		return e.what
	}
	return e.what + ": " + do
}

// Unwrap returns the kind and the cause, for [errors.Is] and [errors.As].
func (e *Error) Unwrap() []error {
	if e.Cause == nil {
		return []error{e.kind}
	}
	return []error{e.kind, e.Cause}
}

// Locked reports whether another program keeps the file busy: what failed may be
// tried again.
func (e *Error) Locked() bool { return e.kind == ErrLocked }

// explain turns what the driver or the system said about the file at path into
// an [*Error]. doing says what was being done, such as "save the answer".
// Errors that are sentences already, and the end of a context, stay themselves.
func explain(path, doing string, err error) error {
	var known *Error
	if err == nil || errors.As(err, &known) {
		return err
	}
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return fmt.Errorf("%s: %w", doing, err)
	}
	e := &Error{path: path, Cause: err}
	var lite sqlite3.Error
	switch {
	case errors.As(err, &lite):
		switch lite.Code & 0xff { // without the part that extends it
		case sqlite3.ErrFull:
			e.kind = ErrFull
		case sqlite3.ErrBusy, sqlite3.ErrLocked, sqlite3.ErrProtocol:
			e.kind = ErrLocked
		case sqlite3.ErrReadonly, sqlite3.ErrPerm, sqlite3.ErrCantOpen, sqlite3.ErrAuth:
			e.kind = ErrDenied
		case sqlite3.ErrInterrupt:
			return fmt.Errorf("%s: %w", doing, context.Canceled)
		case sqlite3.ErrIoErr, sqlite3.ErrNomem:
			e.kind = ErrFailing
		default:
			// Corrupt, and whatever a damaged schema makes SQLite complain of.
			// A file that is no database at all was refused before.
			e.kind = ErrDamaged
		}
		if lite.SystemErrno == syscall.ENOSPC || lite.SystemErrno == syscall.EDQUOT || lite.SystemErrno == syscall.EFBIG {
			e.kind = ErrFull
		}
	case errors.Is(err, errPragma):
		e.kind = ErrDenied
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT), errors.Is(err, syscall.EFBIG):
		e.kind = ErrFull
	case errors.Is(err, errNoRegular), errors.Is(err, syscall.EISDIR):
		e.kind, e.what, e.do = ErrForeign, path+" is a folder, a pipe or a device, not a file", "check the name"
		return e
	case errors.Is(err, syscall.ENAMETOOLONG):
		e.kind, e.what, e.do = ErrMissing, fmt.Sprintf("could not %s, the name %s is too long", doing, path), "choose a shorter one"
		return e
	case errors.Is(err, syscall.ELOOP):
		e.kind, e.what, e.do = ErrMissing, fmt.Sprintf("could not %s, the links of %s lead round in a circle", doing, path), "check the name"
		return e
	case errors.Is(err, fs.ErrExist):
		e.kind = ErrExists
	case errors.Is(err, fs.ErrNotExist):
		e.kind = ErrMissing
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS), errors.Is(err, syscall.ENOTDIR):
		e.kind = ErrDenied
	default:
		e.kind = ErrFailing
	}
	e.what, e.do = sentence(e.kind, path, doing)
	return e
}

// sentence words a kind of fault.
func sentence(kind error, path, doing string) (what, do string) {
	switch kind {
	case ErrFull:
		return fmt.Sprintf("could not %s, the disk that holds %s is full or lets no file grow so large", doing, path),
			"what was saved before is safe; make room and try again"
	case ErrLocked:
		return fmt.Sprintf("could not %s, another program keeps %s locked", doing, path),
			"close it and try again"
	case ErrForeign:
		return fmt.Sprintf("%s is not a surefret practice file", path),
			"it was left as it is; name another file with --db, or bring back a backup with 'surefret data restore FILE'"
	case ErrDenied:
		return fmt.Sprintf("could not %s, no permission to read and write %s and its folder", doing, path),
			"change the permissions, or name another file with --db"
	case ErrExists:
		return fmt.Sprintf("could not %s, %s is already there", doing, path), "choose another name"
	case ErrMissing:
		return fmt.Sprintf("could not %s, there is no file %s", doing, path), "check the name"
	case ErrDamaged:
		return path + " is damaged", ""
	}
	return fmt.Sprintf("could not %s, the disk that holds %s reported a failure", doing, path),
		"what was saved before is safe if the disk is; check the disk, then run 'surefret data check'"
}

// damagedError says that the content of a file cannot be trusted. What the player
// can do is looked for when the sentence is: it takes reading the backups.
func damagedError(path, what string, cause error) *Error {
	if what != "" {
		what = " (" + what + ")"
	}
	return &Error{kind: ErrDamaged, path: path, what: path + " is damaged" + what, Cause: cause}
}

// wayBack says how to go on after a damaged log, with the best backup by name.
func wayBack(path string) string {
	const then = "which keeps this file, and then take over what can still be read in it with 'surefret data merge'"
	if backup, n := bestBackup(path); backup != "" {
		return fmt.Sprintf("nothing in it was changed; bring back the backup that has most of it, %d answers, with 'surefret data restore '%s'', %s", n, backup, then)
	}
	return "nothing in it was changed; bring back a backup with 'surefret data restore FILE', " + then +
		fmt.Sprintf("; without one, 'surefret data merge --db NEW.db '%s'' makes a new practice of that", path)
}
