package main

import (
	"context"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"surefret/cmd/surefret/console"
	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/store"
)

// A life is a million answers, a hundred an evening for 27 years, as a player
// who has always practised with this program leaves them: with what the program
// keeps beside the log.
const life = 1_000_000

// lived makes the life, once for all benchmarks and runs of a day.
func lived(b *testing.B) *program {
	b.Helper()
	path := filepath.Join(os.TempDir(), "surefret-bench-life.db")
	p := &program{Console: console.Console{Out: io.Discard, Err: io.Discard, Getenv: func(string) string { return "" }}, database: path}
	if info, err := os.Stat(path); err == nil && time.Since(info.ModTime()) < 24*time.Hour {
		return p
	}
	os.Remove(path)
	ctx := b.Context()
	making := path + ".making"
	os.Remove(making)
	db, err := store.Open(ctx, making)
	if err != nil {
		b.Fatal(err)
	}
	setup, err := settings.Default().Setup()
	if err != nil {
		b.Fatal(err)
	}
	setup.Sound = true
	items := drills.NewCatalogue(setup).Items()
	rng := rand.New(rand.NewPCG(1, 1))
	first := time.Now().AddDate(0, 0, -life/100)
	err = db.AppendAll(ctx, func(yield func(drills.Answer) bool) {
		for i := range life {
			day := first.AddDate(0, 0, i/100)
			at := time.Date(day.Year(), day.Month(), day.Day(), 12, 0, 6*(i%100), 0, time.UTC)
			r := drills.Answer{ID: db.NewID(at), At: at, Day: at.Format(time.DateOnly), Item: items[rng.IntN(len(items))].ID,
				Question: "Which note is string 5, fret 7?", Given: "E", Want: "E", Right: rng.IntN(8) > 0,
				Thinking: time.Duration(500+rng.IntN(3000)) * time.Millisecond, Entry: drills.EntryKeys}
			if !yield(r) {
				return
			}
		}
	})
	if err != nil {
		b.Fatal(err)
	}
	if err := db.Close(); err != nil {
		b.Fatal(err)
	}
	if err := os.Rename(making, path); err != nil {
		b.Fatal(err)
	}
	// The first look of all reads the log from its start.
	start := time.Now()
	look(b, p, func(pl *kept.Practice) error { _, err := pl.Progress(ctx, ""); return err })
	b.Logf("a million answers read from the start, twice: %.1f s", time.Since(start).Seconds())
	return p
}

// look opens the practice, does something with it and closes it, as a command
// does.
func look(b *testing.B, p *program, at func(*kept.Practice) error) {
	pl, err := p.openPlayer(context.Background())
	if err != nil {
		b.Fatal(err)
	}
	if err := at(pl); err != nil {
		b.Fatal(err)
	}
	if err := pl.Close(context.Background()); err != nil {
		b.Fatal(err)
	}
}

// From opening the file to closing it; under 300 ms.
func BenchmarkNeckOfAMillionAnswers(b *testing.B) {
	p := lived(b)
	for b.Loop() {
		look(b, p, func(pl *kept.Practice) error {
			_, err := io.WriteString(io.Discard, pl.Map(nil, [2]int{}).Text(80, ink.Look{}))
			return err
		})
	}
}

// Under 2 s.
func BenchmarkProgressPageOfAMillionAnswers(b *testing.B) {
	p := lived(b)
	for b.Loop() {
		look(b, p, func(pl *kept.Practice) error {
			page, err := pl.Progress(b.Context(), "")
			if err == nil {
				err = page.HTML(io.Discard, "")
			}
			return err
		})
	}
}
