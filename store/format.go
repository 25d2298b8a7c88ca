package store

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"database/sql"
	_ "embed"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/bits"
	"os"
	"path/filepath"
	"strconv"
)

// applicationID marks a file as ours in its header (PRAGMA application_id).
const applicationID = 0x53_46_72_74 // "SFrt"

// magic begins every database (the SQLite file format, section 1.3).
const magic = "SQLite format 3\x00"

//go:embed schema/0001.sql
var format1 string

//go:embed schema/0002.sql
var format2 string

//go:embed schema/0003.sql
var format3 string

// formats holds the scripts that bring a file from each format to the next;
// the number of a format is in the file's header (PRAGMA user_version). A
// script that has been released is never edited.
var formats = []string{format1, format2, format3}

// ensure makes sure that there is a file of ours, of a format that this program
// knows, as far as its first bytes tell, and that the journal beside it is its own.
// It reads them itself, so that a file that is refused has not been touched, not
// even by SQLite.
func (db *DB) ensure(ctx context.Context, formats []string) error {
	if isOpen(db.file) {
		return nil
	}
	f, info, err := openRegular(db.file, os.O_RDWR)
	if errors.Is(err, fs.ErrNotExist) {
		return create(ctx, db.file, formats)
	} else if err != nil {
		return explain(db.path, "open the practice", err)
	}
	defer f.Close()
	if err := examine(f, db.path, len(formats)); err != nil {
		return err
	}
	// Something beside the file must be writable too: the -wal file.
	if !writable(filepath.Dir(db.file)) {
		return explain(db.path, "open the practice", fs.ErrPermission)
	}
	if info.Mode().Perm()&0o077 != 0 {
		f.Chmod(0o600) // where the system has no such modes, there is nothing to do
	}
	db.Notice, err = settleJournal(ctx, db.file, db.path, len(formats), db.Now())
	return err
}

// examine reads the header of the file f, called path, and says what keeps it
// from being a log that this program knows.
func examine(f *os.File, path string, known int) error {
	info, err := f.Stat()
	if err != nil {
		return explain(path, "open the practice", err)
	}
	if info.Size() == 0 {
		return damagedError(path, "it is empty, 0 bytes", nil)
	}
	header := make([]byte, 100)
	if _, err := io.ReadFull(f, header); errors.Is(err, io.ErrUnexpectedEOF) {
		return explainKind(ErrForeign, path)
	} else if err != nil {
		return explain(path, "open the practice", err)
	}
	// The SQLite file format, section 1.3: user version at 60, application id at 68.
	id := binary.BigEndian.AppendUint32(nil, applicationID)
	switch began, marked := alike(header, magic), alike(header[68:], string(id)); {
	case began == len(magic) && marked == len(id):
	case began >= len(magic)/2 && marked >= len(id)-1 && began+marked > len(magic):
		return damagedError(path, "its header is not as it was written", nil)
	default:
		return explainKind(ErrForeign, path)
	}
	format := int(binary.BigEndian.Uint32(header[60:]))
	if format > known && bits.OnesCount(uint(format^known)) == 1 {
		return damagedError(path, "its header lost the format", nil)
	}
	if err := newer(path, format, known); err != nil {
		return err
	}
	// Page size, versions for reading and writing, and three numbers that never
	// differ. SQLite would take the file for a read-only or a foreign one.
	if size := binary.BigEndian.Uint16(header[16:]); size != 4096 || max(header[18], header[19]) > 2 || string(header[21:24]) != "\x40\x20\x20" {
		return damagedError(path, "its header is not as it was written", nil)
	}
	return nil
}

// alike counts the bytes that are as in text.
func alike(header []byte, text string) (n int) {
	for i := range len(text) {
		if header[i] == text[i] {
			n++
		}
	}
	return n
}

// formatIn returns the format that the header of f names.
func formatIn(f *os.File) (int, error) {
	var format [4]byte
	_, err := f.ReadAt(format[:], 60)
	return int(binary.BigEndian.Uint32(format[:])), err
}

func explainKind(kind error, path string) *Error {
	e := &Error{kind: kind, path: path}
	e.what, e.do = sentence(kind, path, "open the practice")
	return e
}

func newer(path string, format, known int) error {
	if format <= known {
		return nil
	}
	return &Error{kind: ErrNewer, path: path,
		what: fmt.Sprintf("%s was written by a newer surefret (its format is %d, this program knows %d)", path, format, known),
		do:   "it was left as it is; install the newer program to go on with it"}
}

// inspect makes sure of what ensure has read, now through SQLite: the header
// may be newer in the -wal file. It returns the format.
func inspect(ctx context.Context, pool *sql.DB, path string, known int) (format int, err error) {
	var app int
	if err := pool.QueryRowContext(ctx, `PRAGMA application_id`).Scan(&app); err != nil {
		return 0, err
	}
	if err := pool.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&format); err != nil {
		return 0, err
	}
	if app != applicationID {
		return 0, explainKind(ErrForeign, path)
	}
	if format == 0 {
		return 0, damagedError(path, "its header lost the format", nil)
	}
	if err := newer(path, format, known); err != nil {
		return format, err
	}
	if !areTables(ctx, pool) {
		return format, damagedError(path, "its rows are not in tables", nil)
	}
	return format, nil
}

