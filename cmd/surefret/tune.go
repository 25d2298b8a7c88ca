package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/practice"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/scheduler"
)

func (p *program) tuneCommand() *cobra.Command {
	var o hearingOptions
	var f neckFlags
	var asJSON, spoken, delay bool
	cmd := &cobra.Command{
		Use:   "tune",
		Short: "Tune: what each open string gives, and how far off it is",
		Long: "Listens for two seconds to the quiet room, then to the open strings, one after another, " +
			"in the tuning and with the capo of your settings. It ends when every string was in tune " +
			"the last time you played it, or with ctrl-c. What is up to 40 cents off is kept for the day, and taken into " +
			"account where you answer by playing. With --delay it plays notes on the loudspeaker " +
			"and measures how late the input hears them, for rehearsals that listen. " + untried,
		Example: "  surefret tune\n  surefret tune --tuning \"drop D\"\n  surefret tune --listen-from strings.wav --json",
		Args:    cli.Needs(),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if delay {
				if o.from != "" || asJSON {
					return usagef("--delay measures the loudspeaker and an input: leave --listen-from and --json out")
				}
				return p.withPlayer(cmd, func(ctx context.Context, pl *player) error { return p.tuneDelay(ctx, pl, o) })
			}
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
			ear, err := heard.ear(setup.Neck, s.ReferenceA, nil)
			if err != nil {
				return err
			}
			if ear.Calibration, err = p.calibration(setup, s.ReferenceA); err != nil {
				return err
			}
			reach, err := p.tune(cmd.Context(), ear, setup, asJSON, spoken)
			if err != nil {
				return err
			}
			if o.live && s.Delay == 0 && !asJSON {
				fmt.Fprintln(p.err, "How late this machine hears what it plays was not measured yet: 'surefret tune --delay' does.")
			}
			return p.keepTuned(context.WithoutCancel(cmd.Context()), ear.Calibration, reach)
		},
	}
	o.add(cmd.Flags())
	f.add(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print what was heard as JSON, at the end")
	cmd.Flags().BoolVar(&delay, "delay", false, "measure how late the input hears the loudspeaker, in place of tuning")
	cmd.Flags().BoolVar(&spoken, "line", false, "in plain sentences, without the marks")
	return cmd
}

// leastOver is how much louder than the room, in dB, the softest string has to be.
const leastOver = 10

// tune listens until every string was in tune, to the end of the recording, or until the
// player stops it. Reach is how long he took from being told the next string to its pluck,
// 0 where that was not seen.
func (p *program) tune(ctx context.Context, ear *hearing.Ear, setup drills.Setup, asJSON, spoken bool) (reach time.Duration, err error) {
	if !asJSON {
		fmt.Fprintln(p.err, "Keep quiet for two seconds.")
	}
	floor, err := ear.Quiet(ctx, 2*time.Second)
	if errors.Is(err, io.EOF) {
		return 0, usagef("the recording is over before two quiet seconds are: begin it with them")
	}
	if err != nil {
		return 0, err
	}
	if !asJSON {
		fmt.Fprintf(p.err, "The room is at %.0f dB. Now play the open strings, one after another; ctrl-c ends it.\n", floor)
	}
	heard := map[int]hearing.Tuned{}
	var gaps []time.Duration
	told, asked := time.Duration(0), 0
	for toTune(heard, setup.Neck) > 0 {
		s, _, err := ear.Tune(ctx, setup.Neck, 0)
		if errors.Is(err, io.EOF) || errors.Is(err, context.Canceled) {
			break
		}
		if err != nil {
			return 0, err
		}
		if s.String == asked && s.At > told {
			gaps = append(gaps, s.At-told)
		}
		heard[s.String] = s
		ear.Calibration.Heard(s)
		if !asJSON {
			fmt.Fprintln(p.out, tuneLine(s, setup, spoken))
		}
		if asJSON {
			continue
		}
		if told, asked = ear.Now(), toTune(heard, setup.Neck); asked > 0 {
			fmt.Fprintf(p.err, "Now string %d.\n", asked)
		}
		if asked == s.String { // it is turned before it is played again: that is no reach
			asked = 0
		}
	}
	if len(gaps) >= leastReached {
		reach = practice.Usual(gaps)
	}
	return reach, p.tuneSummary(heard, setup, floor, asJSON)
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

// keepTuned keeps how the strings sounded and how long they took to reach, 0 for not
// measured, where there is a practice.
func (p *program) keepTuned(ctx context.Context, c hearing.Calibration, reach time.Duration) error {
	path, err := p.databasePath()
	if err != nil {
		return err
	}
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) || len(c.Strings) == 0 {
		return nil
	}
	db, _, err := p.openLog(ctx)
	if err != nil {
		return err
	}
	kept, err := log{db}.Kept(ctx)
	if typing := kept.Typing; err == nil && reach > 0 {
		typing.Reach = reach
		err = db.KeepTyping(ctx, typing)
		fmt.Fprintf(p.err, "You take %s to reach a string: what you play may take that much longer than the aim.\n", practice.Seconds(reach))
	}
	return errors.Join(err, db.KeepTuned(ctx, c), db.Close())
}

