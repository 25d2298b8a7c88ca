package main

import (
	"errors"
	"math/rand/v2"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing/input"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/practice"
)

// practiceOptions narrow and shape one sitting.
type practiceOptions struct {
	practice.Narrowing
	minutes float64
	line    bool
	seed    uint64
	mute    bool
	aside   bool
	hears   input.Options
	typing  bool

	given func(flag string) bool // which of these the player gave; nil is none
}

// add declares the flags; the bare command takes the same ones.
func (o *practiceOptions) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	o.given = flags.Changed
	flags.Float64Var(&o.minutes, "minutes", 0, "minutes to practise, 1 to 60 (default: from set-up, 10 at first)")
	flags.IntSliceVar(&o.Strings, "strings", nil, "only what lies on these strings, 1 is the highest: 6,5")
	flags.StringSliceVar(&o.Drills, "drill", nil, "only these drills: "+practice.DrillNames())
	flags.StringSliceVar(&o.Keys, "keys", nil, "only these keys and the notes of their scales, like Eb,Ab")
	flags.StringVar(&o.Gig, "gig", "", "only what this gig needs, in the keys of its songs")
	flags.StringVar(&o.Frets, "frets", "", "only these frets, like 0-12 (key drills have no fret, so they are left out)")
	flags.StringVar(&o.Notes, "notes", "", "only single notes of one kind: naturals, sharps, flats")
	flags.BoolVar(&o.line, "line", false, "plain sentences instead of the full screen")
	flags.Uint64Var(&o.seed, "seed", 0, "repeat a sitting: the same number asks the same questions")
	flags.BoolVar(&o.aside, "aside", false, "ask again what you set aside")
	flags.BoolVar(&o.Placing, "placing", false, "a five-minute check of what you already know, so you are not drilled on it")
	flags.BoolVar(&o.Weak, "weak", false, "only your three weakest topics")
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
	if minutes == 0 && o.Placing {
		minutes = 5
	}
	if minutes == 0 {
		minutes = pl.Settings.Minutes
	}
	return time.Duration(minutes * float64(time.Minute))
}

// selection reads the flags that narrow the sitting, for this player's instrument.
func (o practiceOptions) selection(pl *kept.Practice) (practice.Selection, error) {
	timed := o.minutes != 0 || o.given != nil && o.given("minutes")
	if timed && !(o.minutes >= 1 && o.minutes <= 60) {
		return practice.Selection{}, usagef("--minutes %g: use 1 to 60; long sittings tire you more than they teach", o.minutes)
	}
	s, err := o.Narrowing.Selection(pl.Player)
	if err != nil {
		return s, cli.BadInput{Err: err}
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
		return usagef(nothing+": no song of %q names a shape that fits; name those you play with 'surefret song edit --shapes', or ask for other drills", o.Gig)
	case errors.Is(err, practice.ErrNoWeak):
		return usagef("nothing that you were asked is weak: practise without --weak, and something will be")
	case errors.Is(err, practice.ErrChoice):
		return usagef("%w: 'surefret choose' changes it", err)
	case errors.Is(err, practice.ErrNarrow):
		return usagef(nothing + " within these strings, frets, keys and drills: allow more of one of them")
	}
	return err
}
