package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/scheduler"
	"surefret/synth"
)

// practiceFlags narrow and shape one sitting.
type practiceFlags struct {
	minutes float64
	strings []int
	drills  []string
	keys    []string
	gig     string
	frets   string
	notes   string
	line    bool
	seed    uint64
	mute    bool
	aside   bool
	placing bool

	given func(flag string) bool // which of these the player gave; nil is none
}

func (p *program) practiceCommand() *cobra.Command {
	var f practiceFlags
	cmd := &cobra.Command{
		Use:   "practice",
		Short: "Practise for ten minutes, or as long as you say",
		Long: "Practise: one question at a time, the ones that most need it first. " +
			"Every answer is kept at once; stop whenever you like.\n\n" + synth.Caution,
		Example: "  surefret practice\n  surefret practice --minutes 5 --strings 6,5\n  surefret practice --line --mute",
		Args:    cli.Needs(),
		RunE:    func(cmd *cobra.Command, _ []string) error { return p.practise(cmd.Context(), f) },
	}
	f.add(cmd)
	return cmd
}

// add declares the flags; the bare command takes the same ones.
func (f *practiceFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	f.given = flags.Changed
	flags.Float64Var(&f.minutes, "minutes", 0, "length of the sitting, 1 to 60 (default: your setting, 10 at first)")
	flags.IntSliceVar(&f.strings, "strings", nil, "only what lies on these strings, 1 is the highest: 6,5")
	flags.StringSliceVar(&f.drills, "drill", nil, "only these drills: "+familyNames())
	flags.StringSliceVar(&f.keys, "keys", nil, "only these keys, and the notes and intervals of their scales: Eb,Ab")
	flags.StringVar(&f.gig, "gig", "", "only what this gig needs, in the keys of its songs")
	flags.StringVar(&f.frets, "frets", "", "only what lies between these frets; keys lie nowhere and are left out: 0-12")
	flags.StringVar(&f.notes, "notes", "", "only single notes of one kind: naturals, sharps, flats")
	flags.BoolVar(&f.line, "line", false, "plain sentences instead of the full screen")
	flags.Uint64Var(&f.seed, "seed", 0, "draw the questions from this seed, so that a session can be repeated")
	flags.BoolVar(&f.aside, "aside", false, "ask again what you set aside")
	flags.BoolVar(&f.placing, "placing", false, "two minutes in which you prove what you know already, so that it is not drilled")
	flags.BoolVar(&f.mute, "mute", false, "no sound this time")
}

// practise runs one sitting from the first question to the summary.
func (p *program) practise(ctx context.Context, f practiceFlags) (err error) {
	pl, err := p.openPlayer(ctx)
	if err != nil {
		return err
	}
	defer pl.closing(ctx, &err)
	now := pl.now
	if pl.complaint != nil {
		fmt.Fprintf(p.err, "surefret: %s\n", pl.complaint)
	}
	if pl.newest.After(now().Add(time.Hour)) {
		fmt.Fprintf(p.err, "surefret: the clock is behind your last answer, of %s: check the date; what you answer is kept either way\n",
			pl.newest.Local().Format("2006-01-02 15:04"))
	}
	defer p.backUp(ctx, pl)()
	if err := pl.check(f); err != nil {
		return err
	}
	if f.gig != "" {
		if g, err := pl.gig(f.gig); err == nil {
			p.tellWhich(pl, g, f.gig)
		}
	}
	lines := f.line || !p.fullScreen()
	if pl.fresh {
		if err := p.firstRun(ctx, pl, lines); err != nil {
			return err
		}
	}
	if err := p.askAfter(ctx, pl, lines); err != nil {
		return err
	}
	sound := p.openSound(ctx, pl, f.mute)
	defer sound.close()
	if f.aside {
		if err := pl.bringAllBack(ctx); err != nil {
			return err
		}
	}
	source, err := pl.narrow(f, sound.heard())
	if err != nil {
		return err
	}
	forGig := pl.forGig(source)
	if f.gig != "" {
		forGig = nil // source is that gig's already, whatever other gig needs the same
	}
	heard := sound.heard()
	var planner practice.Planner = pl.planner
	outlook := pl.outlook
	forget := func(scheduler.Answer) error { return pl.relearn(ctx) }
	if f.placing {
		placing := practice.NewPlacing(pl.planner, source.Items(), func(id string) bool { return pl.wanted(id) })
		planner, outlook = placing, func() []string { return pl.place(ctx, placing) }
		forget = func(r scheduler.Answer) error {
			placing.Forget(r)
			return pl.relearn(ctx)
		}
	}
	s := practice.New(practice.Config{
		Planner: planner,
		Source:  source,
		ForGig:  forGig,
		Log:     pl,
		Rand:    f.rand(now()),
		NewID:   pl.db.NewID,
		Day:     func(t time.Time) string { return scheduler.DayOf(t, time.Local).String() },
		Device:  pl.db.Device(),
		Length:  f.length(pl.settings),
		Before: func() error {
			// Questions that must be heard are left out once nothing is heard.
			if heard && !sound.heard() {
				heard = false
				if err := pl.narrowAgain(f, false); err != nil {
					return err
				}
			}
			return pl.catchUp(ctx)
		},
		SetAside:  func(item string) error { return pl.setAside(ctx, f, heard, item) },
		BringBack: func(item string) error { return pl.bringBack(ctx, f, heard, item) },
		Forget:    forget,
		Outlook:   outlook,
		Typing:    pl.typing,
	}, now())
	defer s.End() // a sitting that was broken off has learned what it logged
	if lines {
		return line.Runner{
			In: p.in, Out: p.out, Err: p.err, Now: now, Sound: sound.play, Notice: pl.notices(sound),
			Map: func() string {
				m, _ := pl.neckMap(nil, "") // fails for bad flags alone
				return m.Text(p.columns(), nil)
			},
		}.Run(ctx, s)
	}
	if err := p.practiceScreen(ctx, pl, s, sound, now); err != nil {
		return err
	}
	return pl.keepTyping(ctx, s.Typing())
}

