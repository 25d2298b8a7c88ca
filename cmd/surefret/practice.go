package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/signal"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/job"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/sound"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/synth"
)

// practiceOptions narrow and shape one sitting.
type practiceOptions struct {
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
	weak    bool
	hears   hearingOptions
	typing  bool

	given func(flag string) bool // which of these the player gave; nil is none
}

func (p *program) practiceCommand() *cobra.Command {
	var o practiceOptions
	cmd := &cobra.Command{
		Use:   "practice",
		Short: "Practise for ten minutes, or as long as you say",
		Long: "Practise: one question at a time, those that need it most first. " +
			"Every answer is saved at once, so stop whenever you like.\n\n" +
			"With --listen, or where the setting says so, you answer on the guitar what can be played: notes on a string, walk-ups, and tenths, intervals and frets by ear, so far. " +
			"The open strings are listened to first, for five seconds. A pluck counts from 20 ms before its samples come: " +
			"that of the input is a guess, and what a sound server adds is not known. " + untried + "\n\n" + synth.Caution,
		Example: "  surefret practice\n  surefret practice --minutes 5 --strings 6,5\n  surefret practice --line --mute",
		Args:    cli.Needs(),
		RunE:    func(cmd *cobra.Command, _ []string) error { return p.practise(cmd.Context(), o) },
	}
	o.add(cmd)
	return cmd
}

// add declares the flags; the bare command takes the same ones.
func (o *practiceOptions) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	o.given = flags.Changed
	flags.Float64Var(&o.minutes, "minutes", 0, "minutes to practise, 1 to 60 (default: from set-up, 10 at first)")
	flags.IntSliceVar(&o.strings, "strings", nil, "only what lies on these strings, 1 is the highest: 6,5")
	flags.StringSliceVar(&o.drills, "drill", nil, "only these drills: "+familyNames())
	flags.StringSliceVar(&o.keys, "keys", nil, "only these keys and the notes of their scales, like Eb,Ab")
	flags.StringVar(&o.gig, "gig", "", "only what this gig needs, in the keys of its songs")
	flags.StringVar(&o.frets, "frets", "", "only these frets, like 0-12 (key drills have no fret, so they are left out)")
	flags.StringVar(&o.notes, "notes", "", "only single notes of one kind: naturals, sharps, flats")
	flags.BoolVar(&o.line, "line", false, "plain sentences instead of the full screen")
	flags.Uint64Var(&o.seed, "seed", 0, "repeat a session: the same number asks the same questions")
	flags.BoolVar(&o.aside, "aside", false, "ask again what you set aside")
	flags.BoolVar(&o.placing, "placing", false, "a five-minute check of what you already know, so you are not drilled on it")
	flags.BoolVar(&o.weak, "weak", false, "only your three weakest topics")
	flags.BoolVar(&o.hears.live, "listen", false, "answer by playing; the microphone is open as long as the sitting lasts")
	o.hears.addPhones(flags)
	o.hears.add(flags)
	flags.BoolVar(&o.typing, "typed-too", false, "where you play: what cannot be played is asked as well, to be typed")
	flags.BoolVar(&o.mute, "mute", false, "no sound this time")
}

