package main

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/schedulelab/board"
	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/gig"
	"surefret/scheduler"
	"surefret/store"
)

// demoBanner stands wherever the demo's data shows.
const demoBanner = "Invented data: the Saltmarsh Five, their town, their songs and their practice are made up."

// A demoPlayer is a guitarist of the Saltmarsh Five.
type demoPlayer struct {
	name    string
	family  string // of the simulated learner
	seed    uint64
	days    int           // since the first practice
	skips   float64       // chance of a day without practice
	sitting time.Duration // on the others
	course  []demoStretch
}

// A demoStretch is what a player practises from a day on: what any of the flags
// asks for.
type demoStretch struct {
	from  int
	flags []practiceFlags
}

// The band's two guitarists, after half a year. Wren sits down every other day
// and works her way up from the low strings; Odile now and then, for the next
// gig's keys and shapes.
var demoPlayers = []demoPlayer{
	{"Wren", "activation", 7, 182, 0.4, 6 * time.Minute, []demoStretch{
		{0, []practiceFlags{{strings: []int{6, 5}, drills: []string{"note"}}}},
		{45, []practiceFlags{{strings: []int{6, 5, 4}, drills: []string{"note"}}, {strings: []int{6, 5, 3}, drills: []string{"shape"}}, {keys: []string{"Bb", "Ab", "Eb", "F", "C", "G", "D"}}}},
		{100, []practiceFlags{{strings: []int{6, 5, 4, 3}, drills: []string{"note", "shape", "walkup"}}, {strings: []int{6, 5, 4}, drills: []string{"interval"}}, {keys: []string{"Bb", "Ab", "Eb", "F", "C", "G", "D", "Db", "A", "E"}}}},
		{165, []practiceFlags{{strings: []int{6, 5, 4, 3, 2}, drills: []string{"note"}}, {strings: []int{6, 5, 4, 3}, drills: []string{"shape", "interval", "walkup"}}, {keys: []string{"Bb", "Ab", "Eb", "F", "C", "G", "D", "Db", "A", "E", "B"}}}},
	}},
	{"Odile", "half-life", 11, 182, 0.6, 5 * time.Minute, []demoStretch{
		{0, []practiceFlags{{strings: []int{6, 5}, drills: []string{"note", "shape"}}, {keys: []string{"G", "D", "A", "E", "C"}}}},
		{70, []practiceFlags{{strings: []int{6, 5, 4}, drills: []string{"note", "walkup"}}, {strings: []int{6, 5, 3}, drills: []string{"shape"}}, {keys: []string{"G", "D", "A", "E", "C", "Bb", "Eb", "Db"}}}},
	}},
}

// wants reports whether a player practises an item on a day of the course.
func (d demoPlayer) wants(day int, it drills.Item) bool {
	var now []practiceFlags
	for _, s := range d.course {
		if day >= s.from {
			now = s.flags
		}
	}
	return slices.ContainsFunc(now, func(f practiceFlags) bool {
		if f.keys != nil {
			return slices.ContainsFunc(f.keys, func(key string) bool { return strings.HasPrefix(it.ID, "key/"+key+" major/") })
		}
		return f.wants(it)
	})
}

func (p *program) demoCommand() *cobra.Command {
	var who string
	cmd := &cobra.Command{
		Use:   "demo [COMMAND...]",
		Short: "Try everything on invented data, without touching your own",
		Long: "Fills a throw-away file with half a year of practice of two invented guitarists\n" +
			"of the Saltmarsh Five, and runs a command on it; without a command, practice.",
		Example: "  surefret demo\n  surefret demo neck\n  surefret demo gig show \"Harbour Fair\"\n  surefret demo --player Odile progress",
		Args:    cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			ctx := cmd.Context()
			d, err := findDemoPlayer(who)
			if err != nil {
				return err
			}
			path, err := p.demoFile(ctx, d)
			if err != nil {
				return err
			}
			fmt.Fprintf(p.err, "%s This is %s's.\n", demoBanner, d.name)
			if len(args) > 0 && args[0] == "demo" {
				return usagef("the demo is running already: name another command")
			}
			inner := *p
			inner.started = false
			defer func() { p.started = inner.started }()
			inner.banner = demoBanner
			return inner.execute(ctx, append([]string{"--db", path}, args...))
		},
	}
	cmd.Flags().SetInterspersed(false)
	cmd.Flags().StringVar(&who, "player", demoPlayers[0].name, "whose practice: Wren or Odile")
	return cmd
}

