package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/fretboard"
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
	kept := practice.Kept{Settings: k.Settings, Aside: k.Aside, Placed: k.Placed, Choice: k.Choice, Shapes: k.Shapes, Explained: k.Explained}
	k.Typing(&kept.Typing)
	return kept, err
}

// databasePath says where the player's practice is kept: --db, else as his
// environment has it.
func (p *program) databasePath() (string, error) {
	if p.database != "" {
		return p.database, nil
	}
	return cli.Place(p.Getenv)
}

// openLog opens the log to write to it, and makes it where there is none.
func (p *program) openLog(ctx context.Context) (db *store.DB, made bool, err error) {
	path, err := p.databasePath()
	if err != nil {
		return nil, false, err
	}
	now, err := p.clock()
	if err != nil {
		return nil, false, err
	}
	_, missing := os.Stat(path)
	if db, err = store.Open(ctx, path); err != nil {
		return nil, false, err
	}
	p.tell(db)
	db.Now = now
	if err := db.StoreSongs(ctx); err != nil {
		db.Close()
		return nil, false, err
	}
	return db, errors.Is(missing, fs.ErrNotExist), nil
}

// openPlayer opens the practice and brings the planner up to date with the log.
func (p *program) openPlayer(ctx context.Context) (*player, error) {
	db, made, err := p.openLog(ctx)
	if err != nil {
		return nil, err
	}
	if made && p.database != "" { // maybe a slip in its name
		fmt.Fprintf(p.Err, "%s did not exist; a new practice file was made.\n", p.database)
	}
	pl, err := practice.Open(ctx, log{db}, db.Now)
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

// tell tells what was found of a practice when it was opened.
func (p *program) tell(db *store.DB) {
	if db.Notice != "" {
		fmt.Fprintf(p.Err, "surefret: %s\n", db.Notice)
	}
}

// readLog opens the log for reading alone; it makes nothing. Where there is none, and
// none was named, it returns nil: a first look is no mistake.
func (p *program) readLog(ctx context.Context) (*store.DB, error) {
	path, err := p.databasePath()
	if err != nil {
		return nil, err
	}
	db, err := store.OpenReadOnly(ctx, path)
	switch {
	case err == nil:
		p.tell(db)
		return db, nil
	case !errors.Is(err, fs.ErrNotExist): // nor a name that can be none
		return nil, err
	case p.named():
		return nil, p.noLog(path)
	}
	return nil, nil
}

// named reports whether the player named the file of his practice.
func (p *program) named() bool { return p.database != "" || p.Getenv("SUREFRET_DB") != "" }

// noLog says that there is no practice to read.
func (p *program) noLog(path string) error {
	if p.named() {
		return usagef("there is no practice in %s: check the name; 'surefret practice' with it makes one", cli.Shown(path))
	}
	return usagef("there is no practice yet: 'surefret' begins it")
}

// An action is what a command does with a practice, and with its arguments.
type action func(ctx context.Context, pl *player, args []string) error

// withPlayer has a command open the practice and close it afterwards.
func (p *program) withPlayer(do action) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) (err error) {
		ctx := cmd.Context()
		pl, err := p.openPlayer(ctx)
		if err != nil {
			return err
		}
		defer pl.closing(ctx, &err)
		return do(ctx, pl, args)
	}
}

// look is withPlayer for a command that only reads the practice. Where there is none, its
// player has answered nothing yet.
func (p *program) look(do action) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) error {
		ctx := cmd.Context()
		now, err := p.clock()
		if err != nil {
			return err
		}
		db, err := p.readLog(ctx)
		if err != nil {
			return err
		}
		var of practice.Log
		if db != nil {
			defer db.Close()
			of = log{db}
		}
		pl, err := practice.Open(ctx, of, now)
		if err != nil {
			return err
		}
		return do(ctx, &player{pl, db}, args)
	}
}

// glance reads the log where there is one that can be read, and says nothing else.
func (p *program) glance(ctx context.Context, do func(*store.DB)) {
	path, err := p.databasePath()
	if err != nil {
		return
	}
	if db, err := store.OpenReadOnly(ctx, path); err == nil {
		defer db.Close()
		do(db)
	}
}

// savedSetup returns the player's settings and instrument; the defaults where there is
// no practice yet, or none that can be read: what asks for them needs no answers.
func (p *program) savedSetup(ctx context.Context) (settings.Settings, drills.Setup, error) {
	s := settings.Default()
	path, err := p.databasePath()
	if err != nil {
		return s, drills.Setup{}, err
	}
	kept, err := p.savedKept(ctx, path)
	switch {
	case err == nil:
		if s, err = settings.FromMap(kept.Settings); err != nil {
			fmt.Fprintf(p.Err, "surefret: %s\n", err)
		}
	case !errors.Is(err, fs.ErrNotExist):
		fmt.Fprintf(p.Err, "surefret: the default settings are taken, since yours cannot be read: %s\n", cli.OneLine(err.Error()))
	}
	setup, err := s.Setup()
	setup.Neck.Own = fretboard.OwnRecipes(kept.Shapes)
	return s, setup, err
}

func (p *program) savedKept(ctx context.Context, path string) (store.Kept, error) {
	db, err := store.OpenReadOnly(ctx, path)
	if err != nil {
		return store.Kept{}, err
	}
	defer db.Close()
	p.tell(db)
	return db.Kept(ctx)
}
