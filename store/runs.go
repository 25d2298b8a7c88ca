package store

import (
	"context"
	"encoding/json"
	"fmt"

	"surefret/drills/rehearse"
)

// kindSitting is a run through a song: its minutes, and what came of it.
const kindSitting = "sitting"

// KeepRun keeps what came of a run through a song.
func (db *DB) KeepRun(ctx context.Context, past rehearse.Past) error {
	value, err := json.Marshal(past)
	if err != nil {
		return fmt.Errorf("keep a run: %w", err)
	}
	return db.change(ctx, "keep a run", func(*view) ([]change, error) {
		return []change{{kind: kindSitting, key: db.NewID(past.At), value: cleanJSON(value)}}, nil
	})
}

// Runs returns the runs that are kept, in order of time. One that does not read is none.
func (v *view) Runs(ctx context.Context) ([]rehearse.Past, error) {
	var runs []rehearse.Past
	for c, err := range v.current(ctx, kindSitting) {
		if err != nil {
			return nil, err
		}
		var past rehearse.Past
		if json.Unmarshal(c.value, &past) == nil && past.Seconds >= 0 {
			runs = append(runs, past)
		}
	}
	rehearse.ByTime(runs)
	return runs, nil
}