// practise runs one sitting from the first question to the summary.
func (p *program) practise(ctx context.Context, o practiceOptions) (err error) {
	if p.saving != nil {
		p.saving.Lock()
		defer p.saving.Unlock()
	}
	pl, err := p.openPlayer(ctx)
	if err != nil {
		return err
	}
	defer pl.closing(ctx, &err)
	defer p.backUp(ctx, pl)()
	p.warn(pl)
	// Before anything is asked of the player; he may set another instrument up yet.
	sel, err := o.selection(pl)
	if err != nil {
		return err
	}
	heard, err := p.openHeard(ctx, pl, &o)
	if err != nil {
		return err
	}
	defer heard.close()
	lines, keyboard := p.inLines(pl, o.line), p.keyboard()
	switch {
	case heard.file != nil && lines: // its clock is that of the sitting
		begun := pl.Now()
		pl.Now = func() time.Time { return begun.Add(heard.file.Position()) }
	case heard.file != nil:
		heard.file.Paced = true
	}
	if sel.Gig != nil {
		p.tellWhich(pl, *sel.Gig, o.gig)
	}
	if pl.Fresh {
		if err := p.firstRun(ctx, pl, lines, &o); err != nil {
			return err
		}
	}
	if err := p.askAfter(ctx, pl, lines); err != nil {
		return err
	}
	snd := p.openSound(ctx, pl, o.mute || heard.file != nil)
	defer snd.Close(ctx)
	if o.aside {
		if err := p.bringBack(ctx, pl); err != nil {
			return err
		}
	}
	if sel, err = o.selection(pl); err != nil {
		return err
	}
	sel.Heard, sel.Played = snd.Heard(), o.hears.on() && !o.typing
	var typed *line.Input
	if lines {
		if typed, err = p.listen(ctx, pl, keyboard); err != nil {
			return err
		}
	}
	if !lines && o.placing && pl.Settings.Times && pl.Typing().Letters == 0 {
		if err := p.calibrate(ctx, pl); err != nil { // or no answer of the placing is in time
			return err
		}
	}
	sitting := practice.Options{Selection: sel, Rand: o.rand(pl.Now()), Length: o.length(pl), Heard: snd.Heard, Stopped: job.Begin(ctx).Stopped, Show: true}
	if typed != nil {
		sitting.Spoken = speller(pl.Setup()).Text
	}
	s, err := pl.Begin(sitting)
	if errors.Is(err, practice.ErrUnplayable) && o.hears.set { // it gives way
		sitting.Selection.Played = false
		s, err = pl.Begin(sitting)
	}
	if err != nil {
		return o.nothingLeft(err)
	}
	if lines {
		return p.practiseLines(ctx, pl, s, snd, typed, heard)
	}
	return p.practiseScreen(ctx, pl, s, snd, heard, o)
}

// openSound returns the sound of a sitting.
func (p *program) openSound(ctx context.Context, pl *player, mute bool) *sound.Sound {
	if mute || !pl.Settings.Sound {
		return &sound.Sound{}
	}
	return sound.Open(p.device, pl.Settings, func() string { return caution(ctx, pl.db) })
}

// bringBack asks again what was set aside, and says how much that is.
func (p *program) bringBack(ctx context.Context, pl *player) error {
	n, err := pl.BringAllBack(ctx)
	if err != nil {
		return err
	}
	if n == 0 {
		fmt.Fprintln(p.err, "Nothing was set aside.")
	} else {
		fmt.Fprintf(p.err, "Asked again: %s that you set aside.\n", report.Many(n, "item"))
	}
	return nil
}

// practiseLines runs a sitting in plain sentences; typed is nil where answers come by
// a pipe.
func (p *program) practiseLines(ctx context.Context, pl *player, s *practice.Sitting, snd *sound.Sound, typed *line.Input, heard source) error {
	signal.Ignore(syscall.SIGPIPE) // whoever listened is gone, and answers may still wait to be saved
	in := p.in
	if typed != nil {
		in = typed
	}
	ear, told, err := p.sittingEar(ctx, pl, s, heard, snd)
	if err != nil {
		return err
	}
	if told != "" {
		fmt.Fprintln(p.err, told)
	}
	neck := func() string { return pl.Map(nil, [2]int{}).Text(p.columns(), ink.Look{ASCII: p.ascii()}) }
	var words func(string) string
	if typed != nil || pl.Settings.Speak {
		words = speller(pl.Setup()).Text
		neck = func() string { return strings.Join(pl.Map(nil, [2]int{}).Sentences(), "\n") }
	}
	runner := line.Runner{
		Words: words, Map: neck,
		Live: heard.live != nil, Waits: typed != nil, In: in, Out: p.out, Err: p.err, Now: pl.Now, Sound: snd.Play, Notice: notices(pl, snd),
	}
	if ear != nil {
		runner.Ear = ear
	}
	err = runner.Run(ctx, s)
	if errors.Is(err, line.ErrInterrupted) {
		err = screen.ErrInterrupted
	}
	if kept := pl.KeepTyping(context.WithoutCancel(ctx), s.Typing()); err == nil {
		err = kept
	}
	return err
}

