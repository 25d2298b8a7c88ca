package main

import (
	"context"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/practice"
)

func (p *program) neckCommand() *cobra.Command {
	var strs []int
	var frets, svg string
	var asJSON bool
	var listens speech
	cmd := &cobra.Command{
		Use:     "neck",
		Short:   "Show the map of the neck: what is sure, what is not, what was never asked",
		Example: "  surefret neck\n  surefret neck --strings 6,5 --frets 0-12\n  surefret neck --svg neck.svg",
		Args:    cli.Needs(),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return p.look(cmd, func(_ context.Context, pl *player) error {
				if err := stringsOf(strs, pl.Setup().Neck); err != nil {
					return err
				}
				between, err := fretRange(frets, pl.Setup().Neck.Last())
				if err != nil {
					return err
				}
				m := pl.Map(strs, between)
				switch {
				case svg != "":
					return p.write(svg, func(w io.Writer) error { _, err := io.WriteString(w, m.SVG()); return err })
				case asJSON:
					return p.printJSON(m)
				}
				if listens.on(pl.Settings) {
					return p.say(pl.Setup(), append(m.Sentences(), practice.SayWeak(pl.Weak())))
				}
				fmt.Fprint(p.out, m.Text(p.columns(), p.paper(pl.Settings.Drawing)))
				p.offerWeak(pl)
				return nil
			})
		},
	}
	cmd.Flags().IntSliceVar(&strs, "strings", nil, "only these strings, 1 is the highest: 6,5")
	cmd.Flags().StringVar(&frets, "frets", "", "only these frets: 0-12")
	cmd.Flags().StringVar(&svg, "svg", "", "write the map as a picture")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the map as JSON")
	listens.add(cmd)
	cli.Exclusive(cmd, "svg", "json", "line")
	return cmd
}

// paper is what the output can show: escape codes on a terminal alone.
func (p *program) paper(drawing string) ink.Look {
	look := ink.LookFor(p.getenv, drawing)
	if out, ok := p.screen().(*os.File); !ok || !term.IsTerminal(int(out.Fd())) {
		look.Colours = ink.NoEscapes
	}
	return look
}

// bold is a head as the output can show it.
func (p *program) bold(pl *player, head string) string {
	return p.paper(pl.Settings.Drawing).Paint(ink.Strong, head)
}
