package main

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/drills"
	"surefret/scheduler"
	"surefret/store"
)

// forgetful fills the log with days of a player who loses all of an item at a
// miss, and keeps it for months after a few days without: not what the default
// weights expect, and nothing that counting practice shows.
func forgetful(t *testing.T, pl *player, days int) {
	t.Helper()
	items := pl.catalogue.Items()[:150]
	last, stability := map[string]int{}, map[string]float64{}
	rng := rand.New(rand.NewPCG(1, 1))
	today := scheduler.DayOf(pl.now(), time.Local)
	err := pl.db.AppendAll(t.Context(), func(yield func(drills.Answer) bool) {
		for d := range days {
			day := today - scheduler.Day(days-d)
			for n := range 60 {
				it := items[rng.IntN(len(items))]
				remembered := stability[it.ID] > 0 && rng.Float64() < math.Exp(-float64(d-last[it.ID])/stability[it.ID])
				thinking := 4 + rng.Float64()
				if remembered {
					thinking = 0.7 + 0.3*rng.Float64()
					stability[it.ID] *= 10
				} else {
					stability[it.ID] = 1.2
				}
				last[it.ID] = d
				at := day.Start(time.Local).Add(6*time.Hour + time.Duration(8*n)*time.Second)
				if !yield(drills.Answer{ID: pl.db.NewID(at), At: at, Day: day.String(), Item: it.ID, Question: "?", Given: "A", Want: "A",
					Right: remembered, Thinking: time.Duration(thinking * float64(time.Second)), Entry: drills.EntryKeys}) {
					return
				}
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestOwnWeightsAreFoundAfterTheSummaryAndUsedFromThenOn(t *testing.T) {
	env := map[string]string{"SUREFRET_CLOCK": "2026-11-25T18:00:00Z"}
	p := &program{out: io.Discard, err: io.Discard, getenv: func(k string) string { return env[k] }, database: filepath.Join(t.TempDir(), "p.db")}
	ctx := t.Context()
	open := func() *player {
		pl, err := p.openPlayer(ctx)
		if err != nil {
			t.Fatal(err)
		}
		return pl
	}
	pl := open()
	forgetful(t, pl, 60)
	if err := pl.Close(ctx); err != nil {
		t.Fatal(err)
	}

	pl = open()
	if pl.weights.inUse() || pl.weights.Rows != 0 {
		t.Fatalf("before: %+v", pl.weights)
	}
	if lines := pl.thenFit(ctx, func() []string { return []string{"outlook"} })(); len(lines) != 1 {
		t.Errorf("the outlook is %q", lines)
	}
	if err := pl.Close(ctx); err != nil {
		t.Fatal(err)
	}

	pl = open()
	if !pl.weights.inUse() || pl.weights.Rows != 3600 {
		t.Fatalf("after: %+v", pl.weights)
	}
	progress, err := pl.progress(ctx, "")
	if err != nil || !progress.Own || !strings.Contains(progress.Text(80), "weights of your own") {
		t.Errorf("progress does not say so: %v", err)
	}
	// A replay of the log gives what is kept.
	if err := pl.Close(ctx); err != nil {
		t.Fatal(err)
	}
	pl = open()
	kept, _ := pl.planner.MarshalBinary()
	again, err := pl.newPlanner()
	if err != nil {
		t.Fatal(err)
	}
	for r, err := range pl.db.Effective(ctx, 0) {
		if err != nil {
			t.Fatal(err)
		}
		again.Learn(practice.Learnable(r))
	}
	if replayed, _ := again.MarshalBinary(); !bytes.Equal(kept, replayed) {
		t.Error("a replay with own weights gives something else than was kept")
	}
	// Nothing new, nothing to look for.
	if pl.beginFit(ctx); pl.fit != nil {
		t.Error("weights are looked for again though nothing was added")
	}
	if err := pl.Close(ctx); err != nil {
		t.Fatal(err)
	}
}

func TestWeightsAreDueWhenTheLogHasGrown(t *testing.T) {
	for _, c := range []struct {
		before, rows int64
		want         bool
	}{
		{0, 999, false}, {0, 1000, true}, {1000, 1249, false}, {1000, 1250, true}, {100_000, 124_999, false}, {100_000, 125_000, true},
	} {
		w := ownWeights{Rows: c.before}
		if got := w.due(store.Cursor(c.rows)); got != c.want {
			t.Errorf("%d rows after %d: due %v", c.rows, c.before, got)
		}
	}
}

func TestWeightsThatCannotBeUsedAreNone(t *testing.T) {
	good, err := json.Marshal(ownWeights{Weights: scheduler.DefaultWeights, Rows: 5})
	if err != nil {
		t.Fatal(err)
	}
	if w := readWeights(string(good)); w.Rows != 5 || w.inUse() {
		t.Errorf("default weights: %+v", w)
	}
	for _, bad := range []string{"", "null", "[]", `{"weights": "none"}`, `{"weights": [1e300], "rows": 7}`, `{"weights": [1,2`} {
		if w := readWeights(bad); w != (ownWeights{}) {
			t.Errorf("%q: %+v", bad, w)
		}
	}
}
