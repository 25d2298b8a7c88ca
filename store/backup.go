package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/mattn/go-sqlite3"
)

// Backup writes the whole log, as it is now, to one new file, readable by its
// owner alone, and reads it back before it takes its name. Practice may go on
// meanwhile. [ErrExists] says that the file is there already.
func (db *DB) Backup(ctx context.Context, file string) error {
	if _, err := os.Lstat(file); err == nil {
		return explain(file, "write the backup", fs.ErrExist)
	}
	if _, err := os.Stat(filepath.Dir(file)); errors.Is(err, fs.ErrNotExist) {
		return &Error{kind: ErrMissing, path: file, what: "could not write the backup, there is no folder " + filepath.Dir(file), do: "make it, or name another one"}
	}
	if err := Guard(db.path, file); err != nil {
		return err
	}
	return explain(file, "write the backup", db.backup(ctx, file))
}

func (db *DB) backup(ctx context.Context, file string) error {
	if _, err := os.Lstat(file); err == nil {
		return fs.ErrExist
	}
	dir := filepath.Dir(file)
	if dir == backupFolder(db.path) {
		if err := os.MkdirAll(dir, 0o700); err != nil {
			return err
		}
	}
	room, err := newRoom(dir)
	if err != nil {
		return err
	}
	defer os.RemoveAll(room)
	tmp := filepath.Join(room, "copy.db")
	if err := copyDatabase(ctx, tmp, db.readers); err != nil {
		return err
	}
	if err := verify(ctx, tmp, db.path); err != nil {
		return err
	}
	return adopt(tmp, file)
}

// copyDatabase copies the database of from into a new file, with SQLite's
// online backup, in one step: a copy of one moment. The copy is a file that
// needs no other beside it.
func copyDatabase(ctx context.Context, to string, from *sql.DB) error {
	if err := os.WriteFile(to, nil, 0o600); err != nil {
		return err
	}
	pool := connect(to, aside)
	defer pool.Close()
	source, err := from.Conn(ctx)
	if err != nil {
		return err
	}
	defer source.Close()
	target, err := pool.Conn(ctx)
	if err != nil {
		return err
	}
	defer target.Close()
	err = source.Raw(func(s any) error {
		return target.Raw(func(t any) error {
			b, err := t.(*sqlite3.SQLiteConn).Backup("main", s.(*sqlite3.SQLiteConn), "main")
			if err != nil {
				return err
			}
			_, err = b.Step(-1)
			return errors.Join(err, b.Finish())
		})
	})
	if err != nil {
		var pages int64
		_ = source.QueryRowContext(ctx, `PRAGMA page_count`).Scan(&pages)
		return cmp.Or(mayGrow(to, pages*pageSize), err)
	}
	if _, err := target.ExecContext(ctx, `PRAGMA journal_mode = DELETE`); err != nil {
		return err
	}
	return errors.Join(target.Close(), pool.Close())
}

// mayGrow returns what the system has against a file of this size, which SQLite's
// backup does not tell.
func mayGrow(file string, size int64) error {
	f, err := os.OpenFile(file, os.O_WRONLY, 0)
	if err == nil {
		_, err = f.WriteAt([]byte{0}, size)
		err = errors.Join(err, f.Close())
	}
	return err
}

// verify reads the whole of a file that nobody has open: its pages and, at the
// same time, every row, and for all but very long logs its indexes, which takes
// longer than the rest. name is what errors call it.
func verify(ctx context.Context, file, name string) error {
	pool := connect(file, aside)
	defer pool.Close()
	pages := make(chan error, 1)
	reading, cancel := context.WithCancel(ctx)
	defer cancel()
	go func() {
		err := explain(name, "read it back", pragmaCheck(ctx, pool, name, checkFor(file)))
		if err != nil {
			cancel() // pages that lead in a circle are read for ever
		}
		pages <- err
	}()
	v := viewOf(ctx, pool, name)
	v.wary = false // its rules are known, or it is a copy of one's own
	rows := verifyRows(reading, v)
	return cmp.Or(<-pages, rows)
}

// checkFor names SQLite's own check of a file: with its indexes, unless it is long.
func checkFor(file string) string {
	if info, err := os.Stat(file); err == nil && info.Size() > smallFile {
		return "quick_check(1)"
	}
	return "integrity_check(1)"
}

func verifyRows(ctx context.Context, v *view) error {
	for _, err := range v.arrivals(ctx, `ORDER BY seq`) {
		if err != nil {
			return err
		}
	}
	for _, err := range v.changes(ctx, "") {
		if err != nil {
			return err
		}
	}
	return nil
}

