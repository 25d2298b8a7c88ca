package main

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"testing"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/drills"
)

// Whatever a lock keeps out of the log, the slip alone is forgotten.
func TestRelearningForgetsJustWhatWasTakenBack(t *testing.T) {
	for _, from := range []string{"nothing", "the answer before", "the slip", "taking it back"} {
		t.Run(from+" is held", func(t *testing.T) { relearnWithout(t, from) })
	}
}

func relearnWithout(t *testing.T, lockedFrom string) {
	env := map[string]string{"SUREFRET_CLOCK": "2026-11-25T18:00:00Z"}
	p := &program{out: io.Discard, err: io.Discard, getenv: func(k string) string { return env[k] }, database: filepath.Join(t.TempDir(), "p.db")}
	ctx := t.Context()
	pl, err := p.openPlayer(ctx)
	if err != nil {
		t.Fatal(err)
	}
	defer pl.db.Close()
	answer := func(item string, right bool) drills.Answer {
		r := drills.Answer{ID: pl.db.NewID(pl.now()), Device: pl.db.Device(), At: pl.now(), Day: "2026-11-25", Item: item,
			Question: "?", Given: "A", Want: "B", Right: right, Thinking: time.Second, Entry: drills.EntryLine}
		if err := pl.Append(ctx, r); err != nil {
			t.Fatal(err)
		}
		pl.planner.Learn(practice.Learnable(r))
		return r
	}
	state := func() []byte {
		b, err := pl.planner.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	for i := range 8 {
		answer(fmt.Sprintf("note/E2+%d/name", i), true)
	}
	if err := pl.keep(ctx); err != nil { // a snapshot to start from
		t.Fatal(err)
	}
	lock := func(at string) {
		if at == lockedFrom {
			pl.held.log = &lockedLog{locked: 100}
		}
	}
	lock("the answer before")
	answer("note/A2+3/name", true)
	want := state()
	lock("the slip")
	slip := answer("note/A2+5/name", false)
	if bytes.Equal(want, state()) {
		t.Fatal("the slip was not learned")
	}
	lock("taking it back")
	if err := pl.Append(ctx, drills.Answer{ID: pl.db.NewID(pl.now()), Device: pl.db.Device(), At: pl.now(), Day: "2026-11-25",
		Item: slip.Item, Question: "?", TakesBack: slip.ID, Entry: drills.EntryLine}); err != nil {
		t.Fatal(err)
	}
	if err := pl.relearn(ctx); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(want, state()) {
		t.Error("the planner knows something else than without the slip")
	}
	if err := pl.catchUp(ctx); err != nil || pl.mixed != (lockedFrom != "nothing") || !bytes.Equal(want, state()) {
		t.Errorf("%v: what was learned anew was learned twice", err)
	}
}