// checkSmall has SQLite walk through all pages of a file, called path, that is small.
func checkSmall(ctx context.Context, pool *sql.DB, file, path string) error {
	info, err := os.Stat(file)
	if err != nil || info.Size() > smallFile {
		return err
	}
	return pragmaCheck(ctx, pool, path, "quick_check(1)")
}

// pragmaCheck runs one of SQLite's own checks, which say "ok" or the first fault.
func pragmaCheck(ctx context.Context, pool *sql.DB, path, check string) error {
	var says string
	if err := pool.QueryRowContext(ctx, `PRAGMA `+check).Scan(&says); err != nil {
		return err
	}
	if says != "ok" {
		return damagedError(path, "its pages do not fit together", errors.New(says))
	}
	return nil
}

// settle finds the id of this computer, and makes one where the log is new here:
// just made, or copied or restored from another computer.
func (db *DB) settle(ctx context.Context) error {
	stored, err := pairs(ctx, db.write, `SELECT key, value FROM here`)
	if err != nil {
		return err
	}
	dates, _ := strconv.ParseInt(stored[datesKey], 10, 64)
	db.dates.Store(dates)
	machine := fingerprint()
	if id := stored["device"]; id != "" && stored["machine"] == machine {
		err := db.write.QueryRowContext(ctx, `SELECT n FROM devices WHERE id = ?`, id).Scan(&db.place)
		if err == nil {
			db.device = id
			return nil
		} else if !errors.Is(err, sql.ErrNoRows) {
			return err
		}
	}
	return transact(ctx, db.write, func(tx *sql.Tx) error {
		// Another process may have settled in between: its word counts.
		var id string
		err := tx.QueryRowContext(ctx, `SELECT d.value FROM here d, here m
			WHERE d.key = 'device' AND m.key = 'machine' AND m.value = ?`, machine).Scan(&id)
		if errors.Is(err, sql.ErrNoRows) {
			id = newID(db.Now(), nil)
		} else if err != nil {
			return err
		}
		if db.place, err = placeOf(ctx, tx, id); err != nil {
			return err
		}
		db.device = id
		_, err = tx.ExecContext(ctx, `INSERT INTO here (key, value) VALUES ('device', ?), ('machine', ?)
			ON CONFLICT (key) DO UPDATE SET value = excluded.value`, id, machine)
		return err
	})
}

// fingerprint tells this computer from another one that the file may be copied
// to. It is a keyed hash, so that what identifies the machine elsewhere does not
// travel in a log.
func fingerprint() string {
	name, err := os.ReadFile("/etc/machine-id")
	if err != nil || len(name) == 0 {
		host, _ := os.Hostname()
		name = []byte(host)
	}
	mac := hmac.New(sha256.New, name)
	mac.Write([]byte("surefret log"))
	return hex.EncodeToString(mac.Sum(nil)[:8])
}

// prepare holds what is to be done ahead of the script that leads to a format and
// is not for SQL alone.
var prepare = map[int]func(context.Context, *sql.Tx) error{3: renameKeys}

// migrate brings the file of pool to the newest format, one transaction a step;
// before, unless nil, is called once, ahead of the first of them.
func migrate(ctx context.Context, pool *sql.DB, path string, formats []string, before func() error) error {
	for {
		var format int
		if err := pool.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&format); err != nil {
			return err
		}
		if format >= len(formats) {
			return newer(path, format, len(formats))
		}
		if before != nil {
			if err := before(); err != nil {
				return err
			}
			before = nil
		}
		err := transact(ctx, pool, func(tx *sql.Tx) error {
			var now int
			if err := tx.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&now); err != nil || now != format {
				return err // another process has done this step
			}
			if before := prepare[format+1]; before != nil {
				if err := before(ctx, tx); err != nil {
					return err
				}
			}
			_, err := tx.ExecContext(ctx, formats[format]+fmt.Sprintf("; PRAGMA user_version = %d", format+1))
			return err
		})
		if err != nil {
			return err
		}
	}
}

// renameKeys gives the settings of format 2 the keys that they have now, and the
// checksums that go with them: so they are the same rows in every log that was
// brought up to date. A row that was damaged stays so.
func renameKeys(ctx context.Context, tx *sql.Tx) error {
	if _, err := tx.ExecContext(ctx, `DROP TRIGGER IF EXISTS changes_keep`); err != nil { // the script makes it again
		return err
	}
	old := &view{read: tx}
	for c, err := range old.changes(ctx, `WHERE kind = ?`, kindSetting) {
		if errors.Is(err, errRow) {
			continue
		} else if err != nil {
			return err
		}
		if key := keyNow(c.kind, c.key); key != c.key {
			c.key = key
			if _, err := tx.ExecContext(ctx, `UPDATE changes SET key = ?, sum = ? WHERE seq = ?`, key, int64(sumOfChange(c)), int64(c.seq)); err != nil {
				return err
			}
		}
	}
	return nil
}

// backupBefore makes a verified backup of a file that is about to be brought to
// a newer format. It stays until the player removes it.
func (db *DB) backupBefore(ctx context.Context, format int) func() error {
	return func() error {
		name := fmt.Sprintf("before-format-%d-%s.db", format, db.Now().UTC().Format("20060102T150405.000000000"))
		file := filepath.Join(backupFolder(db.path), name)
		return explain(file, "write the backup", db.backup(ctx, file))
	}
}
