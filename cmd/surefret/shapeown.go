package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/drills/fretboard"
)

// ownFlags are the frets of a shape and its root.
type ownFlags struct {
	frets string
	root  int
}

func (f *ownFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.frets, "frets", "", "its frets at one place, from the lowest string, like \"x x 11 9 10 x\"")
	cmd.Flags().IntVar(&f.root, "root-string", 0, "the string that holds the root")
}

func (p *program) shapeAdd() *cobra.Command {
	var f ownFlags
	cmd := &cobra.Command{
		Use:     "add NAME",
		Short:   "Add a shape of your own: its degrees are worked out, and it is drilled",
		Example: "  surefret shape add bell-chord --frets \"x x 11 9 10 x\" --root-string 3",
		Args:    cli.Needs("NAME"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.changeShape(cmd, args[0], false, func(o *fretboard.OwnShape) { o.Frets, o.RootString = f.frets, f.root })
		},
	}
	f.add(cmd)
	cli.Required(cmd, "frets", "root-string")
	return cmd
}

func (p *program) shapeEdit() *cobra.Command {
	var f ownFlags
	cmd := &cobra.Command{
		Use:     "edit NAME",
		Short:   "Change the frets or the root of a shape of your own",
		Long:    "Change the frets or the root of a shape of your own. Answers to it as it was stay\nin the log; as it is now it is met anew.",
		Example: "  surefret shape edit bell-chord --root-string 4",
		Args:    cli.Needs("NAME"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if !cmd.Flags().Changed("frets") && !cmd.Flags().Changed("root-string") {
				return usagef("nothing to change: give --frets or --root-string")
			}
			return p.changeShape(cmd, args[0], true, func(o *fretboard.OwnShape) {
				if cmd.Flags().Changed("frets") {
					o.Frets = f.frets
				}
				if cmd.Flags().Changed("root-string") {
					o.RootString = f.root
				}
			})
		},
	}
	f.add(cmd)
	return cmd
}

func (p *program) shapeRemove() *cobra.Command {
	return &cobra.Command{
		Use:     "remove NAME",
		Short:   "Remove a shape of your own; its answers stay in the log",
		Example: "  surefret shape remove bell-chord",
		Args:    cli.Needs("NAME"),
		RunE: p.withPlayer(func(ctx context.Context, pl *kept.Practice, args []string) error {
			_, found, err := pl.OwnShape(ctx, args[0])
			if err == nil && !found {
				err = usagef("there is no shape of yours called %q: 'surefret shape list' shows those there are", args[0])
			}
			if err == nil {
				err = pl.DB.RemoveShape(ctx, args[0])
			}
			if err != nil {
				return err
			}
			fmt.Fprintf(p.Out, "Removed your shape %s. Its answers stay in the log.\n", args[0])
			return nil
		}),
	}
}

// changeShape adds a shape, or edits one that is there, and says what it is.
func (p *program) changeShape(cmd *cobra.Command, name string, edit bool, change func(*fretboard.OwnShape)) error {
	return p.withPlayer(func(ctx context.Context, pl *kept.Practice, _ []string) error {
		neck := pl.Setup().Neck
		shape, found, err := pl.OwnShape(ctx, name)
		switch {
		case err != nil:
			return err
		case edit && !found:
			return usagef("there is no shape of yours called %q: use 'surefret shape add'", name)
		case !edit && found:
			return usagef("there is a shape of yours called %s already: use 'surefret shape edit'", name)
		}
		shape.Name = name
		if change(&shape); shape.Frets != "" && (!edit || cmd.Flags().Changed("frets")) {
			shape.Tuning = neck.Tuning.String()
		}
		r, err := shape.Recipe()
		if err == nil {
			err = r.Fits(neck)
		}
		if err != nil {
			return cli.BadInput{Err: err}
		}
		if err := pl.DB.KeepShape(ctx, shape); err != nil {
			return err
		}
		fmt.Fprintf(p.Out, "Your shape %s: from the lowest string %s, with 1 on string %d.\n", name, r.Degrees(), r.Root)
		return nil
	})(cmd, nil)
}
