package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/settings"
	"surefret/cmd/surefret/sheet"
	"surefret/cmd/surefret/spoken"
	"surefret/drills"
	"surefret/drills/fretboard"
)

// neckFlags let a command look at another neck than the player's own.
type neckFlags struct {
	tuning string
	capo   int
}

func (f *neckFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.tuning, "tuning", "", "another tuning than yours: a name like \"drop D\", or its open strings from low to high")
	cmd.Flags().IntVar(&f.capo, "capo", 0, "the fret of a capo; frets count from it")
}

// written is how the flags are typed again, "" for none.
func (f *neckFlags) written() (flags string) {
	if f.tuning != "" {
		flags = fmt.Sprintf(" --tuning %q", f.tuning)
	}
	if f.capo > 0 {
		flags += fmt.Sprintf(" --capo %d", f.capo)
	}
	return flags
}

// instrument returns the player's settings and his instrument, the neck changed as the
// flags say.
func (p *program) instrument(cmd *cobra.Command, f neckFlags) (setup drills.Setup, s settings.Settings, err error) {
	s, setup, err = p.savedSetup(cmd.Context())
	if err != nil {
		return setup, s, err
	}
	if f.tuning != "" {
		if setup.Neck.Tuning, err = fretboard.ReadTuning(f.tuning, setup.Names); err != nil {
			return setup, s, cli.BadInput{Err: err}
		}
	}
	if cmd.Flags().Changed("capo") {
		setup.Neck.Capo = f.capo
	}
	if err := setup.Neck.Check(); err != nil {
		return setup, s, cli.BadInput{Err: err}
	}
	return setup, s, nil
}

func (p *program) shapeCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "shape",
		Short:   "Movable shapes: which there are, and where they land",
		Example: "  surefret shape list\n  surefret shape show tenth-6-minor --root B",
		Args:    cli.Needs(),
	}
	cmd.AddCommand(p.shapeList(), p.shapeShow(), p.shapeAdd(), p.shapeEdit(), p.shapeRemove())
	return cmd
}

func (p *program) shapeList() *cobra.Command {
	var f neckFlags
	cmd := &cobra.Command{
		Use:     "list [WORD]",
		Short:   "List the movable shapes by family, all or those that a word means",
		Example: "  surefret shape list\n  surefret shape list triads-321\n  surefret shape list --tuning DADGAD --json",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			setup, _, err := p.instrument(cmd, f)
			if err != nil {
				return err
			}
			shapes := sheet.ShapesOn(setup.Neck)
			if len(args) > 0 {
				if shapes = shapes.Called(args[0]); len(shapes) == 0 {
					return usagef("no shape on this instrument is called %q: 'surefret shape list' names them all", args[0])
				}
			}
			tuning := setup.Neck.Tuning.Called(setup.Names)
			return p.Show(shapes, func() []string { return shapes.Sentences(tuning, len(args) > 0) },
				func() error { return shapes.Text(p.Out, p.Columns(), tuning, f.written(), p.Paper("")) })
		},
	}
	f.add(cmd)
	addJSON(cmd, "print JSON")
	return cmd
}

// oneShape finds the shape that a word means on a neck, its name as it is written or as
// it is said.
func oneShape(fb fretboard.Fretboard, word string) (fretboard.Recipe, error) {
	if r, err := fb.Shape(word); err == nil {
		return r, nil // its page says where it does not fit
	}
	for _, r := range fb.AllShapes() {
		if strings.EqualFold((spoken.Speller{}).Name(r.Name), strings.Join(strings.Fields(strings.ReplaceAll(word, ",", " ")), " ")) {
			return r, nil
		}
	}
	shapes, err := fretboard.ShapesCalled(fb, word)
	if err != nil {
		return fretboard.Recipe{}, cli.BadInput{Err: fmt.Errorf("%w; 'surefret shape list' names them all", err)}
	}
	if len(shapes) > 1 {
		var names []string
		for _, r := range shapes[:min(8, len(shapes))] {
			names = append(names, r.Name)
		}
		return fretboard.Recipe{}, usagef("%q means %d shapes: use the name of one, like %s", word, len(shapes), cli.InWords(names, "or"))
	}
	return shapes[0], nil
}

func (p *program) shapeShow() *cobra.Command {
	var f neckFlags
	var root string
	cmd := &cobra.Command{
		Use:   "show SHAPE --root NOTE",
		Short: "Show every place of a shape over a root: frets, fingers, notes",
		Long: "Show every place of a shape over a root: frets, fingers, notes.\n" +
			"For held tones, --root is the keynote.",
		Example: "  surefret shape show e-form-m7 --root F#\n  surefret shape show octave-6-4 --root G --tuning \"drop D\"",
		Args:    cli.Needs("SHAPE"),
		RunE: func(cmd *cobra.Command, args []string) error {
			setup, s, err := p.instrument(cmd, f)
			if err != nil {
				return err
			}
			shape, err := oneShape(setup.Neck, args[0])
			if err != nil {
				return err
			}
			note, err := setup.Names.ReadNote(root)
			if err != nil {
				return cli.BadInput{Err: err}
			}
			page := sheet.ShapeOf(shape, note, setup.Neck, setup.Names)
			if len(page.Places) == 0 && !p.JSON {
				return usagef("%s", page.Why)
			}
			return p.Show(page, func() []string { return page.Sentences(speller(setup)) },
				func() error { return page.Text(p.Out, p.Columns(), setup.Neck, setup.Names, s.LeftHanded, p.Paper("")) })
		},
	}
	cmd.Flags().StringVar(&root, "root", "", "the root, like Bb")
	cli.Required(cmd, "root")
	f.add(cmd)
	addJSON(cmd, "print JSON")
	return cmd
}
