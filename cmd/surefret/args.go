package main

import (
	"strings"

	"github.com/spf13/cobra"
)

// needs accepts exactly the arguments that are named, and says which are
// missing or which one is too many.
func needs(names ...string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) < len(names):
			return usagef("'%s' needs %s: see '%s --help'", cmd.CommandPath(), strings.Join(names, " and "), cmd.CommandPath())
		case len(args) > len(names):
			return usagef("'%s' does not know what to do with %q: see '%s --help'", cmd.CommandPath(), args[len(names)], cmd.CommandPath())
		}
		return nil
	}
}
