package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strconv"
	"strings"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/gig"
	"surefret/scheduler"
	"surefret/store"
)

// A player is one player's practice, opened: the log, the settings, what can be
// asked on this instrument, and what the log says is known.
type player struct {
	db        *store.DB
	now       func() time.Time
	settings  settings.Settings
	fresh     bool  // no settings are saved yet
	complaint error // about a saved setting that cannot be used
	typing    practice.Typing
	wanted    func(item string) bool   // what the sitting was narrowed to
	aside     map[string]bool          // items set aside for good
	placed    map[string]scheduler.Day // items proven without being asked, by the day of it
	due       []dueGig                 // what is practised for
	gigs      []gig.Gig                // by day
	catalogue *drills.Catalogue
	planner   *scheduler.Planner

	read   store.Cursor    // up to where the log has been read
	own    map[string]bool // ids of rows that this sitting has added since
	held   held            // rows that wait for another program's lock
	mixed  bool            // whether the planner learned rows out of the log's order
	newest time.Time       // the last instant in the log
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
	pl := &player{db: db, now: now, held: held{log: db}}
	if err := pl.load(ctx); err != nil {
		db.Close()
		return nil, err
	}
	return pl, nil
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
		saved, err := db.Settings(ctx)
		if err != nil {
			return s, drills.Setup{}, err
		}
		var complaint error
		if s, complaint = settings.FromMap(saved); complaint != nil {
			fmt.Fprintf(p.err, "surefret: %s\n", complaint)
		}
	}
	setup, err := s.Setup()
	return s, setup, err
}

// load reads the settings and learns from the log.
func (pl *player) load(ctx context.Context) error {
	saved, err := pl.db.Settings(ctx)
	if err != nil {
		return err
	}
	// Typing times that cannot be read are measured anew.
	_ = json.Unmarshal([]byte(saved[typingKey]), &pl.typing)
	_, known := saved["tuning"]
	pl.fresh = !known
	pl.aside, pl.placed = map[string]bool{}, map[string]scheduler.Day{}
	for key, value := range saved {
		if item, ok := strings.CutPrefix(key, asideKey); ok && value == "true" {
			pl.aside[item] = true
		}
		if item, ok := strings.CutPrefix(key, placedKey); ok {
			if day, err := strconv.Atoi(value); err == nil {
				pl.placed[item] = scheduler.Day(day)
			}
		}
	}
	// A setting that cannot be used has its default; practice goes on.
	pl.settings, pl.complaint = settings.FromMap(saved)
	return pl.prepare(ctx)
}

// prepare lists what the settings allow and learns from the log. It is called
// again when the settings change.
func (pl *player) prepare(ctx context.Context) error {
	setup, err := pl.settings.Setup()
	if err != nil {
		return err
	}
	if pl.gigs, err = pl.db.Gigs(ctx); err != nil {
		return err
	}
	setup.Keys = gig.Keys(append(pl.coming(), pl.shaky()...))
	// All items are planned for, those that must be heard among them: what a
	// sitting leaves out is for narrow to say.
	setup.Sound = true
	pl.catalogue = drills.NewCatalogue(setup)
	if pl.planner, err = pl.newPlanner(); err != nil {
		return err
	}
	if err := pl.learn(ctx); err != nil {
		return err
	}
	pl.planner.SetDeadlines(pl.deadlines())
	return nil
}

// newPlanner returns a planner for the catalogue that has learned nothing yet.
func (pl *player) newPlanner() (*scheduler.Planner, error) {
	p, err := scheduler.NewPlanner(schedulable(pl.catalogue.Items()), pl.options())
	if err != nil {
		return nil, fmt.Errorf("plan the practice: %w", err)
	}
	return p, nil
}

func (pl *player) options() scheduler.Options {
	return scheduler.Options{
		Aim:      settings.Seconds(pl.settings.Aim),
		Location: time.Local,
		Daily:    time.Duration(pl.settings.Minutes * float64(time.Minute)),
	}
}

// schedulable gives the scheduler what it may know of the items.
func schedulable(items []drills.Item) []scheduler.Item {
	out := make([]scheduler.Item, len(items))
	for i, it := range items {
		out[i] = scheduler.Item{ID: it.ID, Family: string(it.Family), Group: it.Group, Aim: it.Aim, Stage: min(it.Stage, drills.Ungated)}
		for _, k := range it.Kin {
			out[i].Kin = append(out[i].Kin, scheduler.Kin(k))
		}
	}
	return out
}
