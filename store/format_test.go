package store

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"surefret/drills"
)

// tomorrow is how the format could go on: it changes a table and adds one.
var tomorrow = append(formats[:len(formats):len(formats)],
	`CREATE TABLE venues (name TEXT PRIMARY KEY) STRICT; INSERT INTO venues VALUES ('Lamp Room');`,
	`ALTER TABLE venues ADD COLUMN town TEXT NOT NULL DEFAULT 'Saltmarsh'; CREATE INDEX venues_town ON venues (town);`)

// exported returns all that a log holds.
func exported(t testing.TB, db *DB) string {
	t.Helper()
	var b bytes.Buffer
	Must(t, db.Export(t.Context(), &b))
	return b.String()
}

// old makes a log of an early format with some content, and returns what it holds
// once it is brought up to date.
func old(t *testing.T, path string, format int) (content string) {
	t.Helper()
	Must(t, create(t.Context(), path, tomorrow[:format]))
	pool := connect(path, forWriting)
	defer pool.Close()
	table := "answers"
	if format < 3 {
		table = "reviews"
	}
	err := transact(t.Context(), pool, func(tx *sql.Tx) error {
		place, err := placeOf(t.Context(), tx, "a computer")
		for n := range 20 {
			r := drills.Answer{ID: fmt.Sprintf("r%02d", n), Device: "a computer", At: time.UnixMilli(int64(n)), Day: "2026-11-25", Item: "note/E2+3/name", Given: "G", Entry: drills.EntryLine}
			_, failed := tx.Exec(strings.Replace(insertAnswer, "answers", table, 1), answerArgs(tidy(r), place)...)
			err = errors.Join(err, failed)
		}
		c := change{id: "c1", device: "a computer", at: time.UnixMilli(0).UTC(), kind: kindSetting, key: "hand", value: []byte(`"left"`)}
		_, failed := tx.Exec(insertChange, changeArgs(c, place)...)
		return errors.Join(err, failed)
	})
	Must(t, err)
	var b strings.Builder
	b.WriteString("{\"kind\":\"surefret\",\"format\":2}\n")
	for n := range 20 {
		fmt.Fprintf(&b, `{"kind":"answer","id":"r%02d","device":"a computer","at":"1970-01-01T00:00:00.%03dZ","day":"2026-11-25","item":"note/E2+3/name","question":"","answer":"G","want":"","right":false,"thinking_ms":0,"entry":"line"}`+"\n", n, n)
	}
	b.WriteString(`{"kind":"setting","id":"c1","device":"a computer","at":"1970-01-01T00:00:00.000Z","key":"hand","value":"left"}` + "\n{\"kind\":\"end\",\"rows\":21}\n")
	return b.String()
}

// From each format to each later one, by one backup; what it holds stays, and the
// schema becomes that of a new file.
func TestEveryEarlierFormatIsBroughtUpToDate(t *testing.T) {
	for from := 1; from <= len(tomorrow); from++ {
		for to := max(from, 3); to <= len(tomorrow); to++ {
			t.Run(fmt.Sprintf("%d to %d", from, to), func(t *testing.T) {
				path := filepath.Join(t.TempDir(), "surefret.db")
				content := old(t, path, from)
				db, err := open(t.Context(), path, tomorrow[:to])
				Must(t, err)
				defer db.Close()
				if diff := cmp.Diff(content, exported(t, db)); diff != "" {
					t.Error(diff)
				}
				fresh, err := open(t.Context(), filepath.Join(t.TempDir(), "new.db"), tomorrow[:to])
				Must(t, err)
				defer fresh.Close()
				got, err1 := rules(t.Context(), db.read)
				want, err2 := rules(t.Context(), fresh.read)
				if diff := cmp.Diff(want, got); diff != "" || err1 != nil || err2 != nil {
					t.Error(diff, err1, err2)
				}
				backups, _ := filepath.Glob(filepath.Join(backupFolder(path), fmt.Sprintf("before-format-%d-*.db", to)))
				if len(backups) != min(to-from, 1) {
					t.Fatalf("backups are %v", backups)
				}
				for _, file := range backups { // it is what there was, brought up to date when it is needed
					b, err := open(t.Context(), file, tomorrow[:to])
					Must(t, err)
					if diff := cmp.Diff(content, exported(t, b)); diff != "" {
						t.Error(diff)
					}
					b.Close()
				}
			})
		}
	}
}