// fullScreen reports whether both ends are a terminal that can redraw.
func (p *program) fullScreen() bool {
	in, ok := p.in.(*os.File)
	out, ok2 := p.screen().(*os.File)
	return ok && ok2 && term.IsTerminal(int(in.Fd())) && term.IsTerminal(int(out.Fd())) && p.getenv("TERM") != "dumb"
}

// rand returns the source that questions are drawn from.
func (f practiceFlags) rand(now time.Time) *rand.Rand {
	seed := f.seed
	if seed == 0 {
		seed = uint64(now.UnixNano())
	}
	return rand.New(rand.NewPCG(seed, 1))
}

// length is how long the sitting lasts.
func (f practiceFlags) length(s settings.Settings) time.Duration {
	minutes := f.minutes
	if minutes == 0 && f.placing {
		minutes = 2
	}
	if minutes == 0 {
		minutes = s.Minutes
	}
	return time.Duration(minutes * float64(time.Minute))
}

// check refuses flags that cannot be used, before anything is asked of the
// player. What suits his instrument is looked at again by narrow, since he may set
// another one up meanwhile.
func (pl *player) check(f practiceFlags) error {
	setup, err := f.setup(pl.settings)
	if err != nil {
		return err
	}
	if _, err := f.ofKind(pl.catalogue, setup); err != nil {
		return err
	}
	if f.gig != "" {
		_, err = pl.gig(f.gig)
	}
	return err
}

// setup is what questions depend on, narrowed by the flags.
func (f practiceFlags) setup(s settings.Settings) (drills.Setup, error) {
	timed := f.minutes != 0 || f.given != nil && f.given("minutes")
	if timed && !(f.minutes >= 1 && f.minutes <= 60) {
		return drills.Setup{}, usagef("--minutes %g: give 1 to 60; long sittings tire hand and head more than they teach", f.minutes)
	}
	setup, err := s.Setup()
	if err != nil {
		return setup, err
	}
	if setup.Frets, err = fretRange(f.frets, setup.Neck.Last()); err != nil {
		return setup, err
	}
	setup.OnlyKeys = len(f.keys) > 0
	for _, name := range f.keys {
		key, err := readKey(setup.Names, name)
		if err != nil {
			return setup, usagef("--keys: %w", err)
		}
		setup.Keys = append(setup.Keys, key)
	}
	for _, str := range f.strings {
		if str < 1 || str > setup.Neck.Tuning.Strings() {
			return setup, usagef("--strings %d: this instrument has strings 1 to %d", str, setup.Neck.Tuning.Strings())
		}
	}
	for _, name := range f.drills {
		if !slices.Contains(drills.Families(), drills.Family(name)) {
			return setup, usagef("--drill %s: expected %s", name, familyNames())
		}
	}
	return setup, nil
}

