package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/hearing/input"
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
			setup, s, err := p.instrument(cmd, f)
			if err != nil {
				return err
			}
			heard, err := input.Check(cmd.Context(), args[0], setup.Neck, s.ReferenceA)
			switch {
			case err != nil:
				return err
			case p.JSON:
				return p.PrintJSON(append([]hearing.Note{}, heard...))
			case !p.Speaking():
				for _, l := range input.Lines(heard, setup.Names, setup.Flats) {
					fmt.Fprintln(p.Out, l)
				}
			}
			p.PrintFolded(input.Summary(heard))
			return nil
		},
	}
	f.add(cmd)
	addJSON(cmd, "print it as JSON")
	return cmd
}

// inputs is the sound system that is listened to.
func (p *program) inputs() microphone.System {
	if p.system != nil {
		return p.system
	}
	return microphone.Machine()
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