// A look at an older log reads it as the newest format has it, and touches nothing.
func TestALookAtAnOlderLogLeavesItAsItIs(t *testing.T) {
	for format := 1; format < len(formats); format++ {
		path := filepath.Join(t.TempDir(), "surefret.db")
		content := old(t, path, format)
		before, err := os.ReadFile(path)
		Must(t, err)
		db, err := OpenReadOnly(t.Context(), path)
		Must(t, err)
		if err := db.SaveSnapshot(t.Context(), "test", 20, []byte("learned")); err != nil {
			t.Error(err)
		}
		if diff := cmp.Diff(content, exported(t, db)); diff != "" {
			t.Error(diff)
		}
		db.Close()
		after, _ := os.ReadFile(path)
		if entries, _ := os.ReadDir(filepath.Dir(path)); !bytes.Equal(before, after) || len(entries) != 1 {
			t.Errorf("format %d was touched: %v", format, entries)
		}
	}
}

// The log of another computer is refused until that one is upgraded; one's own
// older file, whole or damaged, is taken over, as it is the way back.
func TestAMergeWithAnOlderFormat(t *testing.T) {
	for _, c := range []struct {
		name, machine string
		harm          bool
		answers       int
		err           error
	}{
		{"another computer", "elsewhere", false, 0, ErrOlder},
		{"a backup of one's own", fingerprint(), false, 20, nil},
		{"what was kept of a damaged log", fingerprint(), true, 19, nil},
	} {
		for format := 1; format < len(formats); format++ {
			other := filepath.Join(t.TempDir(), "other.db")
			old(t, other, format)
			pool := connect(other, aside)
			_, err := pool.Exec(`INSERT INTO here VALUES ('machine', ?); PRAGMA journal_mode = DELETE`, c.machine)
			if err == nil && c.harm { // a row that was changed, and a schema that cannot be brought up to date
				_, err = pool.Exec(`DROP TRIGGER reviews_keep; UPDATE reviews SET answer = 'F' WHERE seq = 7; CREATE TABLE changes_3 (n)`)
			}
			Must(t, err)
			pool.Close()
			db, err := Open(t.Context(), filepath.Join(t.TempDir(), "mine.db"))
			Must(t, err)
			m, err := db.Merge(t.Context(), other)
			if !errors.Is(err, c.err) || m.Answers != c.answers || c.harm != (m.Damaged == 1) {
				t.Errorf("%s, format %d: %+v, %v", c.name, format, m, err)
			}
			if c.err != nil && !strings.Contains(err.Error(), "install this surefret on that computer") {
				t.Errorf("it does not say which one to upgrade: %v", err)
			}
			db.Close()
		}
	}
}

func TestAStepThatFailsChangesNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "surefret.db")
	content := old(t, path, 3)
	broken := append(tomorrow[:3:3], `CREATE TABLE venues (name TEXT) STRICT; INSERT INTO nowhere VALUES (1);`)
	_, err := open(t.Context(), path, broken)
	var e *Error
	if !errors.As(err, &e) {
		t.Fatalf("%v; want a sentence", err)
	}
	db, err := open(t.Context(), path, tomorrow[:3])
	Must(t, err)
	defer db.Close()
	if got := exported(t, db); got != content {
		t.Errorf("the content became\n%s", got)
	}
	all, err := rules(t.Context(), db.read)
	if _, made := all["venues"]; made || err != nil {
		t.Errorf("half of the step stayed: %v, %v", all, err)
	}
}

func TestANewerFileIsRefusedUntouched(t *testing.T) {
	path := filepath.Join(t.TempDir(), "surefret.db")
	old(t, path, len(tomorrow))
	before, err := os.ReadFile(path)
	Must(t, err)
	info, _ := os.Stat(path)
	_, err = Open(t.Context(), path)
	want := path + fmt.Sprintf(" was written by a newer surefret (its format is %d, this program knows %d): ", len(tomorrow), len(formats)) +
		"it was left as it is; install the newer program to go on with it"
	if !errors.Is(err, ErrNewer) || err.Error() != want {
		t.Errorf("%v; want %s", err, want)
	}
	after, _ := os.ReadFile(path)
	if again, _ := os.Stat(path); !bytes.Equal(before, after) || !again.ModTime().Equal(info.ModTime()) {
		t.Error("the file was touched")
	}
	if entries, _ := os.ReadDir(filepath.Dir(path)); len(entries) != 1 {
		t.Errorf("it left %v behind", entries)
	}
	db, err := Open(t.Context(), filepath.Join(t.TempDir(), "mine.db"))
	Must(t, err)
	defer db.Close()
	if _, err := db.Merge(t.Context(), path); !errors.Is(err, ErrNewer) {
		t.Errorf("merging it: %v, want ErrNewer", err)
	}
	if _, err := Restore(t.Context(), filepath.Join(t.TempDir(), "other.db"), path, noon); !errors.Is(err, ErrNewer) {
		t.Errorf("restoring it: %v, want ErrNewer", err)
	}
}

