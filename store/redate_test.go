package store

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"iter"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"surefret/drills"
)

var noon = time.Date(2026, 12, 1, 12, 0, 0, 0, time.UTC)

// dated opens a log with answers of these devices, at days from noon.
func dated(t *testing.T, rows ...string) *DB {
	t.Helper()
	db, err := Open(t.Context(), filepath.Join(t.TempDir(), "surefret.db"))
	Must(t, err)
	t.Cleanup(func() { db.Close() })
	db.Now = func() time.Time { return noon }
	for n, row := range rows {
		var device string
		var days float64
		if _, err := fmt.Sscan(row, &device, &days); err != nil {
			t.Fatal(err)
		}
		at := noon.Add(time.Duration(days * 24 * float64(time.Hour)))
		r := drills.Answer{ID: fmt.Sprintf("%s%03d", device, n), Device: device, At: at, Day: at.Format(time.DateOnly), Item: "i", Entry: "keys"}
		Must(t, db.Append(t.Context(), r))
	}
	return db
}

// counted reads what a memory learns, as "id days from noon, day".
func counted(t *testing.T, db *DB) (got []string, end Cursor, resumed bool) {
	t.Helper()
	resume := func(_ Cursor, state []byte) bool { resumed = state != nil; return resumed }
	end, err := db.Replay(t.Context(), "test", resume, func(rows iter.Seq2[drills.Answer, error]) error {
		for r, err := range rows {
			if err != nil {
				return err
			}
			got = append(got, fmt.Sprintf("%s %.3g %s", r.ID, r.At.Sub(noon).Hours()/24, r.Day))
		}
		return nil
	})
	Must(t, err)
	return got, end, resumed
}

// Answers that a clock which was ahead dated count where the next of their device
// are, or now where there is none; after the one time that it takes to note that,
// what was learned from them serves like any other.
func TestAnswersAheadOfTheClockCountWhenTheyWereGiven(t *testing.T) {
	t.Setenv("TZ", "UTC")
	db := dated(t, "a -9", "b -8", "a 300", "a -7", "b 300", "b 301", "c 0.8") // the last is a flight, no fault
	want := []string{"a000 -9 2026-11-22", "b001 -8 2026-11-23", "a002 -7 2026-11-24", "a003 -7 2026-11-24",
		"b004 0 2026-12-01", "b005 0 2026-12-01", "c006 0.8 2026-12-02"}
	before := exported(t, db)
	got, end, _ := counted(t, db)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if newest, _, err := db.Newest(t.Context()); err != nil || newest.ID != "c006" {
		t.Errorf("the newest is %v, %v", newest.ID, err)
	}
	if exported(t, db) != before {
		t.Error("the rows themselves were changed")
	}
	Must(t, db.SaveSnapshot(t.Context(), "test", end, []byte("learned")))
	Must(t, db.Append(t.Context(), drills.Answer{At: noon.Add(20 * time.Hour), Day: "2026-12-02", Item: "i", Entry: "keys"}))
	db.Now = func() time.Time { return noon.Add(20 * time.Hour) }
	if got, _, resumed := counted(t, db); !resumed || len(got) != 1 {
		t.Errorf("resumed %v, and read %v: one row is new", resumed, got)
	}
	// An answer from before the ones that count now makes the memory stale, though
	// it is later than any row that has its own date.
	early := dated(t, "a -9", "a -8", "b 300")
	_, end, _ = counted(t, early)
	err := errors.Join(early.SaveSnapshot(t.Context(), "test", end, []byte("learned")),
		early.Append(t.Context(), drills.Answer{Device: "d", At: noon.Add(-time.Hour), Day: "2026-12-01", Item: "i", Entry: "keys"}))
	if got, _, resumed := counted(t, early); err != nil || resumed || len(got) != 4 {
		t.Errorf("%v, resumed %v, and read %v", err, resumed, got)
	}
	// On the day itself they have their own place.
	db.Now = func() time.Time { return noon.AddDate(0, 0, 300) }
	if got, _, _ := counted(t, db); got[len(got)-1] != "b005 301 2027-09-28" {
		t.Errorf("300 days on: %v", got)
	}
}

// What was dated by one clock that was ahead is dated anew by the next.
func TestTwoClocksThatWereAheadAreNoDamage(t *testing.T) {
	t.Setenv("TZ", "UTC")
	db := dated(t, "a -9", "a 600")
	for _, days := range []int{4, 0} {
		db.Now = func() time.Time { return noon.AddDate(0, 0, days) }
		got, _, _ := counted(t, db)
		if want := fmt.Sprintf("a001 %d ", days); !strings.HasPrefix(got[len(got)-1], want) {
			t.Errorf("by a clock of day %d it reads %v", days, got)
		}
	}
}

