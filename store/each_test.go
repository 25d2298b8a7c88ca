package store_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/store"
)

// calls is everything that can be asked of an open log, by name.
func calls(t *testing.T, db *store.DB) map[string]func(context.Context) error {
	dir := t.TempDir()
	other := filepath.Join(dir, "other.db")
	openAt(t, other).Close()
	return map[string]func(context.Context) error{
		"Append": func(ctx context.Context) error { return db.Append(ctx, answer(200)) },
		"Append of another device": func(ctx context.Context) error {
			r := answer(201)
			r.Device = "elsewhere"
			return db.Append(ctx, r)
		},
		"Append that takes back": func(ctx context.Context) error {
			r := answer(202)
			r.TakesBack = answer(1).ID
			return db.Append(ctx, r)
		},
		"AppendAll": func(ctx context.Context) error {
			return db.AppendAll(ctx, slices.Values([]drills.Answer{answer(203)}))
		},
		"Answers": func(ctx context.Context) error {
			for _, err := range db.Answers(ctx, 0) {
				if err != nil {
					return err
				}
			}
			return nil
		},
		"Effective": func(ctx context.Context) error {
			for _, err := range db.Effective(ctx, 1) {
				if err != nil {
					return err
				}
			}
			return nil
		},
		"Tail":          func(ctx context.Context) error { _, _, err := db.Tail(ctx, 0); return err },
		"End":           func(ctx context.Context) error { _, err := db.End(ctx); return err },
		"Newest":        func(ctx context.Context) error { _, _, err := db.Newest(ctx); return err },
		"Frozen":        func(ctx context.Context) error { return db.Frozen(ctx, func(*store.View) error { return nil }) },
		"Kept":          func(ctx context.Context) error { _, err := db.Kept(ctx); return err },
		"SaveSettings":  func(ctx context.Context) error { return db.SaveSettings(ctx, map[string]string{"hand": `"right"`}) },
		"SetAside":      func(ctx context.Context) error { return db.SetAside(ctx, true, "i") },
		"Place":         func(ctx context.Context) error { return db.Place(ctx, 7, "i") },
		"KeepTyping":    func(ctx context.Context) error { return db.KeepTyping(ctx, 7) },
		"KeepExplained": func(ctx context.Context) error { return db.KeepExplained(ctx, "slash") },
		"KeepCautioned": func(ctx context.Context) error { return db.KeepCautioned(ctx) },
		"Gigs":          func(ctx context.Context) error { _, err := db.Gigs(ctx); return err },
		"PutGig":        func(ctx context.Context) error { return db.PutGig(ctx, gig.Gig{ID: "x", Name: "x", Day: "2026-12-05"}) },
		"RemoveGig":     func(ctx context.Context) error { return db.RemoveGig(ctx, "fair") },
		"Songs":         func(ctx context.Context) error { _, err := db.Songs(ctx); return err },
		"PutSongs":      func(ctx context.Context) error { return db.PutSongs(ctx, gig.Song{Title: "x", Learned: "D"}) },
		"RemoveSong":    func(ctx context.Context) error { return db.RemoveSong(ctx, "x") },
		"KeepShape":     func(ctx context.Context) error { return db.KeepShape(ctx, fretboard.OwnShape{Name: "x"}) },
		"RemoveShape":   func(ctx context.Context) error { return db.RemoveShape(ctx, "x") },
		"KeepChoice":    func(ctx context.Context) error { return db.KeepChoice(ctx, drills.Choice{}) },
		"Players":       func(ctx context.Context) error { _, err := db.Players(ctx); return err },
		"Snapshot":      func(ctx context.Context) error { _, _, _, err := db.Snapshot(ctx, "v1"); return err },
		"SaveSnapshot":  func(ctx context.Context) error { return db.SaveSnapshot(ctx, "v1", 1, []byte("memory")) },
		"Backup":        func(ctx context.Context) error { return db.Backup(ctx, filepath.Join(dir, "copy.db")) },
		"DailyBackup":   func(ctx context.Context) error { _, err := db.DailyBackup(ctx, morning); return err },
		"Export":        func(ctx context.Context) error { return db.Export(ctx, io.Discard) },
		"ExportCSV":     func(ctx context.Context) error { return db.ExportCSV(ctx, io.Discard) },
		"Import": func(ctx context.Context) error {
			_, err := db.Import(ctx, strings.NewReader(strings.Join([]string{head, answered, fair, hand, end3}, "\n")))
			return err
		},
		"Merge": func(ctx context.Context) error { _, err := db.Merge(ctx, other); return err },
		"Check": func(ctx context.Context) error { _, err := db.Check(ctx); return err },
	}
}

