package store

import (
	"context"
	"io"
	"iter"
	"testing"
	"time"

	"surefret/drills"
)

// What tests that see the package from outside may use all the same.

type View = view

func (v *view) Answers(ctx context.Context, after Cursor) iter.Seq2[drills.Answer, error] {
	return v.inOrder(ctx, after, "")
}

func (v *view) Effective(ctx context.Context, after Cursor) iter.Seq2[drills.Answer, error] {
	return v.effective(ctx, after)
}

func (v *view) End(ctx context.Context) (Cursor, error) { return v.end(ctx) }

func (v *view) Snapshot(ctx context.Context, version string) (Cursor, []byte, bool, error) {
	return v.snapshot(ctx, version)
}

func (db *DB) Frozen(ctx context.Context, f func(*View) error) error { return db.frozen(ctx, f) }

// Impatient has saving wait for a lock a tenth of a second only.
func Impatient(t *testing.T) {
	was := patience
	t.Cleanup(func() { patience = was })
	patience = 100
}

// Patient has this process wait for a lock for an hour.
func Patient() { patience = 3_600_000 }

func NewID(now time.Time, rnd io.Reader) string { return newID(now, rnd) }

// Must ends a test that cannot go on after an error.
func Must(t interface {
	Helper()
	Fatal(args ...any)
}, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
