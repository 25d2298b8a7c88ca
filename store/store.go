// Package store keeps a player's years of practice in one SQLite file.
//
// Two logs are the truth: the answers, one row each, and the changes to
// gigs and settings. Both are append-only, and every row carries its own unique
// id, so nothing that was saved is ever overwritten, and the logs of two
// computers merge as the union of their rows. What is read from them has one
// order for everyone, by time and then by id. The scheduler's memory is only a
// cache of replaying the log; see [view.snapshot].
//
// The invariant is that an answer is on the disk when [DB.Append] returns, once,
// and stays. For that the file is written in WAL mode with full synchronous
// writes, every row carries a checksum, a file that is damaged, foreign or newer
// is refused before anything is written to it, and backups are verified before
// they count.
//
// Package store saves the types of [surefret/drills] and [surefret/drills/gig]
// and knows nothing of what they mean. It is the only package that knows SQL.
package store

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"sync/atomic"
	"time"
)

// A DB is an open log. It may be used by several goroutines, and the file may
// be open in several processes, at once.
type DB struct {
	// Now is the clock that dates changes to gigs and settings. Open sets it
	// to [time.Now]; tests set it to their own before first use.
	Now func() time.Time

	// Whose, unless nil, is asked before [DB.Merge] or [DB.Import] takes over what seems
	// another player's: both logs have ids of players and share none. After an error of
	// its own, which is passed on, nothing is taken over.
	Whose func(context.Context) error

	// Notice is what the player is to be told of the file that was opened: that
	// the journal beside it was not its own. It is a sentence, or empty.
	Notice string

	view // what is there now

	write   *sql.DB   // one connection
	readers *sql.DB   // those that the view reads by
	insert  *sql.Stmt // an answer, on write
	device  string    // id of this computer
	place   int64     // its row in devices
	ids     ids

	dates  atomic.Int64 // the datings that the last Replay, or Open, found, see redate
	file   string       // where path leads to by links
	counts int          // how often this DB is among those that this process has open
	moment *sql.Tx      // what is read by, of one that was opened for reading alone
	room   string       // where its private copy is, if it needs one
}

// Open opens the log at path, and creates it, readable by its owner alone, with
// its folder if there is none. An older format is brought up to date after a
// verified backup. Errors are [*Error]s: [ErrForeign], [ErrNewer] and
// [ErrDamaged] leave the file untouched; [ErrLocked], [ErrDenied], [ErrFull]
// and [ErrFailing] say what stands in the way.
func Open(ctx context.Context, path string) (*DB, error) {
	return open(ctx, path, formats)
}

// smallFile is the size in bytes up to which a file is checked as a whole
// whenever it is opened; it is some 100,000 answers and 50 ms. Larger ones are
// checked with the backup of the day.
const smallFile = 24 << 20

func open(ctx context.Context, path string, formats []string) (*DB, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, explain(path, "find the log", err)
	}
	file, err := resolve(path)
	if err != nil {
		return nil, explain(path, "open the practice", err)
	}
	db := &DB{Now: time.Now, file: file}
	db.view.path = path
	sweep(filepath.Dir(file), db.Now())
	sweep(os.TempDir(), db.Now()) // where a look keeps its private copy
	if err := db.ensure(ctx, formats); err != nil {
		return nil, err
	}
	db.count(1)
	db.write, db.readers = connect(file, forWriting), connect(file, forReading)
	db.view.read = db.readers
	if err := db.start(ctx, formats); err != nil {
		db.Close()
		return nil, explain(path, "open the practice", err)
	}
	return db, nil
}

func (db *DB) start(ctx context.Context, formats []string) error {
	format, err := inspect(ctx, db.write, db.path, len(formats))
	if err != nil {
		return err
	}
	if err := checkSmall(ctx, db.write, db.file, db.path); err != nil {
		return err
	}
	if format < len(formats) {
		if odd, err := strangeRules(ctx, db.write, formats[:format]); err != nil {
			return err
		} else if len(odd) > 0 {
			return damagedError(db.path, odd[0], nil)
		}
	}
	if err := migrate(ctx, db.write, db.path, formats, db.backupBefore(ctx, len(formats))); err != nil {
		return err
	}
	if err := db.settle(ctx); err != nil {
		return err
	}
	for r := range db.arrivals(ctx, `INDEXED BY answers_at ORDER BY at DESC, id DESC LIMIT 1`) {
		db.ids.last, _ = parseUUID(r.ID) // damage here is for reading to tell
	}
	db.insert, err = db.write.PrepareContext(ctx, insertAnswer)
	return err
}

// Close closes the log, moving what is in its -wal file into the main file.
// Answers are safe even if it is never called.
func (db *DB) Close() error {
	var err error
	if db.moment != nil {
		db.moment.Rollback()
	}
	if db.insert != nil {
		err = db.insert.Close()
	}
	if db.readers != nil {
		err = errors.Join(err, db.readers.Close(), db.write.Close())
	}
	if db.room != "" {
		os.RemoveAll(db.room)
	}
	db.count(-db.counts)
	return explain(db.path, "close the log", err)
}

// count notes that this DB is open, or no more.
func (db *DB) count(n int) {
	opened.Lock()
	defer opened.Unlock()
	opened.files[db.file] += n
	db.counts += n
}

// Device returns the id of the computer that the log is open on.
func (db *DB) Device() string { return db.device }

// Path returns the absolute name of the file.
func (db *DB) Path() string { return db.path }

// NewID returns a new unique id for a row made at the time now. Ids made by one
// DB always rise, even when the clock stands still or steps back.
func (db *DB) NewID(now time.Time) string { return db.ids.next(now) }

// transact runs f in one transaction that has the right to write from its
// start, so that it cannot fail for a change that came in between.
func transact(ctx context.Context, pool *sql.DB, f func(*sql.Tx) error) error {
	tx, err := pool.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	if err := f(tx); err != nil {
		return err
	}
	return tx.Commit()
}

// placeOf returns the row of the device id in the table devices, and makes one
// for a device that is new.
func placeOf(ctx context.Context, tx *sql.Tx, id string) (int64, error) {
	if _, err := tx.ExecContext(ctx, `INSERT INTO devices (id) VALUES (?) ON CONFLICT DO NOTHING`, id); err != nil {
		return 0, err
	}
	var n int64
	err := tx.QueryRowContext(ctx, `SELECT n FROM devices WHERE id = ?`, id).Scan(&n)
	return n, err
}
