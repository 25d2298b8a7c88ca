package main

import (
	"context"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/report"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/synth/microphone"
)

// untried is what no claim is made of.
const untried = "Notes were tried on recorded instruments, not yet on a guitar in a room."

func (p *program) listenCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "listen",
		Short:   "What would be heard of your playing, and how surely",
		Example: "  surefret listen check take1.wav",
		Args:    cli.Needs(),
	}
	cmd.AddCommand(p.listenCheck())
	return cmd
}

func (p *program) listenCheck() *cobra.Command {
	var f neckFlags
	var asJSON, spoken bool
	cmd := &cobra.Command{
		Use:   "check FILE",
		Short: "Listen to a recording of single notes and say what was heard, and how surely",
		Long: "Listens to a WAVE file as a sitting with --listen would, and lists each note: when " +
			"it was plucked, its pitch, and whether it is sure. What is sure can be judged right or wrong; " +
			"what is 'right only' can be judged right, but is never called wrong; of what was not heard " +
			"nothing is logged. " + untried + " Record ten minutes of single notes with your own " +
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
			case asJSON:
				return p.printJSON(heard)
			}
			p.printHeard(heard, setup.Names, setup.Flats, spoken)
			return nil
		},
	}
	f.add(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print it as JSON")
	cmd.Flags().BoolVar(&spoken, "line", false, "in a few spoken sentences")
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

// printHeard lists what was heard.
func (p *program) printHeard(heard []hearing.Note, names theory.Names, flats, spoken bool) {
	sure, right, total := 0, 0, len(heard)
	for _, n := range heard {
		switch n.Sure {
		case hearing.Sure:
			sure++
		case hearing.RightOnly:
			right++
		}
		if spoken {
			continue
		}
		pitch := theory.FromMIDI(n.MIDI, flats)
		text := fmt.Sprintf("%8.2f s  %-5s %+4.0f cents  %4.0f dB  %s", n.At, names.Note(pitch.Note)+fmt.Sprint(pitch.Octave), n.Cents, n.Level, n.Sure)
		if n.Sure == hearing.NotHeard {
			text = fmt.Sprintf("%8.2f s  %-5s %11s  %3.0f dB  %s", n.At, "-", "", n.Level, n.Sure)
		}
		if n.Clipped {
			text += ", too loud: turn the input down"
		}
		fmt.Fprintln(p.out, text)
	}
	p.printFolded("", fmt.Sprintf("%s: %d sure, %d right only, %d not heard.", report.Many(total, "stroke"), sure, right, total-sure-right))
}

// A recording is listened to in place of a microphone. The zero recording is none.
type recording struct{ file *microphone.File }

// recording opens the one that the player named. From then on it is the clock of the
// practice.
func (o practiceOptions) recording(pl *player) (recording, error) {
	if o.from == "" {
		if o.typing {
			return recording{}, usagef("--typed-too goes with --listen-from")
		}
		return recording{}, nil
	}
	file, err := openRecording(o.from)
	if err != nil {
		return recording{}, err
	}
	begun := pl.Now()
	pl.Now = func() time.Time { return begun.Add(file.Position()) }
	return recording{file}, nil
}

func (r recording) close() {
	if r.file != nil {
		r.file.Close()
	}
}

// ear returns who listens to it, nil for nobody.
func (r recording) ear(pl *player) (line.Ear, error) {
	if r.file == nil {
		return nil, nil
	}
	e, err := hearing.New(r.file, pl.Setup().Neck, pl.Settings.ReferenceA)
	if err != nil {
		return nil, cli.BadInput{Err: err}
	}
	return e, nil
}
