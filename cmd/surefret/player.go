package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"time"

	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/scheduler"
	"surefret/store"
)

// A player is one player's practice, opened: the log, the settings, what can be
// asked on this instrument, and what the log says is known.
type player struct {
	db        *store.DB
	settings  settings.Settings
	fresh     bool // no settings are saved yet
	catalogue *drills.Catalogue
	planner   *scheduler.Planner
	learned   store.Cursor // up to where the planner has read the log
}

// openPlayer opens the practice and brings the planner up to date with the log.
func (p *program) openPlayer(ctx context.Context) (*player, error) {
	path, err := p.databasePath()
	if err != nil {
		return nil, err
	}
	db, err := store.Open(ctx, path)
	if err != nil {
		return nil, err
	}
	pl := &player{db: db}
	if err := pl.load(ctx); err != nil {
		db.Close()
		return nil, err
	}
	return pl, nil
}

// load reads the settings and learns from the log.
func (pl *player) load(ctx context.Context) error {
	saved, err := pl.db.Settings(ctx)
	if err != nil {
		return err
	}
	pl.fresh = len(saved) == 0
	if pl.settings, err = settings.FromMap(saved); err != nil {
		return err
	}
	return pl.prepare(ctx)
}

// prepare lists what the settings allow and learns from the log. It is called
// again when the settings change.
func (pl *player) prepare(ctx context.Context) error {
	setup, err := pl.settings.Setup()
	if err != nil {
		return err
	}
	pl.catalogue = drills.NewCatalogue(setup)
	pl.planner, err = scheduler.NewPlanner(schedulable(pl.catalogue.Items()), scheduler.Options{
		Aim:      setup.Aim,
		Location: time.Local,
	})
	if err != nil {
		return fmt.Errorf("plan the practice: %w", err)
	}
	return pl.learn(ctx)
}

// learn brings the planner up to the end of the log. The snapshot spares
// replaying years of practice at each start; where it does not fit, because the
// items or the model changed, or older rows were merged in, the whole log is read.
func (pl *player) learn(ctx context.Context) error {
	pl.learned = store.Cursor{}
	if upto, state, ok, err := pl.db.Snapshot(ctx, pl.version()); err != nil {
		return err
	} else if ok && pl.planner.UnmarshalBinary(state) == nil {
		pl.learned = upto
	}
	return pl.catchUp(ctx)
}

// catchUp learns the rows that came into the log since the last call, from
// whichever process.
func (pl *player) catchUp(ctx context.Context) error {
	for r, err := range pl.db.Effective(ctx, pl.learned) {
		if err != nil {
			return err
		}
		pl.planner.Learn(scheduler.Review{Item: r.Item, At: r.At, Right: r.Right, Thinking: r.Thinking})
		pl.learned = store.CursorOf(r)
	}
	return nil
}

// Close keeps what was learned for the next start and closes the practice.
func (pl *player) Close(ctx context.Context) error {
	state, err := pl.planner.MarshalBinary()
	if err == nil {
		err = pl.db.SaveSnapshot(ctx, pl.version(), pl.learned, state)
	}
	if cerr := pl.db.Close(); err == nil {
		err = cerr
	}
	return err
}

// closing closes the practice at the end of a command and reports a failure to
// do so unless there is a worse one.
func (pl *player) closing(ctx context.Context, err *error) {
	if cerr := pl.Close(ctx); *err == nil {
		*err = cerr
	}
}

// version names what a snapshot depends on besides the log: the items with
// their aims, and the place whose days it counts.
func (pl *player) version() string {
	h := sha256.New()
	fmt.Fprintln(h, time.Local, "1")
	for _, it := range pl.catalogue.Items() {
		fmt.Fprintln(h, it.ID, it.Aim, it.Kin)
	}
	return hex.EncodeToString(h.Sum(nil)[:16])
}

// schedulable gives the scheduler what it may know of the items.
func schedulable(items []drills.Item) []scheduler.Item {
	out := make([]scheduler.Item, len(items))
	for i, it := range items {
		out[i] = scheduler.Item{ID: it.ID, Family: string(it.Family), Group: it.Group, Aim: it.Aim, Stage: it.Stage}
		for _, k := range it.Kin {
			out[i].Kin = append(out[i].Kin, scheduler.Kin(k))
		}
	}
	return out
}