func findDemoPlayer(name string) (demoPlayer, error) {
	for _, d := range demoPlayers {
		if strings.EqualFold(d.name, name) {
			return d, nil
		}
	}
	return demoPlayer{}, usagef("--player %q: the Saltmarsh Five have two guitarists, Wren and Odile", name)
}

// demoFile returns the player's invented practice as of today, made where it is
// not there yet.
func (p *program) demoFile(ctx context.Context, d demoPlayer) (string, error) {
	now, err := p.clock()
	if err != nil {
		return "", err
	}
	today := scheduler.DayOf(now(), time.Local)
	dir := filepath.Join(os.TempDir(), fmt.Sprintf("surefret-demo-%d-%s", os.Getuid(), today))
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", fmt.Errorf("make room for the demo: %w", err)
	}
	// The folder for what is thrown away belongs to everyone: one that another
	// user put there under this name, or a link, is not trusted.
	if info, err := os.Lstat(dir); err != nil || !info.IsDir() || runtime.GOOS != "windows" && info.Mode().Perm() != 0o700 {
		return "", usagef("%s is not a folder of yours alone: remove it, then run this again", dir)
	}
	path := filepath.Join(dir, strings.ToLower(d.name)+".db")
	if _, err := os.Stat(path); err == nil {
		return path, nil
	}
	fmt.Fprintf(p.err, "Inventing %d days of practice, a few seconds...\n", d.days)
	making := path + ".making"
	os.Remove(making)
	db, err := store.Open(ctx, making)
	if err != nil {
		return "", err
	}
	if err := fillDemo(ctx, db, d, today); err != nil {
		db.Close()
		return "", err
	}
	if err := db.Close(); err != nil {
		return "", err
	}
	if err := os.Rename(making, path); err != nil {
		return "", fmt.Errorf("keep the demo: %w", err)
	}
	return path, nil
}

// fillDemo writes settings, gigs and the practice of every day before today.
func fillDemo(ctx context.Context, db *store.DB, d demoPlayer, today scheduler.Day) error {
	s := settings.Default()
	for key, value := range s.ToMap() {
		if err := db.SetSetting(ctx, key, value); err != nil {
			return err
		}
	}
	for _, g := range demoGigs(today) {
		g.ID = db.NewID(today.Start(time.Local))
		if err := db.PutGig(ctx, g); err != nil {
			return err
		}
	}
	setup, err := s.Setup()
	if err != nil {
		return err
	}
	setup.Keys = gig.Keys(demoGigs(today))
	catalogue := drills.NewCatalogue(setup)
	rows, err := inventPractice(catalogue, d, today, db.NewID)
	if err != nil {
		return err
	}
	return db.AppendAll(ctx, func(yield func(drills.Answer) bool) {
		for _, r := range rows {
			if !yield(r) {
				return
			}
		}
	})
}

// inventPractice lets a simulated learner sit down on the days of a player's habit
// and answer what the scheduler asks.
func inventPractice(c *drills.Catalogue, d demoPlayer, today scheduler.Day, newID func(time.Time) string) ([]drills.Answer, error) {
	items := schedulable(c.Items())
	planner, err := scheduler.NewPlanner(items, scheduler.Options{Location: time.Local})
	if err != nil {
		return nil, err
	}
	b := demoBoard(items)
	player, err := learner.New(d.family, b, d.seed)
	if err != nil {
		return nil, err
	}
	index := map[string]int{}
	for i, it := range items {
		index[it.ID] = i
	}
	rng := rand.New(rand.NewPCG(d.seed, 5))
	first := today - scheduler.Day(d.days)
	var rows []drills.Answer
	for day := first; day < today; day++ {
		if rng.Float64() < d.skips {
			continue // a day without practice
		}
		planner.Narrow(func(it scheduler.Item) bool {
			item, ok := c.Item(it.ID)
			return ok && d.wants(int(day-first), item)
		})
		began := day.Start(time.Local).Add(14*time.Hour + time.Duration(rng.IntN(180))*time.Minute)
		for at := began; at.Sub(began) < d.sitting; {
			choice, ok := planner.Next(at, d.sitting-at.Sub(began))
			if !ok {
				break
			}
			q, err := c.Ask(choice.Item, rng)
			if err != nil {
				return nil, err
			}
			i := index[choice.Item]
			since := at.Sub(first.Start(time.Local)).Hours() / 24
			a := player.Answer(i, since, learner.Luck{Retrieve: open01(rng), Time: open01(rng), Error: open01(rng)})
			at = at.Add(settings.Seconds(a.Thinking + 1.7)).Truncate(time.Millisecond)
			r := drills.Answer{
				ID: newID(at), At: at.UTC(), Day: day.String(), Item: choice.Item, Question: q.Text,
				Given: "simulated", Want: "simulated", Right: a.Right,
				Thinking: settings.Seconds(a.Thinking), Entry: drills.EntryKeys,
			}
			rows = append(rows, r)
			planner.Learn(scheduler.Answer{Item: r.Item, At: r.At, Right: r.Right, Thinking: r.Thinking})
			if !a.Right {
				at = at.Add(2800 * time.Millisecond) // reading what it was
			}
		}
	}
	return rows, nil
}

