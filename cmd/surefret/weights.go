package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"

	"surefret/cmd/surefret/practice"
	"surefret/scheduler"
	"surefret/store"
)

// weightsKey is the key of the setting that holds the player's own weights.
const weightsKey = "weights"

// ownWeights are the weights of the memory model that were fitted to the
// player's log. They are kept as a setting, so they travel with the log, and a
// replay of it with them gives what was learned with them.
type ownWeights struct {
	Weights scheduler.Weights `json:"weights"` // all zero: the default ones
	Rows    int64             `json:"rows"`    // how long the log was when they were last looked for
}

// readWeights reads the setting; what cannot be used counts as none.
func readWeights(text string) ownWeights {
	var w ownWeights
	if json.Unmarshal([]byte(text), &w) != nil {
		return ownWeights{}
	}
	for _, x := range w.Weights {
		if math.Abs(x) > 100 { // the largest of the default ones is 8
			return ownWeights{}
		}
	}
	return w
}

// inUse reports whether they are not the default ones.
func (w ownWeights) inUse() bool {
	return w.Weights != scheduler.Weights{} && w.Weights != scheduler.DefaultWeights
}

// Own weights are looked for when the log has rows enough, and again each time
// it has grown by a quarter: each change of weights costs the next start a
// replay of the log.
const (
	fitFrom   = 1000
	fitGrowth = 4      // one in so many
	fitRows   = 25_000 // of the log's end that are read
)

func (w ownWeights) due(rows store.Cursor) bool {
	return int64(rows) >= fitFrom && int64(rows) >= w.Rows+w.Rows/fitGrowth
}

// A fitting looks for own weights while the player reads his summary.
type fitting struct {
	stop  context.CancelFunc
	done  chan struct{}
	found ownWeights
	err   error
}

// thenFit returns an outlook that also begins to look for own weights, in the
// background, where they are due.
func (pl *player) thenFit(ctx context.Context, outlook func() []string) func() []string {
	return func() []string {
		lines := outlook()
		pl.beginFit(ctx)
		return lines
	}
}

func (pl *player) beginFit(ctx context.Context) {
	rows, err := pl.db.End(ctx)
	if err != nil || pl.fit != nil || !pl.weights.due(rows) {
		return // whatever ails the log, saving tells it
	}
	ctx, stop := context.WithCancel(ctx)
	f := &fitting{stop: stop, done: make(chan struct{}), found: ownWeights{Rows: int64(rows)}}
	pl.fit = f
	items, opt := schedulable(pl.catalogue.Items()), pl.options()
	rowsInTime := pl.inTime(pl.db.Effective(ctx, max(rows-fitRows, 0)))
	go func() {
		defer close(f.done)
		var log []scheduler.Answer
		for r, err := range rowsInTime {
			if err != nil {
				f.err = err
				return
			}
			log = append(log, practice.Learnable(r))
		}
		fit, err := scheduler.FitWeights(ctx, items, log, opt)
		if f.err = err; err == nil && fit.Kept {
			f.found.Weights = fit.Weights
		}
	}()
}

// endFit waits for the fitting and keeps what it found for the next start. Only
// an interrupt calls it off.
func (pl *player) endFit(ctx context.Context) error {
	if pl.fit == nil {
		return nil
	}
	defer pl.fit.stop()
	<-pl.fit.done
	switch err := pl.fit.err; {
	case errors.Is(err, context.Canceled):
		return nil // next time
	case err != nil:
		return fmt.Errorf("fit the weights: %w", err)
	}
	text, err := json.Marshal(pl.fit.found)
	if err != nil {
		return err
	}
	return pl.db.SetSetting(ctx, weightsKey, string(text))
}
