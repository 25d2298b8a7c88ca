package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"surefret/cmd/surefret/session"
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
	typing    session.Typing
	wanted    func(item string) bool   // what the sitting was narrowed to
	skipped   map[string]bool          // items set aside for good
	placed    map[string]scheduler.Day // items proven without being asked, by the day of it
	gigs      []gig.Gig                // by day
	catalogue *drills.Catalogue
	respelled *drills.Catalogue // the same with sharps for flats or flats for sharps, made when it is needed
	planner   *scheduler.Planner

	read   store.Cursor    // up to where the log has been read
	seen   map[string]bool // ids of rows learned from that catchUp may meet again
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
	db, err := store.Open(ctx, path)
	if err != nil {
		return nil, err
	}
	db.Now = now
	pl := &player{db: db, now: now}
	if err := pl.load(ctx); err != nil {
		db.Close()
		return nil, err
	}
	return pl, nil
}

// savedSetup returns the player's settings and instrument without opening his
// practice for writing; where nothing is saved yet, the defaults.
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
	pl.skipped, pl.placed = map[string]bool{}, map[string]scheduler.Day{}
	for key, value := range saved {
		if item, ok := strings.CutPrefix(key, skippedKey); ok && value == "true" {
			pl.skipped[item] = true
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
	p, err := scheduler.NewPlanner(schedulable(pl.catalogue.Items()), scheduler.Options{
		Aim:      settings.Seconds(pl.settings.Aim),
		Location: time.Local,
		Daily:    time.Duration(pl.settings.Minutes * float64(time.Minute)),
	})
	if err != nil {
		return nil, fmt.Errorf("plan the practice: %w", err)
	}
	return p, nil
}

// coming lists the gigs whose day is not past.
func (pl *player) coming() []gig.Gig {
	today := scheduler.DayOf(pl.now(), time.Local).String()
	return slices.DeleteFunc(slices.Clone(pl.gigs), func(g gig.Gig) bool { return g.Day < today })
}

// deadlines tells the planner what has to be fluent on which day.
func (pl *player) deadlines() []scheduler.Deadline {
	var ds []scheduler.Deadline
	for _, g := range pl.coming() {
		if d, err := pl.deadline(g); err == nil {
			ds = append(ds, d)
		}
	}
	return append(ds, pl.shakyDeadlines()...)
}

// deadline lists what a gig needs by its day. It is ready in the evening: the
// practice of that day still counts.
func (pl *player) deadline(g gig.Gig) (scheduler.Deadline, error) {
	day, err := gig.ParseDay(g.Day)
	if err != nil {
		return scheduler.Deadline{}, err
	}
	items, err := g.Items(pl.catalogue)
	if err != nil {
		return scheduler.Deadline{}, err
	}
	d := scheduler.Deadline{Name: g.Name, Day: time.Date(day.Year(), day.Month(), day.Day(), 20, 0, 0, 0, time.Local)}
	for _, it := range items {
		d.Items = append(d.Items, it.ID)
	}
	return d, nil
}

// gig finds a gig by its name, in either case; of several of that name, the
// next one to come.
func (pl *player) gig(name string) (gig.Gig, error) {
	for _, gigs := range [][]gig.Gig{pl.coming(), pl.gigs} {
		for _, g := range gigs {
			if strings.EqualFold(g.Name, strings.TrimSpace(name)) {
				return g, nil
			}
		}
	}
	return gig.Gig{}, usagef("no gig is called %q: 'surefret gig list' shows them all", name)
}

// learn brings the planner up to the end of the log. The snapshot spares
// replaying years of practice at each start; where it does not fit, because the
// items or the model changed, or older rows were merged in, the whole log is read.
func (pl *player) learn(ctx context.Context) error {
	from, state, ok, err := pl.db.Snapshot(ctx, pl.version())
	if err != nil {
		return err
	}
	if !ok || pl.planner.UnmarshalBinary(state) != nil {
		from = 0
	}
	if pl.read, err = pl.db.End(ctx); err != nil {
		return err
	}
	newest, _, err := pl.db.Newest(ctx)
	if err != nil {
		return err
	}
	pl.newest = newest.At
	pl.seen, pl.mixed = map[string]bool{}, false
	recent := time.Now().Add(-time.Minute)
	for r, err := range pl.db.Effective(ctx, from) {
		if err != nil {
			return err
		}
		pl.planner.Learn(session.Learnable(r))
		// What arrived after End was asked comes by catchUp again.
		if r.At.After(recent) {
			pl.seen[r.ID] = true
		}
	}
	return nil
}

// Append keeps a row of this sitting, which the session itself learns from.
func (pl *player) Append(ctx context.Context, r drills.Review) error {
	if err := pl.db.Append(ctx, r); err != nil {
		return err
	}
	pl.seen[r.ID] = true
	// After the clock has been set back, a row belongs before others.
	if at := r.At.Truncate(time.Millisecond); at.Before(pl.newest) {
		pl.mixed = true
	} else {
		pl.newest = at
	}
	return nil
}

// catchUp learns what another process added to the log since the last call.
func (pl *player) catchUp(ctx context.Context) error {
	rows, end, err := pl.db.Tail(ctx, pl.read)
	if err != nil {
		return err
	}
	pl.read = end
	for _, r := range rows {
		if pl.seen[r.ID] {
			continue
		}
		// Learned as it came, not in the order of the log: good enough to plan
		// by, not to be kept.
		pl.mixed = true
		if r.TakesBack == "" {
			pl.planner.Learn(session.Learnable(r))
		}
	}
	return nil
}

// skippedKey comes before the item's id in the key of the setting that says it
// was set aside.
const skippedKey = "skipped/"

// skip sets an item aside until the player takes up again what he skipped.
func (pl *player) skip(ctx context.Context, f practiceFlags, heard bool, item string) error {
	if err := pl.db.SetSetting(ctx, skippedKey+item, "true"); err != nil {
		return err
	}
	pl.skipped[item] = true
	return pl.narrowAgain(f, heard)
}

// takeUpSkipped brings back everything that was set aside.
func (pl *player) takeUpSkipped(ctx context.Context) error {
	for item := range pl.skipped {
		if err := pl.db.SetSetting(ctx, skippedKey+item, "false"); err != nil {
			return err
		}
	}
	clear(pl.skipped)
	return nil
}

// placedKey comes before the item's id in the key of the setting that holds the
// practice day on which it was proven in a placing, as a number.
const placedKey = "placed/"

// restProven is how long an item that was proven without being asked is left
// alone before it is met like any other.
const restProven = 60

// proven reports whether an item that was never asked was proven lately.
func (pl *player) proven(item string) bool {
	day, ok := pl.placed[item]
	if !ok {
		return false
	}
	if st, _ := pl.planner.State(item); st.Asked > 0 {
		return false
	}
	return scheduler.DayOf(pl.now(), time.Local)-day < restProven
}

// place keeps what a placing proved, and says it.
func (pl *player) place(ctx context.Context, p *session.Placing) []string {
	items, words := p.Proven()
	day := scheduler.DayOf(pl.now(), time.Local)
	for _, id := range items {
		if err := pl.db.SetSetting(ctx, placedKey+id, strconv.Itoa(int(day))); err != nil {
			return []string{"What was proven could not be kept: " + err.Error() + "."}
		}
		pl.placed[id] = day
	}
	if len(words) == 0 {
		return []string{"Nothing was proven: practice begins at the beginning."}
	}
	return []string{"Proven, and left alone for a while: " + strings.Join(words, "; ") + "."}
}

// typingKey is the key of the setting that holds the player's typing times.
const typingKey = "typing"

// keepTyping saves the typing times where they changed.
func (pl *player) keepTyping(ctx context.Context, t session.Typing) error {
	if t == pl.typing {
		return nil
	}
	pl.typing = t
	text, err := json.Marshal(t)
	if err != nil {
		return fmt.Errorf("keep the typing times: %w", err)
	}
	return pl.db.SetSetting(ctx, typingKey, string(text))
}

// Close keeps what was learned for the next start and closes the practice.
func (pl *player) Close(ctx context.Context) error {
	err := pl.keep(ctx)
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
	if err := pl.catchUp(ctx); err != nil || pl.mixed {
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
// their aims, and the place whose days it counts.
func (pl *player) version() string {
	h := sha256.New()
	fmt.Fprintln(h, time.Local, "1")
	for _, it := range pl.catalogue.Items() {
		fmt.Fprintln(h, it.ID, it.Aim, it.Kin)
	}
	return "memory " + hex.EncodeToString(h.Sum(nil)[:16])
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