// practiseScreen runs a sitting on the full screen, and those on what is weak that the
// player asks for after it.
func (p *program) practiseScreen(ctx context.Context, pl *player, s *practice.Sitting, snd *sound.Sound, heard source, o practiceOptions) error {
	ear, told, err := p.sittingEar(ctx, pl, s, heard, snd)
	if err != nil {
		return err
	}
	unmeasured := pl.Typing().Letters == 0 // whatever the answers tell of his hand meanwhile
	more := func() (*practice.Sitting, error) {
		if err := pl.KeepTyping(ctx, s.Typing()); err != nil {
			return nil, err
		}
		weak := practice.Options{Selection: practice.Selection{Weak: true, Heard: snd.Heard(), Played: ear != nil && !o.typing}, Rand: o.rand(pl.Now()), Length: 2 * time.Minute, Heard: snd.Heard, Stopped: job.Begin(ctx).Stopped, Show: true}
		next, err := pl.Begin(weak)
		if err == nil {
			s = next
		}
		return next, err
	}
	shown := p.screenOptions(pl, pl.Setup(), s, snd)
	shown.More = more
	if ear != nil {
		shown.Ear, shown.Hears = ear, heard.said()
	}
	usual := shown.Notice
	shown.Notice = func() string {
		if said := told; said != "" {
			told = ""
			return said
		}
		return usual()
	}
	err = screen.Practice(ctx, shown)
	if ctx.Err() != nil || errors.Is(err, screen.ErrInterrupted) {
		for _, l := range s.Summary(ctx, pl.Now()).Lines() {
			p.printFolded("", l)
		}
	}
	if kept := pl.KeepTyping(context.WithoutCancel(ctx), s.Typing()); err == nil {
		err = kept
	}
	if err == nil && ctx.Err() == nil && s.Answered() > 0 && unmeasured && ear == nil {
		err = p.calibrate(ctx, pl)
	}
	return err
}

// warn tells of a setting that cannot be used, and of a clock that is behind.
func (p *program) warn(pl *player) {
	if pl.Complaint != nil {
		fmt.Fprintf(p.err, "surefret: %s\n", pl.Complaint)
	}
	if newest := pl.Newest(); newest.After(pl.Now().Add(time.Hour)) {
		fmt.Fprintf(p.err, "surefret: your last answer is dated %s, later than this computer's clock: check the date; answers are saved anyway\n",
			newest.Local().Format("2006-01-02 15:04"))
	}
}

// notices returns what to say before a question: that answers are held, or what the
// sound has to say.
func notices(pl *player, s *sound.Sound) func() string {
	return func() string {
		if text := pl.Notice(); text != "" {
			return text
		}
		return s.Notice()
	}
}

// fullScreen reports whether both ends are a terminal that can redraw.
func (p *program) fullScreen() bool {
	in, ok := p.in.(*os.File)
	out, ok2 := p.screen().(*os.File)
	return ok && ok2 && term.IsTerminal(int(in.Fd())) && term.IsTerminal(int(out.Fd())) && p.getenv("TERM") != "dumb"
}

// rand returns the source that questions are drawn from.
func (o practiceOptions) rand(now time.Time) *rand.Rand {
	seed := o.seed
	if seed == 0 {
		seed = uint64(now.UnixNano())
	}
	return rand.New(rand.NewPCG(seed, 1))
}

// length is how long the sitting lasts.
func (o practiceOptions) length(pl *player) time.Duration {
	minutes := o.minutes
	if minutes == 0 && o.placing {
		minutes = 5
	}
	if minutes == 0 {
		minutes = pl.Settings.Minutes
	}
	return time.Duration(minutes * float64(time.Minute))
}

