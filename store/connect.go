package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"net/url"
	"path/filepath"
	"runtime"

	"github.com/mattn/go-sqlite3"
)

// patience is how long a call waits for another process to finish writing, in
// milliseconds. A write takes a few of them; a lock that is held for longer is
// not another practice session.
var patience = 1800

// errPragma says that SQLite did not take a pragma, as on a disk whose files
// cannot be shared between processes.
var errPragma = errors.New("pragma refused")

// A connector opens connections to one file, each with the pragmas that the
// log's promises rest on. It stands where a driver name would: nothing is
// registered for the whole program.
type connector struct {
	driver *sqlite3.SQLiteDriver
	dsn    string
}

func (c connector) Driver() driver.Driver                        { return c.driver }
func (c connector) Connect(context.Context) (driver.Conn, error) { return c.driver.Open(c.dsn) }

// A mode is what a connection is for.
type mode int

const (
	forWriting mode = iota // the log itself: WAL, full synchronous writes
	forReading             // the log beside the writer: sees what is committed
	aside                  // a file of our own that nobody else has open: no WAL
	foreign                // a log that is not to be touched: read only
	reader                 // the log, of whatever mode, to be read beside others
	unchanging             // a file that nobody can write: no locks, no journals
)

// connect returns a pool of connections to the file at path. Pragmas belong to
// a connection, so each one gets them as it opens, and they are read back: the
// driver takes a misspelled name without a word.
func connect(path string, m mode) *sql.DB {
	q := url.Values{}
	q.Set("_busy_timeout", fmt.Sprint(patience))
	q.Set("_foreign_keys", "on")
	q.Set("_txlock", "immediate")
	q.Set("_synchronous", "FULL")
	q.Set("_recursive_triggers", "on")
	q.Set("mode", "rw")
	want := map[string]string{"foreign_keys": "1", "synchronous": "2"}
	if m == forWriting || m == forReading {
		q.Set("_journal_mode", "WAL")
		want["journal_mode"] = "wal"
	}
	if m == foreign || m == unchanging {
		q.Set("mode", "ro")
	}
	if m == unchanging {
		q.Set("immutable", "1")
	}
	if m == forReading || m == reader || m == unchanging {
		q.Set("_txlock", "deferred")
		q.Set("_query_only", "on")
		want["query_only"] = "1"
	}
	d := &sqlite3.SQLiteDriver{ConnectHook: func(c *sqlite3.SQLiteConn) error {
		// A lost -wal file takes with it what is not yet in the main file: a
		// few dozen answers at most with a checkpoint each 100 pages.
		set := "PRAGMA wal_autocheckpoint = 100; PRAGMA trusted_schema = off; PRAGMA cell_size_check = on;"
		if runtime.GOOS == "darwin" {
			set += "PRAGMA fullfsync = on;" // fsync alone does not reach the disk there
		}
		if _, err := c.Exec(set, nil); err != nil {
			return err
		}
		for name, value := range want {
			if got, err := pragma(c, name); err != nil {
				return err
			} else if got != value {
				return fmt.Errorf("%w: %s is %s, not %s", errPragma, name, got, value)
			}
		}
		return nil
	}}
	pool := sql.OpenDB(connector{d, uri(path, q)})
	if m == forWriting {
		pool.SetMaxOpenConns(1)
	}
	return pool
}

// uri names a file to SQLite, whatever characters there are in its path.
func uri(path string, q url.Values) string {
	u := url.URL{Scheme: "file", OmitHost: true, Path: filepath.ToSlash(path), RawQuery: q.Encode()}
	return u.String()
}

func pragma(c *sqlite3.SQLiteConn, name string) (string, error) {
	rows, err := c.Query("PRAGMA "+name, nil)
	if err != nil {
		return "", err
	}
	defer rows.Close()
	v := make([]driver.Value, 1)
	if err := rows.Next(v); err != nil {
		return "", err
	}
	return fmt.Sprint(v[0]), nil
}
