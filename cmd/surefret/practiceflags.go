package main

import (
	"errors"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing/input"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/drills/fretboard"
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
	hears   input.Options
	typing  bool

	given func(flag string) bool // which of these the player gave; nil is none
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
	flags.Uint64Var(&o.seed, "seed", 0, "repeat a sitting: the same number asks the same questions")
	flags.BoolVar(&o.aside, "aside", false, "ask again what you set aside")
	flags.BoolVar(&o.placing, "placing", false, "a five-minute check of what you already know, so you are not drilled on it")
	flags.BoolVar(&o.weak, "weak", false, "only your three weakest topics")
	flags.BoolVar(&o.hears.Live, "listen", false, "answer by playing; the microphone is open as long as the sitting lasts")
	o.hears.AddPhones(flags)
	o.hears.Add(flags)
	flags.BoolVar(&o.typing, "typed-too", false, "where you play: what cannot be played is asked as well, to be typed")
	flags.BoolVar(&o.mute, "mute", false, "no sound this time")
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
func (o practiceOptions) length(pl *kept.Practice) time.Duration {
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
func (o practiceOptions) selection(pl *kept.Practice) (practice.Selection, error) {
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
		return usagef("%w: notes on a string, shapes and intervals, walk-ups, bars of your parts, and tenths, intervals and frets by ear can; '--typed-too' asks the rest to be typed", err)
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
