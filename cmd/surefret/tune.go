package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/screen"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/scheduler"
	"surefret/store"
)

func (p *program) tuneCommand() *cobra.Command {
	var o hearingOptions
	var f neckFlags
	var delay bool
	cmd := &cobra.Command{
		Use:   "tune",
		Short: "Tune: what each open string gives, and how far off it is",
		Long: "Listens for two seconds to the quiet room, then to the open strings, one after another, " +
			"in the tuning and with the capo of your settings. It ends when every string was in tune " +
			"the last time you played it, or with ctrl-c. What is up to 40 cents off is kept for the day, and taken into " +
			"account where you answer by playing or rehearse. With --delay it plays notes on the loudspeaker " +
			"and measures how late the input hears them: that is taken off the time of what you play. " + untried,
		Example: "  surefret tune\n  surefret tune --tuning \"drop D\"\n  surefret tune --listen-from strings.wav --json",
		Args:    cli.Needs(),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if delay {
				if o.from != "" || p.JSON {
					return usagef("--delay measures the loudspeaker and an input: leave --listen-from and --json out")
				}
				return p.withPlayer(func(ctx context.Context, pl *kept.Practice, _ []string) error { return p.tuneDelay(ctx, pl, o) })(cmd, nil)
			}
			return p.tuneStrings(cmd, o, f)
		},
	}
	o.add(cmd.Flags())
	f.add(cmd)
	addJSON(cmd, "print what was heard as JSON, at the end")
	cmd.Flags().BoolVar(&delay, "delay", false, "measure how late the input hears the loudspeaker, in place of tuning")
	return cmd
}

// tuneStrings hears the open strings, and keeps how they sounded.
func (p *program) tuneStrings(cmd *cobra.Command, o hearingOptions, f neckFlags) error {
	setup, s, err := p.instrument(cmd, f)
	if err != nil {
		return err
	}
	o.live = o.from == ""
	heard, err := p.openSource(cmd.Context(), o, s)
	if err != nil {
		return err
	}
	defer heard.close()
	ear, err := heard.ear(setup.Neck, s, nil)
	if err != nil {
		return err
	}
	if ear.Calibration, err = p.calibration(setup, s.ReferenceA); err != nil {
		return err
	}
	var reach time.Duration
	if p.FullScreen() && !p.JSON && !p.Speaking() {
		if heard.file != nil {
			heard.file.Paced = true
		}
		reach, err = p.showTuner(cmd.Context(), ear, setup, heard.said(), p.Look(s.Drawing))
	} else {
		reach, err = p.tune(cmd.Context(), ear, setup)
	}
	if err != nil {
		return err
	}
	if o.live && s.Delay == 0 && !p.JSON {
		fmt.Fprintln(p.Err, "How late this machine hears what it plays was not measured yet: 'surefret tune --delay' does.")
	}
	return p.keepTuned(context.WithoutCancel(cmd.Context()), ear.Calibration, reach)
}

// leastOver is how much louder than the room, in dB, the softest string has to be.
const leastOver = 10

// A tuner hears the open strings of one instrument.
type tuner struct {
	ear   *hearing.Ear
	setup drills.Setup
	heard map[int]hearing.Tuned
	asked int             // the string that was asked for, where another was heard before; 0 for none
	told  time.Duration   // when
	gaps  []time.Duration // from then to its pluck
}

// quiet listens to the room first.
func (t *tuner) quiet(ctx context.Context) error {
	err := t.ear.Quiet(ctx, 2*time.Second)
	if errors.Is(err, io.EOF) {
		return usagef("the recording is over before two quiet seconds are: begin it with them")
	}
	return err
}

// next waits for an open string.
func (t *tuner) next(ctx context.Context) (hearing.Tuned, error) {
	s, _, err := t.ear.Tune(ctx, t.setup.Neck, 0)
	if err != nil {
		return s, err
	}
	if s.String == t.asked && s.At > t.told {
		t.gaps = append(t.gaps, max(s.At-t.ear.Latency-t.told, time.Millisecond))
	}
	t.heard[s.String] = s
	t.ear.Calibration.Heard(s)
	return s, nil
}

// ask says what is to be played after a string, "" where all is in tune, and that it is too
// loud.
func (t *tuner) ask(last int) (said string) {
	if t.ear.Clipped() {
		said = "Too loud: turn the input down. "
	}
	if t.told, t.asked = t.ear.Now(), toTune(t.heard, t.setup.Neck); t.asked > 0 {
		said += fmt.Sprintf("Now string %d.", t.asked)
	}
	if t.asked == last { // it is turned before it is played again: that is no reach
		t.asked = 0
	}
	return strings.TrimSpace(said)
}

