package main

import (
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/sheet"
)

func (p *program) keyCommand() *cobra.Command {
	var f neckFlags
	cmd := &cobra.Command{
		Use:     "key KEY",
		Short:   "A key on one page: chords by number, roots, walk-ups, capo choices",
		Example: "  surefret key Eb\n  surefret key F#m --json\n  surefret key A harmonic minor",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			setup, s, err := p.instrument(cmd, f)
			if err != nil {
				return err
			}
			k, err := setup.Names.ReadKey(strings.Join(args, " "))
			if err != nil {
				return cli.BadInput{Err: err}
			}
			if len(k.Scale()) != 7 {
				return usagef("%s has no chord on each degree: give a seven-note key, like Eb or F#m", k)
			}
			page := sheet.KeyOf(k, setup.Neck, setup.Names)
			return p.Show(page, func() []string { return page.Sentences(speller(setup)) },
				func() error { return page.Text(p.Out, p.Columns(), s.LeftHanded, p.Paper("")) })
		},
	}
	f.add(cmd)
	addJSON(cmd, "print JSON")
	return cmd
}