// A clock that fell back years is no reason to date a long log anew.
func TestAClockThatIsBehindDatesNothingAnew(t *testing.T) {
	db := dated(t, "a 0")
	err := db.AppendAll(t.Context(), func(yield func(drills.Answer) bool) {
		for n := range fewAhead + 1 {
			if !yield(drills.Answer{ID: fmt.Sprintf("z%04d", n), At: noon.Add(time.Duration(n) * time.Second), Day: "2026-12-01", Item: "i", Entry: "keys"}) {
				return
			}
		}
	})
	Must(t, err)
	db.Now = func() time.Time { return noon.AddDate(-6, 0, 0) }
	if got, _, _ := counted(t, db); !strings.HasPrefix(got[0], "a000 0 2026-12-01") && !strings.HasPrefix(got[1], "a000 0 2026-12-01") {
		t.Errorf("it begins with %v", got[:2])
	}
}

// No row may enter that is so late that no other could come after it; where an
// earlier program took one, a change still counts, however often.
func TestThereAlwaysIsALaterTime(t *testing.T) {
	wild := `{"kind":"surefret","format":2}
{"kind":"setting","id":"zz","device":"d","at":"9999-12-31T23:59:59.999Z","key":"hand","value":"left"}
{"kind":"answer","id":"r1","device":"d","at":"9999-12-31T23:59:59.999Z","day":"9999-12-31","item":"i","question":"?","answer":"G","want":"G","right":true,"thinking_ms":900,"entry":"keys"}
{"kind":"end","rows":2}`
	db, other := dated(t, "a 0"), dated(t, "b 0")
	for n, line := range strings.Split(wild, "\n")[1:3] {
		text := strings.Join([]string{`{"kind":"surefret","format":2}`, line, `{"kind":"end","rows":1}`}, "\n")
		if _, err := db.Import(t.Context(), strings.NewReader(text)); !errors.Is(err, ErrInput) || !strings.HasPrefix(err.Error(), "line 2 ") || !strings.Contains(err.Error(), "after the year 2199") {
			t.Errorf("line %d: %v", n, err)
		}
	}
	if err := db.Append(t.Context(), drills.Answer{At: latest.Add(time.Second), Day: "2200-01-01", Item: "i", Entry: "keys"}); !errors.Is(err, ErrInput) {
		t.Errorf("an answer by a clock that is wrong: %v", err)
	}

	// What an earlier program took.
	err := transact(t.Context(), other.write, func(tx *sql.Tx) error {
		in, err := newIntake(t.Context(), tx)
		if err != nil {
			return err
		}
		r := drills.Answer{ID: "r1", Device: "b", At: endOfTime, Day: "9999-12-31", Item: "i", Entry: "keys"}
		return errors.Join(in.answer(t.Context(), r),
			in.change(t.Context(), change{id: "zz", device: "b", at: endOfTime, kind: kindSetting, key: "hand", value: []byte(`"left"`)}))
	})
	Must(t, err)
	if m, err := db.Merge(t.Context(), other.Path()); err != nil || m.Late != 2 || m.Answers != 1 || m.Changes != 0 {
		t.Errorf("%+v, %v; want two rows left out", m, err)
	}
	for _, hand := range []string{`"right"`, `"left"`, `"right"`, `"both"`} {
		Must(t, other.SaveSettings(t.Context(), map[string]string{"hand": hand}))
		if k, err := other.Kept(t.Context()); err != nil || k.Settings["hand"] != hand {
			t.Errorf("hand is %v, %v; want %s", k.Settings, err, hand)
		}
	}
	if r, err := other.Check(context.Background()); err != nil || len(r.Faults) > 0 {
		t.Errorf("%v, %v", r.Faults, err)
	}
	var b bytes.Buffer
	if err := other.Export(t.Context(), &b); err != nil || strings.Contains(b.String(), "10000-") {
		t.Errorf("%v\n%s", err, &b)
	}
}

// A memory that one program learned by dates which another has changed since does not
// serve.
func TestAMemoryOfOtherDatesIsNotKept(t *testing.T) {
	db := dated(t, "a -9", "a 3", "b -1")
	_, end, _ := counted(t, db)
	other, err := Open(t.Context(), db.path)
	Must(t, err)
	defer other.Close()
	other.Now = func() time.Time { return noon.AddDate(0, 0, 4) }
	counted(t, other)
	Must(t, db.SaveSnapshot(t.Context(), "test", end, []byte("by the dates of before")))
	if _, _, ok, err := other.Snapshot(t.Context(), "test"); ok || err != nil {
		t.Errorf("it serves, %v", err)
	}
	db.Now = other.Now // who looks again keeps what he learns
	counted(t, db)
	Must(t, db.SaveSnapshot(t.Context(), "test", end, []byte("by the dates of now")))
	if _, _, ok, err := other.Snapshot(t.Context(), "test"); !ok || err != nil {
		t.Errorf("it does not serve, %v", err)
	}
}