// selection reads the flags that narrow the sitting, for this player's instrument.
func (o practiceOptions) selection(pl *player) (practice.Selection, error) {
	s := practice.Selection{Strings: o.strings, Notes: o.notes, Placing: o.placing, Weak: o.weak}
	timed := o.minutes != 0 || o.given != nil && o.given("minutes")
	if timed && !(o.minutes >= 1 && o.minutes <= 60) {
		return s, usagef("--minutes %g: use 1 to 60; long sittings tire you more than they teach", o.minutes)
	}
	setup := pl.Setup()
	var err error
	if s.Frets, err = fretRange(o.frets, setup.Neck.Last()); err != nil {
		return s, err
	}
	for _, name := range o.keys {
		key, err := setup.Names.ReadKey(name)
		if err != nil {
			return s, usagef("--keys: %w", err)
		}
		s.Keys = append(s.Keys, key)
	}
	if err := stringsOf(o.strings, setup.Neck); err != nil {
		return s, err
	}
	for _, name := range o.drills {
		if !slices.Contains(drills.Families(), drills.Family(name)) {
			return s, usagef("--drill %s: use %s", name, familyNames())
		}
		s.Drills = append(s.Drills, drills.Family(name))
	}
	switch o.notes {
	case "", report.Naturals, report.Sharps, report.Flats:
	default:
		return s, usagef("--notes %q: use %s, %s or %s", o.notes, report.Naturals, report.Sharps, report.Flats)
	}
	if o.gig != "" {
		g, ok := pl.FindGig(o.gig)
		if !ok {
			return s, noGig(o.gig)
		}
		s.Gig = &g
	}
	return s, nil
}

// nothingLeft says what can be done where the flags leave nothing to ask.
func (o practiceOptions) nothingLeft(err error) error {
	const nothing = "nothing left to ask"
	switch {
	case errors.Is(err, practice.ErrNoSound):
		return cli.BadInput{Err: err}
	case errors.Is(err, practice.ErrUnplayable):
		return usagef("%w: notes on a string, walk-ups, and tenths, intervals and frets by ear can; '--typed-too' asks the rest to be typed", err)
	case errors.Is(err, practice.ErrAside):
		return usagef("%w, and 'surefret practice --aside' asks it again", err)
	case errors.Is(err, practice.ErrNoShapes):
		return usagef(nothing+": no song of %q names a shape that fits; name those you play with 'surefret song edit --shapes', or ask for other drills", o.gig)
	case errors.Is(err, practice.ErrNoWeak):
		return usagef("nothing that you were asked is weak: practise without --weak, and something will be")
	case errors.Is(err, practice.ErrChoice):
		return usagef("%w: 'surefret choose' changes it", err)
	case errors.Is(err, practice.ErrNarrow):
		return usagef(nothing + " within these strings, frets, keys and drills: allow more of one of them")
	}
	return err
}

// stringsOf refuses strings that the instrument has not.
func stringsOf(strs []int, neck fretboard.Fretboard) error {
	for _, str := range strs {
		if str < 1 || str > neck.Tuning.Strings() {
			return usagef("--strings %d: this instrument has strings 1 to %d", str, neck.Tuning.Strings())
		}
	}
	return nil
}

// fretRange reads "0-12" or "7"; an empty text is the whole neck, all zero.
func fretRange(text string, last int) ([2]int, error) {
	if text == "" {
		return [2]int{}, nil
	}
	from, to, isRange := strings.Cut(text, "-")
	if !isRange {
		to = from
	}
	lo, err1 := strconv.Atoi(from)
	hi, err2 := strconv.Atoi(to)
	if err1 != nil || err2 != nil || lo < 0 || lo > hi || hi > last || hi == 0 {
		return [2]int{}, usagef("--frets %q: use a range within 0 to %d, like 0-12", text, last)
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
