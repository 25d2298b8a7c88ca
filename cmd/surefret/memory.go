package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/drills"
	"surefret/store"
)

// learn brings the planner up to the end of the log and of the rows that a lock
// keeps out of it. The snapshot spares replaying years of practice at each start;
// where it does not fit, because the items or the model changed, or older rows
// were merged in, the whole log is read.
func (pl *player) learn(ctx context.Context) error {
	return pl.db.Frozen(ctx, func(log *store.View) error {
		newest, _, err := log.Newest(ctx)
		if err != nil {
			return err
		}
		pl.newest = newest.At
		from, state, ok, err := log.Snapshot(ctx, pl.version())
		if err != nil {
			return err
		}
		if !ok || pl.isAhead() || pl.planner.UnmarshalBinary(state) != nil {
			from = 0
		}
		if pl.read, err = log.End(ctx); err != nil {
			return err
		}
		pl.own, pl.mixed = map[string]bool{}, len(pl.held.rows) > 0
		withdrawn := pl.held.withdrawn()
		for r, err := range pl.inTime(log.Effective(ctx, from)) {
			if err != nil {
				return err
			}
			if !withdrawn[r.ID] {
				pl.planner.Learn(practice.Learnable(r))
			}
		}
		for _, r := range pl.held.rows {
			if r.TakesBack == "" && !withdrawn[r.ID] {
				pl.planner.Learn(practice.Learnable(r))
			}
		}
		return nil
	})
}

// relearn makes the planner forget what was taken back: it learns anew. What the
// sitting was narrowed to stays.
func (pl *player) relearn(ctx context.Context) error {
	blank, err := pl.newPlanner()
	if err != nil {
		return err
	}
	state, err := blank.MarshalBinary()
	if err != nil {
		return err
	}
	if err := pl.planner.UnmarshalBinary(state); err != nil {
		return err
	}
	return pl.learn(ctx)
}

// Append keeps a row of this sitting, which the session itself learns from. It
// returns without an error, too, when the row is held back by another program's
// lock; see [held].
func (pl *player) Append(ctx context.Context, r drills.Answer) error {
	saved, err := pl.held.append(ctx, r)
	pl.note(saved)
	return err
}

// note remembers which rows of the log are this sitting's own.
func (pl *player) note(saved []drills.Answer) {
	for _, r := range saved {
		pl.own[r.ID] = true
		// After the clock has been set back, a row belongs before others.
		if at := r.At.Truncate(time.Millisecond); at.Before(pl.newest) {
			pl.mixed = true
		} else {
			pl.newest = at
		}
	}
}

// catchUp learns what another process added to the log since the last call.
func (pl *player) catchUp(ctx context.Context) error {
	rows, end, err := pl.db.Tail(ctx, pl.read)
	if err != nil {
		return err
	}
	pl.read = end
	for _, r := range rows {
		if pl.own[r.ID] {
			delete(pl.own, r.ID) // another row of the same id is not our own
			continue
		}
		// Learned as it came, not in the order of the log: good enough to plan
		// by, not to be kept.
		pl.mixed = true
		if r.TakesBack == "" {
			pl.planner.Learn(practice.Learnable(r))
		}
	}
	return nil
}

// Close keeps what was learned for the next start and closes the practice.
func (pl *player) Close(ctx context.Context) error {
	saved, err := pl.held.last(ctx, pl.now(), pl.db.Path())
	pl.note(saved)
	if err == nil {
		err = pl.keep(ctx)
	}
	if cerr := pl.db.Close(); err == nil {
		err = cerr
	}
	return err
}

// keep saves the planner's memory as a snapshot of the log, unless it is not
// what replaying the log would give.
func (pl *player) keep(ctx context.Context) error {
	if pl.planner == nil {
		return nil // it never came to planning
	}
	if err := pl.catchUp(ctx); err != nil || pl.mixed || pl.isAhead() {
		return err
	}
	state, err := pl.planner.MarshalBinary()
	if err != nil {
		return err
	}
	if err := pl.db.SaveSnapshot(ctx, pl.version(), pl.read, state); err != nil {
		return err
	}
	return pl.refreshTally(ctx)
}

// closing closes the practice at the end of a command and reports a failure to
// do so unless there is a worse one.
func (pl *player) closing(ctx context.Context, err *error) {
	if cerr := pl.Close(ctx); *err == nil {
		*err = cerr
	}
}

// version names what a snapshot depends on besides the log: the items with
// their aims and kin. Days are not among it: each row carries its own.
func (pl *player) version() string {
	h := sha256.New()
	fmt.Fprintln(h, "2") // counts the ways in which rows were learned from
	for _, it := range pl.catalogue.Items() {
		fmt.Fprintln(h, it.ID, it.Aim, it.Kin)
	}
	return "memory " + hex.EncodeToString(h.Sum(nil)[:16])
}
