package main

import (
	"context"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/score"
	"surefret/cmd/surefret/sheet"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
	"surefret/synth"
)

// moveFlags say how a part is moved and what is written.
type moveFlags struct {
	neckFlags
	playFlags
	from, to, how string
	asked         fingering.Asked
	beats         int
}

func (p *program) partCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "part",
		Short:   "Parts of your songs in tablature, and moving one to another key",
		Example: "  surefret part add intro.tab --song \"Tin Umbrella\"\n  surefret part list\n  surefret part move tin-umbrella.tab --from D --to C",
		Args:    cli.Needs(),
	}
	cmd.AddCommand(p.partAdd(), p.partList(), p.partEdit(), p.partRemove(), p.partMove())
	return cmd
}

func (p *program) partMove() *cobra.Command {
	var f moveFlags
	cmd := &cobra.Command{
		Use:   "move FILE --from KEY --to KEY",
		Short: "Move a part to another key as a player would, and say what breaks",
		Long: "Move a part in ASCII tablature to another key as a player would: on the same\n" +
			"strings, the same shapes some strings over, or in new places, whichever costs\n" +
			"least of what is in the hand, the nearer way first where it can be played; with\n" +
			"what that keeps and costs, and the ways that come next. Chord names above the\n" +
			"tablature are moved with it.\n\n" + synth.Caution,
		Example: "  surefret part move tin-umbrella.tab --from D --to C\n" +
			"  surefret part move tin-umbrella.tab --from D --to Ab --down --how other-strings --midi moved.mid",
		Args: cli.Needs("FILE"),
		RunE: func(cmd *cobra.Command, args []string) error { return p.move(cmd, args[0], f) },
	}
	cmd.Flags().StringVar(&f.from, "from", "", "the key the part is written in, like D or F#m")
	cmd.Flags().StringVar(&f.to, "to", "", "the key to move it to")
	cli.Required(cmd, "from", "to")
	cmd.Flags().StringVar(&f.how, "how", "", "only on the same-strings, on other-strings, or refinger for the easiest places")
	cmd.Flags().BoolVar(&f.asked.Up, "up", false, "only up the neck")
	cmd.Flags().BoolVar(&f.asked.Down, "down", false, "only down the neck")
	cmd.Flags().IntVar(&f.asked.Octave, "octave", 0, "so many octaves higher, or with a minus lower, -2 to 2")
	cmd.Flags().IntVar(&f.asked.Position, "position", 0, "only with the index finger at this fret, and open strings")
	addJSON(cmd, "print JSON")
	cmd.Flags().StringVar(&f.midi, "midi", "", "also write the moved part as a Standard MIDI File")
	cmd.Flags().StringVar(&f.wav, "wav", "", "also write the moved part as a sound file")
	cmd.Flags().IntVar(&f.beats, "beats", 4, "how many beats each bar holds, 1 to 16")
	f.neckFlags.add(cmd)
	f.addTempo(cmd, 90)
	return cmd
}

func (p *program) move(cmd *cobra.Command, name string, f moveFlags) error {
	if err := f.checkTempo(cmd); err != nil {
		return err
	}
	setup, _, err := p.instrument(cmd, f.neckFlags)
	if err != nil {
		return err
	}
	if f.midi == "-" || f.wav == "-" {
		return usagef("the moved part is printed, so no other file can go there: give a name in place of -")
	}
	from, err := setup.Names.ReadKey(f.from)
	if err != nil {
		return cli.BadInput{Err: err}
	}
	to, err := setup.Names.ReadKey(f.to)
	if err != nil {
		return cli.BadInput{Err: err}
	}
	text, err := cli.ReadTab(name)
	if err != nil {
		return err
	}
	tab, part, err := readTab(name, text, setup.Neck, f.tuning, f.beats)
	if err != nil {
		return cli.BadInput{Err: err}
	}
	part.Names = setup.Names
	f.asked.How = fingering.How(f.how)
	var offers fingering.Offers
	if f.asked == (fingering.Asked{}) {
		offers, err = fingering.MoveNear(part, from, to)
	} else {
		offers, err = fingering.Move(part, from, to, f.asked)
	}
	if err != nil {
		return cli.BadInput{Err: err}
	}
	moved := fretboard.Part{Neck: part.Neck, Events: offers[0].Events}
	if f.midi != "" || f.wav != "" {
		if err := p.soundPart(cmd.Context(), moved, f.playFlags); err != nil {
			return err
		}
	}
	return p.Show(offers, func() []string { return sheet.PartSentences(offers, speller(setup)) }, func() error {
		written, err := tab.WriteMoved(moved.Events, from, to, setup.Names)
		if err != nil {
			return err
		}
		return sheet.Part(p.Out, offers, cli.Shown(written), p.Columns(), p.Paper(""))
	})
}

// soundPart writes a part as the files that were asked for.
func (p *program) soundPart(ctx context.Context, part fretboard.Part, f playFlags) error {
	s, _, err := p.savedSetup(ctx)
	if err != nil {
		return err
	}
	f.tuned = part.Neck.Tuning
	return p.sounding(ctx, s, score.Part(part, false, f.tempo, s.ReferenceA), f)
}
