package store

import (
	"cmp"
	"context"
	"database/sql"
	"fmt"
	"maps"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// Merged says what a merge or an import has done.
type Merged struct {
	Answers int    `json:"answers"` // answers that were new here
	Changes int    `json:"changes"` // changes of gigs and settings that were new here
	Known   int    `json:"known"`   // rows that were here already
	Clashes int    `json:"clashes"` // rows among the new ones whose id another row has here; both count
	Damaged int    `json:"damaged"` // rows of the other log that could not be read
	Late    int    `json:"late"`    // rows of the other log that were left out, as a wrong clock dated them after 2199
	Torn    bool   `json:"torn"`    // whether a part of the other log could not be read at all
	Lost    []Loss `json:"lost,omitempty"`
}

// A Loss is something that both logs had changed, to different values: the later
// change counts, and this is the other one. It stays in the log.
type Loss struct {
	What string    `json:"what"` // what was changed, in words: the day of "Harbour Fair"
	Kept string    `json:"kept"` // the value that counts, in words
	Lost string    `json:"lost"` // the other one
	At   time.Time `json:"at"`   // when the lost change was made
	Here bool      `json:"here"` // whether it was made in this log, not the other
}

// reads is what a merge does with the other log.
const reads = "read the other practice"

// Merge takes over what another log has and this one has not: all of it or,
// after an error, nothing. Merging is the union of the rows, so it may be done
// twice, in both directions and in any order, and ends in the same log: of two
// rows of one id that say different things, neither is lost.
//
// The other log is only read. Rows of it that are damaged are left out and
// counted, which is how a damaged log is emptied into a restored one.
func (db *DB) Merge(ctx context.Context, other string) (Merged, error) {
	const doing = "merge the logs"
	if sameFile(db.file, other) { // to open and close it would end this process's own locks
		return Merged{}, &Error{kind: ErrInput, path: other, what: other + " is this practice itself", do: "name another one"}
	}
	room, err := newRoom(filepath.Dir(db.file))
	if err != nil {
		return Merged{}, explain(db.path, doing, err)
	}
	defer os.RemoveAll(room)
	reading, cancel := bounded(ctx, other)
	defer cancel()
	tmp, err := takeCopy(reading, room, other, reads)
	if err == nil {
		err = upgraded(reading, tmp, other)
	}
	if err == nil {
		err = verify(reading, tmp, other)
	}
	if err == nil {
		return db.takeOver(ctx, tmp, other)
	}
	if !isDamage(err) || tmp == "" {
		return Merged{}, forOther(reading, other, err)
	}
	saved, failed := rescue(reading, room, tmp, other, append([]string{db.file}, allBackups(db.path)...))
	if failed != nil {
		return Merged{}, forOther(reading, other, explain(db.path, doing, failed))
	} else if saved.rows == 0 {
		return Merged{}, forOther(reading, other, err)
	}
	done, err := db.takeOver(ctx, saved.file, other)
	if err != nil {
		return Merged{}, err
	}
	done.Damaged, done.Torn = saved.damaged, saved.torn
	return done, nil
}

// stranger reports whether another log is another player's: both have ids of players
// and share none.
func (db *DB) stranger(ctx context.Context, other *view) (bool, error) {
	mine, err := db.Players(ctx)
	if err != nil || len(mine) == 0 {
		return false, err
	}
	theirs, err := other.Players(ctx)
	return len(theirs) > 0 && !slices.ContainsFunc(theirs, func(id string) bool { return slices.Contains(mine, id) }), err
}

// upgraded refuses a log of an older format that another computer goes on with:
// the merge could not be made in the other direction. A backup of this computer's
// own, and what was kept of a damaged log, are good in any format.
func upgraded(ctx context.Context, tmp, other string) error {
	f, err := os.Open(other)
	if err != nil {
		return explain(other, reads, err)
	}
	defer f.Close()
	format, err := formatIn(f)
	if err != nil || format >= len(formats) {
		return explain(other, reads, err)
	}
	pool := connect(tmp, aside)
	defer pool.Close()
	var machine string
	err = pool.QueryRowContext(ctx, `SELECT value FROM here WHERE key = 'machine'`).Scan(&machine)
	if err != nil || machine == fingerprint() {
		return nil // what is wrong with it is for others to say
	}
	return &Error{kind: ErrOlder, path: other,
		what: fmt.Sprintf("%s is of a computer with an older surefret (its format is %d, the one here is %d)", other, format, len(formats)),
		do: "nothing was merged; install this surefret on that computer, practise there once and merge again, " +
			"or, where that computer is gone, open the file here with 'surefret practice --db'"}
}

// takeOver adds the rows of the log in the file tmp, which nobody has open and
// which was verified, if it is the player's. name is what errors call it.
func (db *DB) takeOver(ctx context.Context, tmp, name string) (Merged, error) {
	pool := connect(tmp, aside)
	defer pool.Close()
	from := &view{path: name, read: pool}
	if db.Whose != nil {
		if stranger, err := db.stranger(ctx, from); err != nil {
			return Merged{}, err
		} else if stranger {
			if err := db.Whose(ctx); err != nil {
				return Merged{}, err
			}
		}
	}
	done, err := db.union(ctx, tmp, pool, from)
	return done, explain(db.path, "merge the logs", err)
}

// union adds the rows of the log from, in the file tmp, in one transaction.
func (db *DB) union(ctx context.Context, tmp string, pool *sql.DB, from *view) (done Merged, err error) {
	if done.Late, err = dropLate(ctx, pool); err != nil {
		return done, err
	}
	conn, err := db.write.Conn(ctx)
	if err != nil {
		return done, err
	}
	defer conn.Close()
	// Room for the pages of a long log, so that each is written once.
	if _, err := conn.ExecContext(ctx, `PRAGMA cache_size = -65536; ATTACH ? AS other`, uri(tmp, url.Values{"mode": {"ro"}})); err != nil {
		return done, err
	}
	defer conn.ExecContext(context.WithoutCancel(ctx), `DETACH other; PRAGMA cache_size = -2000`)
	tx, err := conn.BeginTx(ctx, nil)
	if err != nil {
		return done, err
	}
	defer tx.Rollback()
	if done.Lost, err = losses(ctx, &db.view, from); err != nil { // nobody else writes now
		return done, err
	}
	if _, err := tx.ExecContext(ctx, `INSERT INTO devices (id)
		SELECT id FROM other.devices WHERE n IN (SELECT device FROM other.answers UNION SELECT device FROM other.changes)
		ON CONFLICT DO NOTHING`); err != nil {
		return done, err
	}
	for table, added := range map[string]*int{"answers": &done.Answers, "changes": &done.Changes} {
		known, clashes, err := addRows(ctx, tx, table, added)
		if err != nil {
			return done, err
		}
		done.Known += known
		done.Clashes += clashes
	}
	return done, tx.Commit()
}

// addRows adds the rows of a table of the log that is attached as other, and counts
// those that were new, those that were here already, and those among the new ones whose
// id another row has here.
func addRows(ctx context.Context, tx *sql.Tx, table string, added *int) (known, clashes int, err error) {
	columns := map[string]string{
		"answers": `at, day, item, question, answer, want, correct, thinking, entry, takes_back, sum`,
		"changes": `at, kind, key, value, sum`,
	}[table]
	err = tx.QueryRowContext(ctx, `SELECT count(*), count(*) FILTER (WHERE
		EXISTS (SELECT 1 FROM main.`+table+` m WHERE m.id = o.id) AND
		NOT EXISTS (SELECT 1 FROM main.`+table+` m WHERE m.id = o.id AND m.sum = o.sum))
		FROM other.`+table+` o`).Scan(&known, &clashes)
	if err != nil {
		return 0, 0, err
	}
	done, err := tx.ExecContext(ctx, `INSERT INTO `+table+` (id, device, `+columns+`)
		SELECT o.id, (SELECT here.n FROM main.devices here JOIN other.devices d USING (id) WHERE d.n = o.device), `+columns+`
		FROM other.`+table+` o ORDER BY o.seq`)
	if err != nil {
		return 0, 0, err
	}
	n, err := done.RowsAffected()
	*added = int(n)
	return known - int(n), clashes, err
}

// dropLate takes out of a copy what a clock that was wrong dated so late that
// nothing could come after it.
func dropLate(ctx context.Context, pool *sql.DB) (dropped int, err error) {
	err = transact(ctx, pool, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DROP TRIGGER answers_stay; DROP TRIGGER changes_stay; DELETE FROM redated`); err != nil {
			return err
		}
		for _, table := range []string{"answers", "changes"} {
			done, err := tx.ExecContext(ctx, `DELETE FROM `+table+` WHERE at > ?`, latest.UnixMilli())
			if err != nil {
				return err
			}
			n, _ := done.RowsAffected()
			dropped += int(n)
		}
		return nil
	})
	return dropped, err
}

// A thing is what two logs may have changed each in its own way: a part of a gig, a
// field of a song, or anything else that has a key.
type thing struct{ kind, key, part string }

// A standing is what counts of a thing.
type standing struct {
	change
	value []byte // the part's, nil where it was removed
	of    *state // of a gig or a song
}

// standing returns what counts of each thing, removals among them.
func (v *view) standing(ctx context.Context) (map[thing]standing, error) {
	all := map[thing]standing{}
	for c, err := range v.changes(ctx, `WHERE kind NOT IN (?, ?) ORDER BY at, id, sum`, kindGig, kindSong) {
		if err != nil {
			return nil, err
		}
		all[thing{c.kind, c.key, ""}] = standing{change: c, value: c.value}
	}
	for _, kind := range []string{kindGig, kindSong} {
		for s, err := range v.states(ctx, kind) {
			if err != nil {
				return nil, err
			}
			whole := standing{change: s.last, of: s}
			if s.there() {
				whole.value = []byte("there")
			}
			all[thing{kind, s.last.key, ""}] = whole
			for part, c := range s.by {
				all[thing{kind, c.key, part}] = standing{c, s.parts[part], s}
			}
		}
	}
	return all, nil
}

// has reports whether a change is in the log.
func (v *view) has(ctx context.Context, c change) (there bool, err error) {
	err = v.read.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM changes WHERE id = ? AND sum = ?)`, c.id, int64(sumOfChange(c))).Scan(&there)
	return there, err
}

// later reports whether a counts rather than b.
func later(a, b change) bool {
	return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.id, b.id), cmp.Compare(sumOfChange(a), sumOfChange(b))) > 0
}

// losses finds the things that each side changed without knowing of what the other
// had done.
func losses(ctx context.Context, here, there *view) ([]Loss, error) {
	ours, err := here.standing(ctx)
	if err != nil {
		return nil, err
	}
	theirs, err := there.standing(ctx)
	if err != nil {
		return nil, err
	}
	var lost []Loss
	for _, t := range slices.SortedFunc(maps.Keys(theirs), func(a, b thing) int {
		return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.key, b.key), cmp.Compare(a.part, b.part))
	}) {
		a, both := ours[t]
		b := theirs[t]
		if !both || string(a.value) == string(b.value) && (a.value == nil) == (b.value == nil) {
			continue
		}
		side, winner, loser := here, a, b
		mine := later(b.change, a.change)
		if mine {
			side, winner, loser = there, b, a
		}
		// The winner was made in knowledge of the loser where its log has both.
		if followed, err := side.has(ctx, loser.change); err != nil {
			return nil, err
		} else if followed {
			continue
		}
		l := Loss{At: loser.at, Here: mine}
		if l.What, l.Kept, l.Lost = t.say(winner, loser); l.What != "" {
			lost = append(lost, l)
		}
	}
	return lost, nil
}
