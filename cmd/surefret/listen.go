package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/settings"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/synth/microphone"
)

// untried is what no claim is made of.
const untried = "Notes were tried on recorded instruments, not yet on a guitar in a room."

func (p *program) listenCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "listen",
		Short:   "What would be heard of your playing, and how clearly",
		Example: "  surefret listen check take1.wav",
		Args:    cli.Needs(),
	}
	cmd.AddCommand(p.listenCheck(), p.listenInputs())
	return cmd
}

func (p *program) listenCheck() *cobra.Command {
	var f neckFlags
	cmd := &cobra.Command{
		Use:   "check FILE",
		Short: "Listen to a recording of single notes and say what was heard, and how clearly",
		Long: "Listens to a WAVE file as a sitting with --listen would, and lists each stroke: when " +
			"it was plucked, its pitch, and how it was heard. A note that is clear is judged right or " +
			"wrong. One that is half clear is taken where it is the one asked for; where it is not, it is never " +
			"called wrong but asked for once more. A stroke with no pitch, as that of a chord, counts as " +
			"nothing. " + untried + " Record ten minutes of single notes with your own " +
			"guitar and microphone, keep the file, and see what is heard of it.",
		Example: "  surefret listen check take1.wav\n  surefret listen check take1.wav --json",
		Args:    cli.Needs("FILE"),
		RunE: func(cmd *cobra.Command, args []string) error {
			setup, _, err := p.instrument(cmd, f)
			if err != nil {
				return err
			}
			s, _, err := p.savedSetup(cmd.Context())
			if err != nil {
				return err
			}
			heard, err := p.checkRecording(cmd.Context(), args[0], setup.Neck, s.ReferenceA)
			switch {
			case err != nil:
				return err
			case p.JSON:
				return p.PrintJSON(append([]hearing.Note{}, heard...))
			}
			p.printHeard(heard, setup.Names, setup.Flats)
			return nil
		},
	}
	f.add(cmd)
	addJSON(cmd, "print it as JSON")
	return cmd
}

func (p *program) checkRecording(ctx context.Context, name string, neck fretboard.Fretboard, reference float64) ([]hearing.Note, error) {
	file, err := openRecording(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	e, err := hearing.New(file, neck, reference)
	if err != nil {
		return nil, cli.BadInput{Err: err}
	}
	return e.Check(ctx)
}

// openRecording opens a file that the player named.
func openRecording(name string) (*microphone.File, error) {
	file, err := microphone.OpenFile(name)
	if err != nil {
		return nil, usagef("cannot listen to %s: %w", cli.Shown(name), cli.Reason(err))
	}
	return file, nil
}

// printHeard lists what was heard, strokes that gave no pitch one after another in one
// line, and how much of it.
func (p *program) printHeard(heard []hearing.Note, names theory.Names, flats bool) {
	count := map[string]int{}
	for i := 0; i < len(heard); {
		n, run := heard[i], 1
		for n.Heard == hearing.NoPitch && i+run < len(heard) && heard[i+run].Heard == hearing.NoPitch {
			n.Level, n.Clipped = max(n.Level, heard[i+run].Level), n.Clipped || heard[i+run].Clipped
			run++
		}
		i += run
		count[n.Heard] += run
		if p.Speaking() {
			continue
		}
		name, cents, said := "-", "", n.Heard
		if n.Heard != hearing.NoPitch {
			pitch := theory.FromMIDI(n.MIDI, flats)
			name, cents = names.Note(pitch.Note)+fmt.Sprint(pitch.Octave), fmt.Sprintf("%+4.0f cents", n.Cents)
		}
		if run > 1 {
			said += fmt.Sprintf(", %d strokes up to %.2f s", run, heard[i-1].At)
		}
		if n.Clipped {
			said += ", too loud: turn the input down"
		}
		fmt.Fprintf(p.Out, "%8.2f s  %-5s %10s  %4.0f dB  %s\n", n.At, name, cents, n.Level, said)
	}
	p.PrintFolded(heardSummary(len(heard), count))
}

// heardSummary says how many strokes were heard how well, and what to do about it.
func heardSummary(total int, count map[string]int) string {
	if total == 0 {
		return "Nothing was heard."
	}
	var parts []string
	for _, part := range []struct{ heard, said string }{{hearing.Clear, "clear"}, {hearing.HalfClear, "half clear"}, {hearing.NoPitch, "without a pitch"}} {
		if n := count[part.heard]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, part.said))
		}
	}
	text := report.Many(total, "stroke") + ": " + strings.Join(parts, ", ") + "."
	if 2*count[hearing.NoPitch] > total {
		text += " Chords are not told apart: roll them, one string after another, or play single notes."
	}
	return text
}