// open01 draws from the open interval between 0 and 1.
func open01(rng *rand.Rand) float64 { return math.Max(rng.Float64(), 1e-9) }

// demoBoard gives the learner the items with their kin, and how far one must
// count to work each out: the fret for a note, three steps for the rest.
func demoBoard(items []scheduler.Item) *board.Board {
	b := &board.Board{Items: items, Steps: make([]float64, len(items)), Kin: make([][]board.Link, len(items))}
	index := map[string]int{}
	for i, it := range items {
		index[it.ID] = i
	}
	for i, it := range items {
		b.Steps[i] = 3
		var fret int
		if _, rest, ok := strings.Cut(it.ID, "+"); ok && it.Family == "note" {
			if _, err := fmt.Sscanf(rest, "%d/", &fret); err == nil {
				b.Steps[i] = float64(min(fret, 12-fret))
			}
		}
		for _, k := range it.Kin {
			if j, ok := index[k.ID]; ok {
				b.Kin[i] = append(b.Kin[i], board.Link{Item: j, Weight: k.Weight})
			}
		}
	}
	return b
}

// demoPart is invented, in D with its open strings.
const demoPart = `Tin Umbrella, intro

e|-2-----3-2-|-0-----2-0-|
B|---3---3---|---2---2---|
G|-----2-----|-----2-----|
D|-0---------|-----------|
A|-----------|-0---------|
E|-----------|-----------|
`

// demoGigs are the band's next three dates, in keys that singers love and
// guitarists do not.
func demoGigs(today scheduler.Day) []gig.Gig {
	section := func(name, chords string) gig.Section { return gig.Section{Name: name, Chords: chords} }
	return []gig.Gig{
		{Name: "Harbour Fair", Day: (today + 5).String(), Songs: []gig.Song{
			{Title: "Tin Umbrella", Learned: "D", Called: "Bb", Tempo: 96, Shapes: []string{"tenth-6-major", "tenth-6-minor"}, Parts: []gig.Part{gig.NewPart("umbrella-intro.txt", demoPart)},
				Sections: []gig.Section{section("verse", "1 5 6- 4"), section("chorus", "4 5 1 1")}},
			{Title: "Ropewalk", Learned: "G", Called: "Ab", Tempo: 112, Shapes: []string{"e-form-major", "a-form-minor"},
				Sections: []gig.Section{section("verse", "1 4 1 5"), section("bridge", "2- 5 1 6-")}},
			{Title: "Low Water Waltz", Learned: "Am", Called: "C#m", Tempo: 84,
				Sections: []gig.Section{section("all", "i iv bVI V i")}},
		}},
		{Name: "Lantern Night", Day: (today + 19).String(), Songs: []gig.Song{
			{Title: "Cockle Row", Learned: "C", Called: "Eb", Tempo: 120, Shapes: []string{"triad-321-major-second"},
				Sections: []gig.Section{section("verse", "1 6- 4 5"), section("chorus", "4 1 5 1")}},
			{Title: "Salt on the Stairs", Learned: "E", Called: "F#", Tempo: 132,
				Sections: []gig.Section{section("verse", "1 b7 4 1")}},
		}},
		{Name: "Pilot Office Supper", Day: (today + 40).String(), Songs: []gig.Song{
			{Title: "Ninth Buoy", Learned: "A", Called: "Db", Tempo: 76, Shapes: []string{"tenth-5-major", "tenth-5-minor"},
				Sections: []gig.Section{section("verse", "1 3- 4 5"), section("chorus", "6- 4 1 5")}},
			{Title: "Chandler's Daughter", Learned: "G", Called: "B", Tempo: 104,
				Sections: []gig.Section{section("verse", "1 5 2- 4")}},
		}},
	}
}
