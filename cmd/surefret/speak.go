package main

import (
	"slices"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/spoken"
	"surefret/drills"
)

func speller(setup drills.Setup) spoken.Speller { return spoken.Speller{Names: setup.Names} }

// A command has one of three ways with the setting "speak" and the flag --line.
var (
	// These ask on the full screen or in lines of their own.
	asking = []string{"surefret", "surefret practice", "surefret setup", "surefret rehearse"}
	// What these print is for other programs. So is what "export" prints.
	forPrograms = []string{"surefret man", "surefret completion", "surefret demo"}
)

// speakAll gives every other command that prints plain sentences the flag, and has them
// put into words where it or the setting is on.
func (p *program) speakAll(root *cobra.Command) {
	var visit func(*cobra.Command)
	visit = func(cmd *cobra.Command) {
		for _, sub := range cmd.Commands() {
			visit(sub)
		}
		if path := cmd.CommandPath(); !cmd.Runnable() || cmd.Name() == "export" || slices.Contains(asking, path) || slices.Contains(forPrograms, path) {
			return
		}
		if cmd.Flags().Lookup("line") == nil {
			cmd.Flags().Bool("line", false, "print full sentences in words, for screen readers")
			forms := slices.DeleteFunc([]string{"svg", "html", "json", "line"}, func(name string) bool { return cmd.Flags().Lookup(name) == nil })
			if len(forms) > 1 {
				cli.Exclusive(cmd, forms...)
			}
		}
		cli.First(cmd, func() error {
			p.speakFrom(cmd)
			return nil
		})
	}
	visit(root)
}

// speakFrom puts what a command prints from now on into words, where it is to be.
func (p *program) speakFrom(cmd *cobra.Command) {
	if p.JSON, _ = cmd.Flags().GetBool("json"); p.JSON {
		return
	}
	p.SpeakBy(func() func(string) string {
		s := p.quietly(cmd.Context())
		setup, err := s.Setup()
		if err != nil || !cmd.Flags().Changed("line") && !s.Speak {
			return nil
		}
		return speller(setup).Text
	})
}
