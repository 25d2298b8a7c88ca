// Package practice is the application: a player's practice opened, and one sitting
// of it. It knows no terminal, no command line, no SQL and no sound.
//
// A [Player] owns the log, the settings, the gigs and the planner. A [Sitting] is
// made by [Player.Begin]: it picks, poses, judges, logs and learns. The full screen
// and the line mode drive the same Sitting: they show what [Sitting.Next] returns,
// hand the answer to [Sitting.Answer], and show what comes back.
//
// Log first, learn second: an answer is durable before anything is made of it. A
// slip of the keys can be taken back until the next answer: the log then says so,
// and the planner learns anew without it.
package practice

import (
	"context"
	"fmt"
	"maps"
	"time"

	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
	"surefret/scheduler"
)

// A Player is one player's practice, opened: the log, the settings, what can be
// asked on this instrument, and what the log says is known. It is used from one
// goroutine. Make it with [Open].
type Player struct {
	Now       func() time.Time
	Settings  settings.Settings
	Fresh     bool      // no settings are saved yet
	Complaint error     // about a saved setting that cannot be used; its default is
	Gigs      []gig.Gig // by day

	log       Log
	typing    Typing
	aside     map[string]bool    // items that the player set aside
	shapes    []fretboard.Recipe // the player's own
	choice    drills.Choice      // what the player chose to practise
	explained map[string]bool    // terms that were explained, by name
	placed    map[string]int     // items proven without being asked, by the day of it
	setup     drills.Setup
	catalogue *drills.Catalogue
	planner   *scheduler.Planner
	due       []dueGig        // what is practised for
	runs      []rehearse.Past // through songs, in order of time

	read   int64           // cursor up to which the log has been learned from
	kept   int64           // cursor of the snapshot that was read or saved last
	opened int64           // read, when the log was opened
	own    map[string]bool // ids of rows after read that this process wrote
	held   []drills.Answer // rows that wait for another program's lock, in order
	untold bool            // that rows are held
	mixed  bool            // rows were learned in another order than the log's
	newest time.Time       // the last instant in the log, as its rows count
	seen   time.Time       // the last instant in the log as it was found
}

// Open reads a player's practice and learns from its log. A nil log is no practice
// at all: the settings are the defaults, nothing is known, and nothing is kept.
func Open(ctx context.Context, log Log, now func() time.Time) (*Player, error) {
	if log == nil {
		log = nothing{}
	}
	p := &Player{Now: now, log: log, aside: map[string]bool{}, placed: map[string]int{}, explained: map[string]bool{}}
	kept, err := log.Kept(ctx)
	if err != nil {
		return nil, err
	}
	_, saved := kept.Settings["tuning"]
	p.Fresh, p.typing, p.choice = !saved, kept.Typing, kept.Choice
	p.shapes = fretboard.OwnRecipes(kept.Shapes)
	maps.Copy(p.aside, kept.Aside)
	maps.Copy(p.placed, kept.Placed)
	maps.Copy(p.explained, kept.Explained)
	// A setting that cannot be used has its default; practice goes on.
	p.Settings, p.Complaint = settings.FromMap(kept.Settings)
	if err := p.Prepare(ctx); err != nil {
		return nil, err
	}
	p.opened = p.read
	return p, nil
}

// Prepare reads the gigs, lists what the settings and they allow to ask, and
// learns from the log. It is called again when either has changed.
func (p *Player) Prepare(ctx context.Context) error {
	setup, err := p.Settings.Setup()
	if err != nil {
		return err
	}
	setup.Neck.Own = p.shapes
	if p.Gigs, err = p.log.Gigs(ctx); err != nil {
		return err
	}
	songs, err := p.log.Songs(ctx)
	if err != nil {
		return err
	}
	for _, g := range p.Gigs {
		songs = append(songs, g.Songs...)
	}
	if p.runs, err = p.log.Runs(ctx); err != nil {
		return err
	}
	setup.Parts = gig.OwnParts(setup.Neck, songs...)
	setup.Changes = gig.Changes(songs)
	p.setup = setup
	setup.Keys = gig.Keys(append(p.Coming(), p.shaky()...))
	// All items are planned for, those that must be heard among them: a Selection
	// says what a sitting leaves out.
	setup.Sound = true
	p.catalogue = drills.NewCatalogue(setup)
	if p.planner, err = p.newPlanner(); err != nil {
		return err
	}
	if err := p.learnLog(ctx); err != nil {
		return err
	}
	p.planner.SetDeadlines(p.deadlines())
	return nil
}

// newPlanner returns a planner for the catalogue that has learned nothing yet.
func (p *Player) newPlanner() (*scheduler.Planner, error) {
	planner, err := scheduler.NewPlanner(Schedulable(p.catalogue.Items()), scheduler.Options{
		Aim:      settings.Seconds(p.Settings.Aim),
		Location: time.Local,
		Daily:    time.Duration(p.Settings.Minutes * float64(time.Minute)),
	})
	if err != nil {
		return nil, fmt.Errorf("plan the practice: %w", err)
	}
	return planner, nil
}

// Schedulable gives the scheduler what it may know of the items.
func Schedulable(items []drills.Item) []scheduler.Item {
	out := make([]scheduler.Item, len(items))
	for i, it := range items {
		out[i] = scheduler.Item{ID: it.ID, Family: it.Order(), Group: it.Group, Topic: it.Topic(), Aim: it.Aim, Stage: it.Stage, Guess: it.Guess, Soon: it.Basic()}
		for _, k := range it.Kin {
			out[i].Kin = append(out[i].Kin, scheduler.Kin(k))
		}
	}
	return out
}

// Save keeps settings that the player chose and prepares anew. Settings that cannot
// be practised with change nothing.
func (p *Player) Save(ctx context.Context, chosen settings.Settings) error {
	before := *p
	p.Settings = chosen
	err := p.Prepare(ctx)
	if err == nil {
		err = p.log.SaveSettings(ctx, chosen.ToMap())
	}
	if err != nil {
		*p = before
		return err
	}
	p.Fresh = false
	return nil
}

// Setup is the instrument and the ways that questions depend on.
func (p *Player) Setup() drills.Setup { return p.setup }

// Catalogue is all that can be asked on this instrument.
func (p *Player) Catalogue() *drills.Catalogue { return p.catalogue }

// Fluency is the probability, 0 to 1, that the item would be answered right and
// within its aim on the practice day of at; 0 for an unknown item.
func (p *Player) Fluency(item string, at time.Time) float64 { return p.planner.Fluency(item, at) }

// State is what is known of an item, and whether there is such an item.
func (p *Player) State(item string) (scheduler.State, bool) { return p.planner.State(item) }

// Newest is the last instant in the log as it was found, zero where it is empty. A
// clock that is well before it has been set back, or was ahead.
func (p *Player) Newest() time.Time { return p.seen }

// Typing is what typing takes, as it was kept.
func (p *Player) Typing() Typing { return p.typing }

// KeepTyping saves the typing times where they changed.
func (p *Player) KeepTyping(ctx context.Context, t Typing) error {
	if t == p.typing {
		return nil
	}
	if err := p.log.KeepTyping(ctx, t); err != nil {
		return err
	}
	p.typing = t
	return nil
}