// Whoever breaks off learns that he did, and the log is as it was.
func TestWhatIsBrokenOffChangesNothing(t *testing.T) {
	db := newLog(t)
	fill(t, db)
	before := export(t, db)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	for name, call := range calls(t, db) {
		if err := call(ctx); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: %v, want that it was broken off", name, err)
		}
	}
	equal(t, before, export(t, db))
	sound(t, db)
}

func TestALogThatWasClosedSaysSo(t *testing.T) {
	db := newLog(t)
	fill(t, db)
	must(t, db.Close())
	for name, call := range calls(t, db) {
		var e *store.Error
		if err := call(t.Context()); !errors.As(err, &e) {
			t.Errorf("%s: %v, want a sentence", name, err)
		}
	}
}

// A full disk or a closed pipe at the other end of an export is an error.
func TestAnExportThatCannotBeWrittenFails(t *testing.T) {
	db := newLog(t)
	fill(t, db)
	var whole, table bytes.Buffer
	for _, err := range []error{db.Export(t.Context(), &whole), db.ExportCSV(t.Context(), &table)} {
		must(t, err)
	}
	for _, room := range []int{0, 10, whole.Len() - 1} {
		if err := db.Export(t.Context(), &tight{room}); !errors.Is(err, store.ErrFailing) {
			t.Errorf("with room for %d bytes: %v", room, err)
		}
	}
	for _, room := range []int{0, 10, table.Len() - 1} {
		if err := db.ExportCSV(t.Context(), &tight{room}); !errors.Is(err, store.ErrFailing) {
			t.Errorf("a table with room for %d bytes: %v", room, err)
		}
	}
}

// tight takes so many bytes and no more.
type tight struct{ room int }

func (w *tight) Write(p []byte) (int, error) {
	if w.room -= len(p); w.room < 0 {
		return 0, io.ErrShortWrite
	}
	return len(p), nil
}

func TestAFrozenViewShowsOneMoment(t *testing.T) {
	db := newLog(t)
	appendAll(t, db, answer(10), answer(11))
	err := db.Frozen(t.Context(), func(v *store.View) error {
		for i := range 3 {
			early := answer(i)
			back := answer(20 + i)
			back.TakesBack = answers(t, db, 0)[i].ID
			appendAll(t, db, early, back) // writing goes on beside it
			end, err := v.End(t.Context())
			if err != nil {
				return err
			}
			rows := 0
			for _, err := range v.Effective(t.Context(), 0) {
				if err != nil {
					return err
				}
				rows++
			}
			if end != 2 || rows != 2 {
				t.Errorf("the view ends at %d with %d rows, want 2", end, rows)
			}
		}
		return io.EOF
	})
	if err != io.EOF {
		t.Errorf("%v, want the error of the reader", err)
	}
	if end, err := db.End(t.Context()); err != nil || end != 8 {
		t.Errorf("the log ends at %d, %v; want 8", end, err)
	}
}

func TestManyAnswersAreAllAddedOrNone(t *testing.T) {
	db := newLog(t)
	bad, back := answer(3), answer(4)
	bad.Item = ""
	back.TakesBack = answer(1).ID
	for _, r := range []drills.Answer{bad, back} {
		if err := db.AppendAll(t.Context(), slices.Values([]drills.Answer{answer(1), answer(2), r})); !errors.Is(err, store.ErrInput) {
			t.Errorf("%v, want ErrInput", err)
		}
	}
	if n := len(answers(t, db, 0)); n != 0 {
		t.Errorf("%d of them stayed", n)
	}
	must(t, db.AppendAll(t.Context(), slices.Values([]drills.Answer{answer(2), answer(1)})))
	got := answers(t, db, 0)
	if len(got) != 2 || !got[0].At.Before(got[1].At) || got[0].Device != db.Device() {
		t.Errorf("the log is %v", got)
	}
}

func TestAnswersThatCannotBeSavedAreWrittenBeside(t *testing.T) {
	db := newLog(t)
	a, b := answer(1), answer(2)
	a.Device, b.Device, b.TakesBack, b.Question = "here", "here", a.ID, "two\nlines"
	a.At = a.At.In(time.FixedZone("", 3600))
	for range 2 { // in the same second, too
		file, err := db.SaveBeside(morning, []drills.Answer{a, b})
		must(t, err)
		f, err := os.Open(file)
		must(t, err)
		m, err := db.Import(t.Context(), f)
		if info, _ := f.Stat(); err != nil || m.Answers+m.Known != 2 || info.Mode().Perm() != 0o600 {
			t.Fatalf("%+v, %v, %v", m, err, info.Mode())
		}
		f.Close()
	}
	got := answers(t, db, 0)
	if len(got) != 2 || got[0].ID != a.ID || !got[0].At.Equal(a.At) || got[1].TakesBack != a.ID || got[1].Question != "two\ufffdlines" {
		t.Errorf("the log is %v", got)
	}
}
