package main

import (
	"context"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
)

// place says where the player's practice is kept: --db, else as his environment has it.
func (p *program) place() (kept.Place, error) {
	at := kept.Place{
		Path: p.database, Named: p.database != "" || p.Getenv("SUREFRET_DB") != "", Now: time.Now,
		Tell: func(said string) { fmt.Fprintln(p.Err, said) },
	}
	if at.Path != "" {
		return at, nil
	}
	var err error
	at.Path, err = cli.Place(p.Getenv)
	return at, err
}

// dated is place with the clock of the program, for what is written there.
func (p *program) dated() (at kept.Place, err error) {
	if at, err = p.place(); err == nil {
		at.Now, err = p.clock()
	}
	return at, err
}

// openPlayer opens the practice.
func (p *program) openPlayer(ctx context.Context) (*kept.Practice, error) {
	at, err := p.dated()
	if err != nil {
		return nil, err
	}
	pl, made, err := at.Open(ctx)
	if err == nil && made && p.database != "" { // maybe a slip in its name
		fmt.Fprintf(p.Err, "%s did not exist; a new practice file was made.\n", p.database)
	}
	return pl, err
}

// An action is what a command does with a practice, and with its arguments.
type action func(ctx context.Context, pl *kept.Practice, args []string) error

// withPlayer has a command open the practice and close it afterwards.
func (p *program) withPlayer(do action) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) (err error) {
		ctx := cmd.Context()
		pl, err := p.openPlayer(ctx)
		if err != nil {
			return err
		}
		defer pl.Closing(ctx, &err)
		return do(ctx, pl, args)
	}
}

// look is withPlayer for a command that only reads the practice. Where there is none, its
// player has answered nothing yet.
func (p *program) look(do action) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) error {
		at, err := p.dated()
		if err != nil {
			return err
		}
		pl, err := at.Read(cmd.Context())
		if err != nil {
			return err
		}
		if pl.DB != nil {
			defer pl.DB.Close()
		}
		return do(cmd.Context(), pl, args)
	}
}

// savedSetup returns the player's settings and instrument, as [kept.Place.Setup] does.
func (p *program) savedSetup(ctx context.Context) (settings.Settings, drills.Setup, error) {
	at, err := p.place()
	if err != nil {
		return settings.Default(), drills.Setup{}, err
	}
	return at.Setup(ctx)
}

// quietly returns the player's settings, the defaults where they cannot be read.
func (p *program) quietly(ctx context.Context) settings.Settings {
	at, err := p.place()
	if err != nil {
		return settings.Default()
	}
	return at.Quietly(ctx)
}
