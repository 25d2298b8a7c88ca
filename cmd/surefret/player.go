package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/store"
)

// A player is a practice that was opened, with the file that it is in.
type player struct {
	*practice.Player
	db *store.DB
}

// A log is a store as practice knows it.
type log struct{ *store.DB }

// Kept returns what is kept. Typing times that cannot be read are measured anew.
func (l log) Kept(ctx context.Context) (practice.Kept, error) {
	k, err := l.DB.Kept(ctx)
	kept := practice.Kept{Settings: k.Settings, Aside: k.Aside, Placed: k.Placed}
	k.Typing(&kept.Typing)
	return kept, err
}

// openPlayer opens the practice and brings the planner up to date with the log.
func (p *program) openPlayer(ctx context.Context) (*player, error) {
	path, err := p.databasePath()
	if err != nil {
		return nil, err
	}
	now, err := p.clock()
	if err != nil {
		return nil, err
	}
	_, missing := os.Stat(path)
	db, err := store.Open(ctx, path)
	if err != nil {
		return nil, err
	}
	if p.database != "" && errors.Is(missing, fs.ErrNotExist) { // maybe a slip in its name
		fmt.Fprintf(p.err, "%s is new: nothing was practised there yet.\n", p.database)
	}
	db.Now = now
	pl, err := practice.Open(ctx, log{db}, now)
	if err != nil {
		db.Close()
		return nil, err
	}
	return &player{pl, db}, nil
}

// Close keeps what was learned for the next start and closes the practice.
func (pl *player) Close(ctx context.Context) error {
	err := pl.Player.Close(ctx)
	if cerr := pl.db.Close(); err == nil {
		err = cerr
	}
	return err
}

// closing closes the practice at the end of a command and reports a failure to do
// so unless there is a worse one.
func (pl *player) closing(ctx context.Context, err *error) {
	if cerr := pl.Close(ctx); *err == nil {
		*err = cerr
	}
}

// savedSetup returns the player's settings and instrument; where there is no
// practice yet, the defaults, and none is made.
func (p *program) savedSetup(ctx context.Context) (settings.Settings, drills.Setup, error) {
	s := settings.Default()
	path, err := p.databasePath()
	if err != nil {
		return s, drills.Setup{}, err
	}
	if _, err := os.Stat(path); err == nil {
		db, err := store.Open(ctx, path)
		if err != nil {
			return s, drills.Setup{}, err
		}
		defer db.Close()
		kept, err := db.Kept(ctx)
		if err != nil {
			return s, drills.Setup{}, err
		}
		var complaint error
		if s, complaint = settings.FromMap(kept.Settings); complaint != nil {
			fmt.Fprintf(p.err, "surefret: %s\n", complaint)
		}
	}
	setup, err := s.Setup()
	return s, setup, err
}