// hearingOptions say what is listened to.
type hearingOptions struct {
	live   bool
	input  string
	from   string // a recording in place of an input
	phones bool
	set    bool // it listens since that is set, and not asked for this time
}

func (o *hearingOptions) add(flags *pflag.FlagSet) {
	flags.StringVar(&o.input, "input", "", "the input to listen to, by its name or a part of it: 'surefret listen inputs' lists them")
	flags.StringVar(&o.from, "listen-from", "", "listen to this recording, a WAVE file, as to a microphone")
}

// addPhones declares the flag of commands that sound while they listen.
func (o *hearingOptions) addPhones(flags *pflag.FlagSet) {
	flags.BoolVar(&o.phones, "headphones", false, "with --listen: you wear headphones, so what sounds is not heard by the input")
}

// on reports whether anything is listened to.
func (o hearingOptions) on() bool { return o.live || o.from != "" }

// A source is what is listened to: an input, or a recording. The zero source is none.
type source struct {
	live   *microphone.Microphone
	file   *microphone.File
	phones bool   // what sounds is not heard by it
	told   string // why there is none where one is set
}

// openSource opens what the player named, or else set.
func (p *program) openSource(ctx context.Context, o hearingOptions, s settings.Settings) (source, error) {
	switch {
	case o.from != "" && (o.live || o.input != ""):
		return source{}, usagef("--listen-from listens to a recording: leave --listen and --input out")
	case o.from != "":
		file, err := openRecording(o.from)
		return source{file: file}, err
	case o.input != "" && !o.live:
		return source{}, usagef("--input goes with --listen")
	case !o.live:
		return source{}, nil
	}
	live, err := microphone.Open(ctx, p.inputs(), cmp.Or(o.input, s.Input))
	if errors.Is(err, microphone.ErrUnnamed) {
		err = cli.BadInput{Err: err}
	}
	if err != nil {
		return source{}, fmt.Errorf("cannot listen: %w", err)
	}
	return source{live: live, phones: o.phones || s.Headphones}, nil
}

// inputs is the sound system that is listened to.
func (p *program) inputs() microphone.System {
	if p.system != nil {
		return p.system
	}
	return microphone.Machine()
}

func (s source) close() {
	switch {
	case s.file != nil:
		s.file.Close()
	case s.live != nil:
		s.live.Close()
	}
}

// inputLatency is about what lies between a sound and its sample where it was not measured:
// two periods of the device. What a server adds is not known.
const inputLatency = 20 * time.Millisecond

// said says what is listened to.
func (s source) said() string {
	if s.file != nil {
		return "recording"
	}
	return "microphone open"
}

// ear returns who listens to it, nil for nobody. Sounding reports whether the speaker
// sounds, nil where that muffles nothing. What the devices add is taken off as it was
// measured, or else is a guess.
func (s source) ear(neck fretboard.Fretboard, set settings.Settings, sounding func() bool) (*hearing.Ear, error) {
	var stream hearing.Stream
	switch {
	case s.file != nil:
		stream = s.file
	case s.live != nil:
		stream = s.live
	default:
		return nil, nil
	}
	e, err := hearing.New(stream, neck, set.ReferenceA)
	if err != nil {
		return nil, cli.BadInput{Err: err}
	}
	if s.live != nil {
		measured := time.Duration(set.Delay * float64(time.Millisecond))
		e.Latency, e.Sounding, e.Headphones = cmp.Or(measured, inputLatency), sounding, s.phones
	}
	return e, nil
}

func (p *program) listenInputs() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "inputs",
		Short:   "List the inputs that can be listened to",
		Example: "  surefret listen inputs\n  surefret listen inputs --json",
		Args:    cli.Needs(),
		RunE: func(cmd *cobra.Command, _ []string) error {
			inputs, err := microphone.Inputs(p.inputs())
			switch {
			case err != nil && !errors.Is(err, microphone.ErrNone):
				return err
			case p.JSON:
				return p.PrintJSON(append([]microphone.Input{}, inputs...))
			case len(inputs) == 0:
				fmt.Fprintln(p.Err, "This machine offers no input to listen to.")
			}
			for _, in := range inputs {
				if in.Default {
					in.Name += " (taken where none is named)"
				}
				fmt.Fprintln(p.Out, cli.Shown(in.Name))
			}
			return nil
		},
	}
	addJSON(cmd, "print it as JSON")
	return cmd
}