// The journal of a file that was not closed may hold a newer header.
func TestANewerFormatInTheJournalIsSeen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "surefret.db")
	old(t, path, 3)
	db, err := open(t.Context(), path, tomorrow[:4])
	Must(t, err)
	defer db.Close() // not before the file is opened again: the step is in the journal
	if _, err := open(t.Context(), path, tomorrow[:3]); !errors.Is(err, ErrNewer) {
		t.Errorf("%v, want ErrNewer", err)
	}
}

func TestAnotherProgramsFileIsRefusedUntouched(t *testing.T) {
	path := filepath.Join(t.TempDir(), "surefret.db")
	pool := connect(path, aside)
	if _, err := pool.Exec(`SELECT 1`); err == nil {
		t.Fatal("a file came from nowhere")
	}
	pool.Close()
	Must(t, os.WriteFile(path, nil, 0o600))
	pool = connect(path, aside)
	if _, err := pool.Exec(`PRAGMA application_id = 7; CREATE TABLE reviews (id)`); err != nil {
		t.Fatal(err)
	}
	pool.Close()
	before, _ := os.ReadFile(path)
	_, err := Open(t.Context(), path)
	if !errors.Is(err, ErrForeign) || !strings.Contains(err.Error(), path+" is not a surefret practice file") {
		t.Errorf("%v, want ErrForeign", err)
	}
	if after, _ := os.ReadFile(path); !bytes.Equal(before, after) {
		t.Error("the file was touched")
	}
}

// A pragma that was not taken is an error, not a risk.
func TestEveryConnectionHasThePragmas(t *testing.T) {
	db, err := Open(t.Context(), filepath.Join(t.TempDir(), "surefret.db"))
	Must(t, err)
	defer db.Close()
	for range 3 {
		c, err := db.readers.Conn(context.Background())
		Must(t, err)
		defer c.Close()
		for name, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "query_only": "1"} {
			var got string
			if err := c.QueryRowContext(t.Context(), "PRAGMA "+name).Scan(&got); err != nil || got != want {
				t.Errorf("%s is %s, %v; want %s", name, got, err, want)
			}
		}
	}
	memory := connect(":memory:", forWriting) // it cannot be in WAL mode
	defer memory.Close()
	if err := memory.Ping(); err == nil {
		t.Error("a file without WAL mode was taken")
	}
}

// A log that was copied to another computer goes on under another device.
func TestACopyOnAnotherComputerIsAnotherDevice(t *testing.T) {
	path := filepath.Join(t.TempDir(), "surefret.db")
	db, err := Open(t.Context(), path)
	Must(t, err)
	first := db.Device()
	if _, err := db.write.Exec(`UPDATE here SET value = 'elsewhere' WHERE key = 'machine'`); err != nil {
		t.Fatal(err)
	}
	db.Close()
	for range 2 {
		db, err = Open(t.Context(), path)
		Must(t, err)
		if db.Device() == first {
			t.Error("the device is still that of the other computer")
		}
		second := db.Device()
		db.Close()
		if db, err = Open(t.Context(), path); err != nil || db.Device() != second {
			t.Errorf("the device changed again, %v", err)
		}
		db.Close()
	}
}

// Counting on from an id keeps its order, version and variant, through each
// carry.
func TestAnIDAfterAnotherSortsAfterIt(t *testing.T) {
	for _, start := range []string{
		"017f22e2-79b0-7cc3-98c4-dc0c0c07398f",
		"017f22e2-79b0-7cc3-bfff-ffffffffffff",
		"017f22e2-79b0-7fff-bfff-ffffffffffff",
		"017f22e2-ffff-7fff-bfff-ffffffffffff",
	} {
		u, ok := parseUUID(start)
		if !ok || u.String() != start {
			t.Fatalf("%s was read as %s", start, u)
		}
		for range 1000 {
			next := u.after()
			if next.String() <= u.String() || next[6]>>4 != 7 || next[8]>>6 != 2 {
				t.Fatalf("after %s comes %s", u, next)
			}
			u = next
		}
	}
	for _, bad := range []string{"", "r1", "017f22e2-79b0-4cc3-98c4-dc0c0c07398f", "017f22e2-79b0-7cc3-18c4-dc0c0c07398f"} {
		if _, ok := parseUUID(bad); ok {
			t.Errorf("%q was taken for an id of ours", bad)
		}
	}
}
