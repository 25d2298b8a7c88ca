package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"time"

	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/surefret/demo"
	"surefret/cmd/surefret/practice"
	"surefret/scheduler"
)

// A habit is how a player of the demo practises for half a year, with the program
// itself: it chooses what is asked.
type habit struct {
	name   string
	traits learner.Traits
	seed   uint64
	skips  float64       // chance of a day without practice
	length time.Duration // of a sitting on the others
}

// Wren sits down for ten minutes on most days, with sound; Odile now and then for five.
var habits = []habit{
	{"Wren", learner.Traits{Memory: "mixture", Known: 0.1, Wrong: 0.2, Careless: 1, Pace: 1.1, Stuck: 0.03, Rate: 1.1, Transfer: 0.5, Interference: 0.2, Lapse: 0.02, Tail: 0.02}, 3, 0.15, 10 * time.Minute},
	{"Odile", learner.Traits{Memory: "mixture", Known: 0.1, Wrong: 0.3, Careless: 1.5, Pace: 0.9, Rate: 1.5, Transfer: 0.5, Lapse: 0.02}, 11, 0.6, 5 * time.Minute},
}

// practise plays the half year.
func (h habit) practise(ctx context.Context) ([]demo.Row, error) {
	rng := rand.New(rand.NewPCG(h.seed, 5))
	first := scheduler.DayOf(start.Add(12*time.Hour), nil)
	o := practice.Options{Rand: rng, Length: h.length, Selection: practice.Selection{Heard: true}}
	who := bankPlayer{Traits: h.traits, seed: h.seed, extra: 1}
	l, err := newLived(ctx, who, o, demo.Gigs(first+demo.Days))
	if err != nil {
		return nil, err
	}
	for day := range demo.Days {
		hour := 18 + 3*rng.Float64()
		if day > 0 && rng.Float64() < h.skips {
			continue
		}
		if _, err := l.day(ctx, float64(day)+hour/24); err != nil {
			return nil, err
		}
	}
	var rows []demo.Row
	for _, r := range l.log.Rows {
		day := int(scheduler.DayOf(r.At, nil) - first)
		rows = append(rows, demo.Row{
			Day: day, Since: r.At.Sub((first + scheduler.Day(day)).Start(nil)).Truncate(time.Millisecond),
			Item: r.Item, Question: r.Question, Right: r.Right, Thinking: r.Thinking,
		})
	}
	return rows, nil
}

// writeDemoLogs writes the practice of the demo's players into a folder.
func writeDemoLogs(ctx context.Context, folder string) error {
	for _, h := range habits {
		rows, err := h.practise(ctx)
		if err != nil {
			return fmt.Errorf("practise as %s: %w", h.name, err)
		}
		f, err := os.Create(filepath.Join(folder, strings.ToLower(h.name)+".csv.gz"))
		if err != nil {
			return err
		}
		if err := demo.WriteLog(f, rows); err != nil {
			f.Close()
			return err
		}
		if err := f.Close(); err != nil {
			return err
		}
	}
	return nil
}
