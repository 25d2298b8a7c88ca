package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/settings"
	"surefret/cmd/surefret/spoken"
	"surefret/drills"
)

// A speech is how a plain command is asked to speak.
type speech struct{ line bool }

func (v *speech) add(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&v.line, "line", false, "print full sentences in words, for screen readers")
}

// on reports whether the player listens, by the flag or by his setting.
func (v speech) on(s settings.Settings) bool { return v.line || s.Speak }

// say prints sentences in words, one a line.
func (p *program) say(setup drills.Setup, sentences []string) error {
	for _, s := range sentences {
		if _, err := fmt.Fprintln(p.out, cli.Shown(speller(setup).Text(s))); err != nil {
			return err
		}
	}
	return nil
}

func speller(setup drills.Setup) spoken.Speller { return spoken.Speller{Names: setup.Names} }