// DailyBackup writes the backup of the day of now to the folder of backups
// beside the log, unless it is there, and returns its name. Of the backups of
// days it keeps the newest seven, and the last one of each month. Those that are
// dated after now, by a clock that was ahead, stay and are not among the seven.
func (db *DB) DailyBackup(ctx context.Context, now time.Time) (file string, err error) {
	day := now.Format(time.DateOnly)
	folder := backupFolder(db.path)
	file = filepath.Join(folder, day+".db")
	if err := db.backup(ctx, file); err != nil && !errors.Is(err, fs.ErrExist) {
		return "", explain(file, "write the backup of the day", err)
	}
	days := backupDays(folder)
	kept := keep(days, day)
	for _, d := range days {
		if !slices.Contains(kept, d) && d != day {
			if err := os.Remove(filepath.Join(folder, d+".db")); err != nil {
				return file, explain(folder, "clear out old backups", err)
			}
		}
	}
	sweep(folder, now)
	return file, nil
}

// keep returns which of the days have a backup worth keeping: the newest seven up
// to today, and the last of each month. Those of days to come all stay, until they
// have come: it may be the clock of today that is wrong.
func keep(days []string, today string) []string {
	days = slices.Sorted(slices.Values(days))
	ahead, there := slices.BinarySearch(days, today)
	if there {
		ahead++
	}
	kept := days[ahead:]
	for i, d := range days[:ahead] {
		lastOfMonth := i+1 == ahead || days[i+1][:len("2006-01")] != d[:len("2006-01")]
		if lastOfMonth || i >= ahead-7 {
			kept = append(kept, d)
		}
	}
	return kept
}

// backupFolder is where the backups of the log at path are: beside it.
func backupFolder(path string) string {
	return strings.TrimSuffix(path, filepath.Ext(path)) + "-backups"
}

// backupDays lists the days with a backup in a folder, the oldest first.
func backupDays(folder string) []string {
	var days []string
	entries, _ := os.ReadDir(folder) // sorted; a folder that is not there holds none
	for _, e := range entries {
		if day, ok := strings.CutSuffix(e.Name(), ".db"); ok && isDay(day) {
			days = append(days, day)
		}
	}
	return days
}

// bestBackup returns the backup that has most rows in common with the damaged log
// at path and, of those, most answers, which it counts; "" where there is none.
func bestBackup(path string) (best string, answers int) {
	ctx := context.Background()
	own := readable(ctx, path)
	most := -1
	for _, b := range allBackups(path) {
		common, has := 0, readable(ctx, b)
		for row := range has {
			if own[row] {
				common++
			}
		}
		if len(has) > 0 && cmp.Or(cmp.Compare(common, most), cmp.Compare(len(has), answers)) >= 0 {
			best, most, answers = b, common, len(has)
		}
	}
	return best, answers
}

// readable returns the answers in a file, by their ids and checksums, as far as
// they can be read without a look at its journal.
func readable(ctx context.Context, file string) map[string]bool {
	if found, err := resolve(file); err == nil {
		file = found
	}
	pool := connect(file, unchanging)
	defer pool.Close()
	v := viewOf(ctx, pool, file)
	all := map[string]bool{}
	if !areTables(ctx, pool) {
		return all
	}
	for _, order := range []string{"ASC", "DESC"} { // from both ends of what does not read
		rows, err := pool.QueryContext(ctx, `SELECT id || ' ' || sum FROM `+v.answerTable()+` ORDER BY seq `+order)
		if err != nil {
			return all
		}
		defer rows.Close()
		for rows.Next() {
			var row string
			if rows.Scan(&row) == nil {
				all[row] = true
			}
		}
		if rows.Err() == nil {
			break
		}
	}
	return all
}

// Backups returns the names of the backups of days of the log at path, the
// oldest first.
func Backups(path string) []string {
	var files []string
	for _, d := range backupDays(backupFolder(path)) {
		files = append(files, filepath.Join(backupFolder(path), d+".db"))
	}
	return files
}

// allBackups returns the names of everything in the folder of backups of the log
// at path that may be one, those before a change of format among them.
func allBackups(path string) []string {
	var files []string
	entries, _ := os.ReadDir(backupFolder(path))
	for _, e := range entries {
		if filepath.Ext(e.Name()) == ".db" {
			files = append(files, filepath.Join(backupFolder(path), e.Name()))
		}
	}
	return files
}
