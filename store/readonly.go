package store

import (
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// OpenReadOnly opens the log at path for reading alone, as it is at this moment
// and however the file may be written meanwhile. It makes no log: where there is
// none it is [ErrMissing]. What would write, such as [DB.Append], is [ErrDenied].
// Nothing is left of it: SQLite's journals beside the log come and go with it, and
// so does the private copy, in the folder for temporary files, of a log with a journal
// that nobody has open, or of an older format, which is read as the newest has it.
// Where the folder of the log cannot be written, nothing is made there at all. Other
// errors are as of [Open].
func OpenReadOnly(ctx context.Context, path string) (*DB, error) {
	const doing = "open the practice"
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, explain(path, doing, err)
	}
	file, err := resolve(path)
	if err != nil {
		return nil, explain(path, doing, err)
	}
	if info, err := os.Stat(file); err == nil && !info.Mode().IsRegular() {
		return nil, explain(path, doing, errNoRegular) // a pipe would be waited for
	}
	db := &DB{Now: time.Now, file: file}
	db.view.path = path
	sweep(os.TempDir(), db.Now())
	if err := db.openReadOnly(ctx); err != nil {
		db.Close()
		return nil, explain(path, doing, err)
	}
	return db, nil
}

// writable returns [ErrDenied] where a log was opened for reading alone.
func (db *DB) writable(doing string) error {
	if db.moment != nil {
		return explain(db.path, doing, fs.ErrPermission)
	}
	return nil
}

func (db *DB) openReadOnly(ctx context.Context) error {
	format, err := db.formatThere(ctx)
	if err != nil {
		return err
	}
	file, as := db.file, reader
	switch ending, _ := journalOf(db.file); {
	case format < len(formats), ending != "" && !inUse(db.file):
		if db.room, err = newRoom(os.TempDir()); err != nil {
			return err
		}
		b, err := join(ctx, db.room, db.file, db.path)
		if err != nil {
			return err
		}
		switch b {
		case broken:
			return damagedError(db.path, "", nil)
		case strange:
			db.Notice = db.path + ending + " is not the journal of " + db.path + ", which is read without it"
		}
		file = filepath.Join(db.room, "copy.db")
		if format < len(formats) {
			if err := admit(ctx, file, db.path); err != nil {
				return err
			}
		}
	case inUse(db.file):
	case !writable(filepath.Dir(db.file)):
		as = unchanging
	}
	if db.room == "" {
		db.count(1)
	}
	db.readers = connect(file, as)
	db.write = db.readers
	if _, err := inspect(ctx, db.readers, db.path, len(formats)); err != nil {
		return err
	}
	if err := checkSmall(ctx, db.readers, file, db.path); err != nil {
		return err
	}
	if db.moment, err = db.readers.BeginTx(ctx, nil); err != nil {
		return err
	}
	db.view.read = db.moment
	_, err = db.end(ctx) // the moment is that of the first look
	return err
}

// formatThere returns the format of a log that this program knows.
func (db *DB) formatThere(ctx context.Context) (format int, err error) {
	if inUse(db.file) {
		pool := connect(db.file, foreign)
		defer pool.Close()
		err := pool.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&format)
		return format, err
	}
	f, _, err := openRegular(db.file, os.O_RDONLY)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	if err := examine(f, db.path, len(formats)); err != nil {
		return 0, err
	}
	return formatIn(f)
}