// narrow keeps the planner to what the flags ask for, and returns the catalogue
// to pose it from. The schedule of everything else is not touched.
func (pl *player) narrow(f practiceFlags, heard bool) (*drills.Catalogue, error) {
	setup, err := f.setup(pl.settings)
	if err != nil {
		return nil, err
	}
	setup.Sound = heard
	source := pl.catalogue
	if !heard || setup.OnlyKeys || f.frets != "" {
		source = drills.NewCatalogue(setup)
	}
	ofKind, err := f.ofKind(source, setup)
	if err != nil {
		return nil, err
	}
	needed := func(string) bool { return true }
	if f.gig != "" {
		g, err := pl.gig(f.gig)
		if err != nil {
			return nil, err
		}
		d, err := pl.deadline(g)
		if err != nil {
			return nil, err
		}
		needed = func(id string) bool { return slices.Contains(d.Items, id) }
		if source, err = g.Catalogue(source); err != nil {
			return nil, err
		}
	}
	wanted := func(it scheduler.Item) bool {
		item, ok := source.Item(it.ID)
		return ok && f.wants(item) && ofKind(it.ID) && needed(it.ID) && !pl.aside[it.ID] && (!pl.proven(it.ID) || f.gig != "" || f.placing)
	}
	pl.planner.Narrow(wanted)
	pl.wanted = func(id string) bool { return wanted(scheduler.Item{ID: id}) }
	if !slices.ContainsFunc(source.Items(), func(it drills.Item) bool { return pl.wanted(it.ID) }) {
		if !heard && slices.Contains(f.drills, "ear") {
			return source, usagef("%w: the ear drills need sound, and there is none now", errNothingLeft)
		}
		aside := func(it drills.Item) bool { return pl.aside[it.ID] && f.wants(it) && ofKind(it.ID) && needed(it.ID) }
		if slices.ContainsFunc(source.Items(), aside) {
			return source, usagef("%w: what fits is set aside, and 'surefret practice --aside' asks it again", errNothingLeft)
		}
		if f.gig != "" && slices.Contains(f.drills, "shape") {
			return source, usagef("%w: no song of %q names a shape that fits; name those you play with 'surefret gig song --shapes', or ask for other drills", errNothingLeft, f.gig)
		}
		return source, usagef("%w with these strings, frets, keys and drills: widen one of them", errNothingLeft)
	}
	return source, nil
}

// errNothingLeft ends a sitting that has begun, and refuses one that has not.
var errNothingLeft = errors.New("nothing to ask is left")

// narrowAgain narrows in the middle of a sitting: when nothing is left then, it
// is over.
func (pl *player) narrowAgain(f practiceFlags, heard bool) error {
	if _, err := pl.narrow(f, heard); !errors.Is(err, errNothingLeft) {
		return err
	}
	return nil
}

// wants reports whether an item is among the strings and drills asked for. What
// lies on no string is not, where strings or frets are.
func (f practiceFlags) wants(it drills.Item) bool {
	if len(f.drills) > 0 && !slices.Contains(f.drills, string(it.Family)) {
		return false
	}
	if len(f.strings) == 0 {
		return f.frets == "" || len(it.Strings) > 0
	}
	for _, str := range it.Strings {
		if !slices.Contains(f.strings, str) {
			return false
		}
	}
	return len(it.Strings) > 0
}

// ofKind returns the rule that keeps to single notes without an accidental, or
// to those with one; a sharp and a flat are the same places.
func (f practiceFlags) ofKind(c *drills.Catalogue, s drills.Setup) (func(id string) bool, error) {
	switch f.notes {
	case "":
		return func(string) bool { return true }, nil
	case report.Naturals, report.Sharps, report.Flats:
	default:
		return nil, usagef("--notes %q: expected %s, %s or %s", f.notes, report.Naturals, report.Sharps, report.Flats)
	}
	wanted := map[string]bool{}
	for str := range s.Neck.Tuning.Strings() {
		for fret := range 12 {
			at := fretboard.Position{String: str + 1, Fret: fret}
			if natural := s.Neck.Pitch(at, s.Flats).Alter == 0; natural == (f.notes == report.Naturals) {
				for _, id := range c.NotesAt(at) {
					wanted[id] = true
				}
			}
		}
	}
	return func(id string) bool { return wanted[id] }, nil
}

// fretRange reads "0-12" or "7"; an empty text is the whole neck.
func fretRange(text string, last int) ([2]int, error) {
	if text == "" {
		return [2]int{0, last}, nil
	}
	from, to, isRange := strings.Cut(text, "-")
	if !isRange {
		to = from
	}
	lo, err1 := strconv.Atoi(from)
	hi, err2 := strconv.Atoi(to)
	if err1 != nil || err2 != nil || lo < 0 || lo > hi || hi > last || hi == 0 {
		return [2]int{}, usagef("--frets %q: expected a range within 0 to %d, like 0-12", text, last)
	}
	return [2]int{lo, hi}, nil
}

func familyNames() string {
	var names []string
	for _, f := range drills.Families() {
		names = append(names, string(f))
	}
	return strings.Join(names, ",")
}

// firstRun asks for the settings where somebody can answer, and says which
// defaults it takes where nobody can.
func (p *program) firstRun(ctx context.Context, pl *player, lines bool) error {
	if lines {
		fmt.Fprintf(p.err, "No settings are saved: taking %s tuning, %d frets and %g minutes; 'surefret setup' changes that.\n",
			pl.settings.Tuning, pl.settings.Frets, pl.settings.Minutes)
		return nil
	}
	err := p.setUp(ctx, pl, false)
	if errors.Is(err, screen.ErrLeft) {
		return fmt.Errorf("%w: practice begins after it, so run this again, or 'surefret --line' to practise with what it showed", err)
	}
	if err != nil {
		return err
	}
	return p.calibrate(ctx, pl)
}
