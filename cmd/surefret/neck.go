package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/practice"
)

func (p *program) neckCommand() *cobra.Command {
	var strs []int
	var frets, svg string
	cmd := &cobra.Command{
		Use:     "neck",
		Short:   "Show the map of the neck: what is sure, what is not, what was never asked",
		Example: "  surefret neck\n  surefret neck --strings 6,5 --frets 0-12\n  surefret neck --svg neck.svg",
		Args:    cli.Needs(),
		RunE: p.look(func(_ context.Context, pl *kept.Practice, _ []string) error {
			if err := practice.CheckStrings(strs, pl.Setup().Neck); err != nil {
				return cli.BadInput{Err: err}
			}
			between, err := practice.ReadFrets(frets, pl.Setup().Neck.Last())
			if err != nil {
				return cli.BadInput{Err: err}
			}
			m := pl.Map(strs, between)
			if svg != "" {
				return p.writeText(svg, m.SVG())
			}
			return p.Show(m, func() []string { return append(m.Sentences(), practice.SayWeak(pl.Weak())) }, func() error {
				fmt.Fprint(p.Out, m.Text(p.Columns(), p.Paper(pl.Settings.Drawing)))
				p.offerWeak(pl)
				return nil
			})
		}),
	}
	cmd.Flags().IntSliceVar(&strs, "strings", nil, "only these strings, 1 is the highest: 6,5")
	cmd.Flags().StringVar(&frets, "frets", "", "only these frets: 0-12")
	cmd.Flags().StringVar(&svg, "svg", "", "write the map as a picture")
	addJSON(cmd, "print the map as JSON")
	return cmd
}

// bold is a head as the output can show it.
func (p *program) bold(pl *kept.Practice, head string) string {
	return p.Paper(pl.Settings.Drawing).Paint(ink.Strong, head)
}