// reach is how long the player took from being told the next string to its pluck, 0 where
// that was not seen.
func (t *tuner) reach() time.Duration {
	if len(t.gaps) < leastReached {
		return 0
	}
	return practice.Usual(t.gaps)
}

// tune listens until every string was in tune, to the end of the recording, or until the
// player stops it, and returns his reach.
func (p *program) tune(ctx context.Context, ear *hearing.Ear, setup drills.Setup) (reach time.Duration, err error) {
	t := &tuner{ear: ear, setup: setup, heard: map[int]hearing.Tuned{}}
	if !p.JSON {
		fmt.Fprintln(p.Err, "Keep quiet for two seconds.")
	}
	if err := t.quiet(ctx); err != nil {
		return 0, err
	}
	if !p.JSON {
		fmt.Fprintf(p.Err, "The room is at %.0f dB. Now play the open strings, one after another; ctrl-c ends it.\n", ear.Calibration.Floor)
	}
	for toTune(t.heard, setup.Neck) > 0 {
		s, err := t.next(ctx)
		if errors.Is(err, io.EOF) || errors.Is(err, context.Canceled) {
			break
		}
		if err != nil {
			return 0, err
		}
		if p.JSON {
			continue
		}
		fmt.Fprintln(p.Out, tuneLine(s, setup, p.Speaking()))
		if ask := t.ask(s.String); ask != "" {
			fmt.Fprintln(p.Err, ask)
		}
	}
	return t.reach(), p.tuneSummary(t)
}

// showTuner is tune on the full screen.
func (p *program) showTuner(ctx context.Context, ear *hearing.Ear, setup drills.Setup, hears string, look ink.Look) (reach time.Duration, err error) {
	t := &tuner{ear: ear, setup: setup, heard: map[int]hearing.Tuned{}}
	quiet := false
	next := func(ctx context.Context) (screen.Tuning, error) {
		room := func() float64 { return ear.Calibration.Floor }
		if !quiet {
			if err := t.quiet(ctx); err != nil {
				return screen.Tuning{}, err
			}
			quiet = true
			return screen.Tuning{Room: room(), Ask: fmt.Sprintf("The room is at %.0f dB. Now play the open strings, one after another.", room())}, nil
		}
		s, err := t.next(ctx)
		if err != nil {
			return screen.Tuning{}, err
		}
		shown := screen.Tuning{Large: fmt.Sprintf("%d %s %s", s.String, setup.Names.Note(theory.FromMIDI(s.MIDI, setup.Flats).Note), shortOff(s.Cents)), Ask: t.ask(s.String), Room: room(), Softest: softest(t.heard)}
		for str := setup.Neck.Tuning.Strings(); str >= 1; str-- {
			if s, ok := t.heard[str]; ok {
				shown.Lines = append(shown.Lines, fmt.Sprintf("%-14s %s  %s", tuneName(s, setup), tuneMarks(s.Cents, 10, look.Scale()), shortOff(s.Cents)))
			}
		}
		if shown.Ask == "" {
			shown.Ask = "All strings are in tune."
		}
		return shown, nil
	}
	err = screen.Tune(ctx, screen.TuneOptions{
		Title: "Tuning: " + setup.Neck.Tuning.In(setup.Names), Hears: hears, Level: ear.Level, Next: next, Look: look, In: p.In, Out: p.Terminal(),
	})
	if err != nil {
		return 0, err
	}
	return t.reach(), p.tuneSummary(t)
}

// shortOff says how far off a string is, to be shown large.
func shortOff(cents float64) string {
	switch off := math.Abs(cents); {
	case off <= hearing.InTune:
		return "in tune"
	case cents < 0:
		return fmt.Sprintf("%.0f flat", off)
	default:
		return fmt.Sprintf("%.0f sharp", off)
	}
}

// leastReached is how many strings must have been reached for.
const leastReached = 3

// toTune is the lowest string that was not in tune when it was heard last, 0 for none.
func toTune(heard map[int]hearing.Tuned, neck fretboard.Fretboard) int {
	for str := neck.Tuning.Strings(); str >= 1; str-- {
		if s, ok := heard[str]; !ok || math.Abs(s.Cents) > hearing.InTune {
			return str
		}
	}
	return 0
}

// calibration begins one for an instrument, today.
func (p *program) calibration(setup drills.Setup, reference float64) (hearing.Calibration, error) {
	now, err := p.clock()
	if err != nil {
		return hearing.Calibration{}, err
	}
	c := hearing.Calibration{Day: scheduler.DayOf(now(), time.Local).String(), Reference: reference}
	for str := 1; str <= setup.Neck.Tuning.Strings(); str++ {
		c.Open = append(c.Open, setup.Neck.MIDI(fretboard.Position{String: str}))
	}
	return c, nil
}