// tuneLine says of one string how far off it is, in words, and as a mark on a line of a
// semitone: an o where it should be, an x where it is.
func tuneLine(s hearing.Tuned, setup drills.Setup, spoken bool) string {
	pitch := theory.FromMIDI(s.MIDI, setup.Flats)
	name := fmt.Sprintf("string %d, %s%d", s.String, setup.Names.Note(pitch.Note), pitch.Octave)
	words := sayOff(s.Cents)
	switch {
	case math.Abs(s.Cents) <= hearing.InTune:
		words = "in tune"
	case s.Cents < 0:
		words += ", turn it up"
	default:
		words += ", turn it down"
	}
	if spoken {
		return strings.ToUpper(name[:1]) + name[1:] + ": " + words + "."
	}
	const half = 20 // cells to either side, of 2.5 cents
	marks := []byte(strings.Repeat("-", 2*half+1))
	marks[half] = 'o'
	at := half + int(math.Round(max(-half, min(half, s.Cents/2.5))))
	if marks[at] = 'x'; at == half {
		marks[at] = '@'
	}
	return fmt.Sprintf("%-14s %s  %s", name, marks, words)
}

// sayOff says how far off a string is.
func sayOff(cents float64) string {
	if cents < 0 {
		return fmt.Sprintf("%.0f cents flat", -cents)
	}
	return fmt.Sprintf("%.0f cents sharp", cents)
}

// tuneSummary says what is left to do, and whether the room is quiet enough.
func (p *program) tuneSummary(heard map[int]hearing.Tuned, setup drills.Setup, floor float64, asJSON bool) error {
	all := []hearing.Tuned{}
	softest, missing := math.Inf(1), []string{}
	for str := setup.Neck.Tuning.Strings(); str >= 1; str-- {
		s, ok := heard[str]
		if !ok {
			missing = append(missing, fmt.Sprint(str))
			continue
		}
		all = append(all, s)
		softest = min(softest, s.Level)
	}
	if asJSON {
		return p.printJSON(struct {
			Floor   float64         `json:"floor"`
			Strings []hearing.Tuned `json:"strings"`
		}{math.Round(floor), all})
	}
	switch len(missing) {
	case 0:
	case 1:
		fmt.Fprintf(p.out, "Not heard: string %s.\n", missing[0])
	default:
		fmt.Fprintf(p.out, "Not heard: strings %s.\n", strings.Join(missing, ", "))
	}
	if over := softest - floor; len(all) > 0 && over < leastOver {
		p.printFolded("", fmt.Sprintf("The softest string is only %.0f dB over the room: go nearer to the microphone, or turn the input up.", over))
	}
	if toTune(heard, setup.Neck) == 0 {
		fmt.Fprintln(p.out, "All strings are in tune.")
	}
	return nil
}
