package main

import (
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
	"surefret/store"
)

// A lockedLog is locked the first times that something is to be saved in it.
type lockedLog struct {
	locked int
	fault  error // of what comes then, nil for none
	rows   []string
}

func (l *lockedLog) Append(_ context.Context, r drills.Answer) error {
	if l.locked--; l.locked >= 0 {
		return &store.Error{Kind: store.ErrLocked, What: "locked"}
	}
	if l.fault != nil {
		return l.fault
	}
	l.rows = append(l.rows, r.ID)
	return nil
}

func TestAnAnswerThatALockKeepsOutIsSavedWithTheNext(t *testing.T) {
	for locked := range 6 {
		log := &lockedLog{locked: locked}
		h := held{log: log}
		var saved, want []string
		for i, id := range []string{"a", "b", "c", "d"} {
			want = append(want, id)
			rows, err := h.append(t.Context(), drills.Answer{ID: id})
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range rows {
				saved = append(saved, r.ID)
			}
			if text := h.notice(); (text != "") != (i == 0 && locked > 0) {
				t.Errorf("locked %d times, after answer %d it says %q", locked, i+1, text)
			}
		}
		rows, err := h.last(t.Context(), time.Time{}, "nowhere")
		for _, r := range rows {
			saved = append(saved, r.ID)
		}
		if err != nil || !slices.Equal(log.rows, want) || !slices.Equal(saved, want) {
			t.Errorf("locked %d times: the log has %v, said to be %v (%v); want %v", locked, log.rows, saved, err, want)
		}
	}
}

func TestAnAnswerThatFailsForAnotherReasonIsNotHeld(t *testing.T) {
	full := &store.Error{Kind: store.ErrFull, What: "full"}
	h := held{log: &lockedLog{fault: full}}
	if _, err := h.append(t.Context(), drills.Answer{ID: "a"}); !errors.Is(err, store.ErrFull) || len(h.rows) != 0 {
		t.Errorf("%v, %d held", err, len(h.rows))
	}
}

func openAlone(t *testing.T, path string) *player {
	t.Helper()
	p := &program{out: io.Discard, err: io.Discard, getenv: func(string) string { return "" }, database: path}
	pl, err := p.openPlayer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return pl
}

func answered(pl *player, at time.Time) drills.Answer {
	return drills.Answer{ID: pl.db.NewID(at), Device: pl.db.Device(), At: at, Day: at.Format(time.DateOnly), Item: "note/E2+3/name",
		Question: "?", Given: "G", Want: "G", Right: true, Thinking: time.Second, Entry: drills.EntryLine}
}

// The lock is a real one: another handle is in the middle of a long write.
func TestAnAnswerGivenUnderALockIsInTheLogAfterIt(t *testing.T) {
	path := filepath.Join(t.TempDir(), "p.db")
	pl, other := openAlone(t, path), openAlone(t, path)
	defer other.db.Close()
	locked, release, released := make(chan bool), make(chan bool), make(chan error)
	go func() {
		released <- other.db.AppendAll(context.Background(), func(func(drills.Answer) bool) {
			close(locked)
			<-release
		})
	}()
	<-locked
	first, second := answered(pl, time.Now()), answered(pl, time.Now())
	if err := pl.Append(t.Context(), first); err != nil {
		t.Fatalf("the answer was refused: %v", err)
	}
	if text := pl.notices(&sound{})(); !strings.Contains(text, "locked") {
		t.Errorf("the player is told %q", text)
	}
	if err := pl.catchUp(t.Context()); err != nil {
		t.Errorf("practice cannot go on under the lock: %v", err)
	}
	close(release)
	if err := <-released; err != nil {
		t.Fatal(err)
	}
	if err := pl.Append(t.Context(), second); err != nil {
		t.Fatal(err)
	}
	if err := pl.Close(t.Context()); err != nil {
		t.Fatal(err)
	}
	rows := logRows(t, path)
	if len(rows) != 2 || rows[0].ID != first.ID || rows[1].ID != second.ID {
		t.Errorf("the log is %v", rows)
	}
}

func TestAnswersThatALockKeepsOutToTheEndCanBeImported(t *testing.T) {
	path := filepath.Join(t.TempDir(), "p.db")
	pl := openAlone(t, path)
	pl.held.log = &lockedLog{locked: 100}
	first, second := answered(pl, time.Now()), answered(pl, time.Now())
	for _, r := range []drills.Answer{first, second} {
		if err := pl.Append(t.Context(), r); err != nil {
			t.Fatal(err)
		}
	}
	err := pl.Close(t.Context())
	files, _ := filepath.Glob(filepath.Join(filepath.Dir(path), "p-unsaved-*.jsonl"))
	if err == nil || len(files) != 1 || !strings.Contains(err.Error(), files[0]) || !strings.Contains(err.Error(), "the last 2 answers") {
		t.Fatalf("%v; the files are %v", err, files)
	}
	if info, err := os.Stat(files[0]); err != nil || info.Mode().Perm()&0o077 != 0 {
		t.Errorf("others can read what was answered: %v, %v", info.Mode(), err)
	}
	db, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	f, err := os.Open(files[0])
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if m, err := db.Import(t.Context(), f); err != nil || m.Answers != 2 {
		t.Errorf("%+v, %v", m, err)
	}
	if rows, _, err := db.Tail(t.Context(), 0); err != nil || len(rows) != 2 || rows[0].ID != first.ID || rows[1].ID != second.ID {
		t.Errorf("%v, %v", rows, err)
	}
}

// While another process adds rows from before, as a merge does, each row is
// learned once all the same.
func TestWhatArrivesWhileTheLogIsLearnedIsLearnedOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "p.db")
	pl, other := openAlone(t, path), openAlone(t, path)
	defer pl.db.Close()
	defer other.db.Close()
	items := pl.catalogue.Items()
	stop, stopped := make(chan bool), make(chan error)
	go func() {
		for n := 0; ; n++ {
			select {
			case <-stop:
				stopped <- nil
				return
			default:
			}
			r := answered(other, time.Now().Add(-time.Duration(n)*time.Minute))
			r.Item = items[n%len(items)].ID
			if err := other.db.Append(context.Background(), r); err != nil {
				stopped <- err
				return
			}
		}
	}()
	for range 50 {
		var err error
		if pl.planner, err = pl.newPlanner(); err != nil {
			t.Fatal(err)
		}
		if err := pl.learn(t.Context()); err != nil {
			t.Fatal(err)
		}
		if err := pl.catchUp(t.Context()); err != nil {
			t.Fatal(err)
		}
		learned := 0
		for _, it := range items {
			st, _ := pl.planner.State(it.ID)
			learned += int(st.Asked)
		}
		if learned != int(pl.read) {
			t.Errorf("%d answers are in the log and %d were learned", pl.read, learned)
			break
		}
	}
	close(stop)
	if err := <-stopped; err != nil {
		t.Error(err)
	}
	if pl.read < 20 {
		t.Errorf("only %d answers arrived: the test shows little", pl.read)
	}
}