// keepTuned keeps how the strings sounded, those that were heard earlier today among them,
// and how long they took to reach, 0 for not measured, where there is a practice.
func (p *program) keepTuned(ctx context.Context, c hearing.Calibration, reach time.Duration) error {
	at, err := p.dated()
	if err != nil {
		return err
	}
	if !at.Exists() || len(c.Strings) == 0 {
		return nil
	}
	db, _, err := at.OpenLog(ctx)
	if err != nil {
		return err
	}
	if err = keepReached(ctx, db, c, reach); err == nil && reach > 0 {
		fmt.Fprintf(p.Err, "You take %s to reach a string: what you play may take that much longer than the aim.\n", practice.Seconds(reach))
	}
	return errors.Join(err, db.Close())
}

func keepReached(ctx context.Context, db *store.DB, c hearing.Calibration, reach time.Duration) error {
	kept, err := db.Kept(ctx)
	if err != nil {
		return err
	}
	if err := db.KeepTuned(ctx, withEarlier(c, kept)); err != nil || reach == 0 {
		return err
	}
	var typing practice.Typing
	kept.Typing(&typing)
	typing.Reach = reach
	return db.KeepTyping(ctx, typing)
}

// tuneLine says of one string how far off it is, in words, and as a mark on a line.
func tuneLine(s hearing.Tuned, setup drills.Setup, spoken bool) string {
	words := sayOff(s.Cents)
	switch {
	case math.Abs(s.Cents) <= hearing.InTune:
		words = "in tune"
	case s.Cents < 0:
		words += ", turn it up"
	default:
		words += ", turn it down"
	}
	name := tuneName(s, setup)
	if spoken {
		return strings.ToUpper(name[:1]) + name[1:] + ": " + words + "."
	}
	return fmt.Sprintf("%-14s %s  %s", name, tuneMarks(s.Cents, 20, ink.Look{ASCII: true}.Scale()), words)
}

// tuneName names a string and its note.
func tuneName(s hearing.Tuned, setup drills.Setup) string {
	pitch := theory.FromMIDI(s.MIDI, setup.Flats)
	return fmt.Sprintf("string %d, %s%d", s.String, setup.Names.Note(pitch.Note), pitch.Octave)
}

// tuneMarks draws a line of a semitone, so many cells to either side, with where the string
// should be in its middle and a dot where it is.
func tuneMarks(cents float64, half int, scale ink.Scale) string {
	marks := slices.Repeat([]string{scale.Line}, 2*half+1)
	marks[half] = scale.Aim
	marks[half+int(math.Round(max(-50, min(50, cents))/50*float64(half)))] = scale.Dot
	return strings.Join(marks, "")
}

// sayOff says how far off a string is.
func sayOff(cents float64) string {
	if cents < 0 {
		return fmt.Sprintf("%.0f cents flat", -cents)
	}
	return fmt.Sprintf("%.0f cents sharp", cents)
}

// softest is the level of the string that was heard as the softest, 0 for none.
func softest(heard map[int]hearing.Tuned) float64 {
	least := 0.0
	for _, s := range heard {
		least = min(least, s.Level)
	}
	return least
}

// tuneSummary says what is left to do, and whether the room is quiet enough.
func (p *program) tuneSummary(t *tuner) error {
	heard, setup, floor := t.heard, t.setup, t.ear.Calibration.Floor
	all := []hearing.Tuned{}
	missing := []string{}
	for str := setup.Neck.Tuning.Strings(); str >= 1; str-- {
		s, ok := heard[str]
		if !ok {
			missing = append(missing, fmt.Sprint(str))
			continue
		}
		all = append(all, s)
	}
	if p.JSON {
		return p.PrintJSON(struct {
			Floor   float64         `json:"floor"`
			Strings []hearing.Tuned `json:"strings"`
		}{math.Round(floor), all})
	}
	switch len(missing) {
	case 0:
	case 1:
		fmt.Fprintf(p.Out, "Not heard: string %s.\n", missing[0])
	default:
		fmt.Fprintf(p.Out, "Not heard: strings %s.\n", strings.Join(missing, ", "))
	}
	switch over := softest(heard) - floor; {
	case len(all) == 0:
	case over < leastOver:
		p.PrintFolded(fmt.Sprintf("The softest string is only %.0f dB over the room: go nearer to the microphone, or turn the input up.", over))
	default:
		fmt.Fprintf(p.Out, "The softest string is %.0f dB over the room.\n", over)
	}
	if toTune(heard, setup.Neck) == 0 {
		fmt.Fprintln(p.Out, "All strings are in tune.")
	}
	return nil
}
