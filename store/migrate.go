package store

import (
	"context"
	"database/sql"
	_ "embed"
	"errors"
	"fmt"
	"path/filepath"
)

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
