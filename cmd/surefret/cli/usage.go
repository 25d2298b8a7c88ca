// Package cli gives a tree of commands its manners: a mistake is told in one
// sentence with what was probably meant; the pages of --help, the man pages and
// what the shell completes are drawn up from the tree.
package cli

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// BadInput marks an error as the player's to mend.
type BadInput struct{ Err error }

func (b BadInput) Error() string { return b.Err.Error() }
func (b BadInput) Unwrap() error { return b.Err }

// Usagef returns an error that ends the program with exit code 2.
func Usagef(format string, args ...any) error { return BadInput{fmt.Errorf(format, args...)} }

// Needs accepts exactly the arguments that are named, and says which are
// missing or which one is too many.
func Needs(names ...string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) < len(names):
			return Usagef("'%s' needs %s: see '%s --help'", cmd.CommandPath(), strings.Join(names, " and "), cmd.CommandPath())
		case len(args) > len(names):
			return Usagef("'%s' does not know what to do with %q: see '%s --help'", cmd.CommandPath(), args[len(names)], cmd.CommandPath())
		}
		return nil
	}
}

// Required says that a command cannot do without these flags.
func Required(cmd *cobra.Command, names ...string) {
	for _, name := range names {
		cmd.MarkFlagRequired(name) // for what the shell offers
	}
	First(cmd, func() error {
		var missing []string
		for _, name := range names {
			if !cmd.Flags().Changed(name) {
				missing = append(missing, "--"+name)
			}
		}
		if len(missing) > 0 {
			return Usagef("'%s' needs %s: see '%s --help'", cmd.CommandPath(), InWords(missing, "and"), cmd.CommandPath())
		}
		return nil
	})
}

// Exclusive says that of these flags a command takes one at the most.
func Exclusive(cmd *cobra.Command, names ...string) {
	cmd.MarkFlagsMutuallyExclusive(names...) // for what the shell offers
	First(cmd, func() error {
		var given []string
		for _, name := range names {
			if cmd.Flags().Changed(name) {
				given = append(given, "--"+name)
			}
		}
		if len(given) > 1 {
			return Usagef("%s do not go together: give one of them", InWords(given, "and"))
		}
		return nil
	})
}

// First adds a check to those that are made before a command runs.
func First(cmd *cobra.Command, check func() error) {
	before := cmd.PreRunE
	cmd.PreRunE = func(cmd *cobra.Command, args []string) error {
		if before != nil {
			if err := before(cmd, args); err != nil {
				return err
			}
		}
		return check()
	}
}

// complain makes every command of the tree tell a mistake in its arguments or
// flags in one sentence of ours, with what was probably meant.
func complain(cmd *cobra.Command) {
	cmd.SuggestionsMinimumDistance = 2
	cmd.SetFlagErrorFunc(badFlag)
	switch check := cmd.Args; {
	case cmd.HasParent() && cmd.HasSubCommands():
		cmd.Args = onlyCommands
		if cmd.RunE == nil {
			cmd.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
		}
	case !cmd.HasParent():
		cmd.Args = onlyCommands
	default:
		cmd.Args = func(cmd *cobra.Command, args []string) error {
			err := check(cmd, args)
			if err == nil || errors.As(err, new(BadInput)) {
				return err
			}
			if _, needed, ok := strings.Cut(cmd.Use, " "); ok && len(args) == 0 {
				return Usagef("'%s' needs %s: see '%s --help'", cmd.CommandPath(), needed, cmd.CommandPath())
			}
			return Usagef("use it like '%s': see '%s --help'", cmd.UseLine(), cmd.CommandPath())
		}
	}
	for _, sub := range cmd.Commands() {
		complain(sub)
	}
}

// onlyCommands refuses a word that is not the name of a command.
func onlyCommands(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	meant := cmd.SuggestionsFor(args[0])
	if len(meant) == 0 {
		return Usagef("'%s' has no command %q: see '%s --help'", cmd.CommandPath(), args[0], cmd.CommandPath())
	}
	return Usagef("'%s' has no command %q: did you mean %s?", cmd.CommandPath(), args[0], InWords(meant, "or"))
}

// badFlag tells what is wrong with a flag.
func badFlag(cmd *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	var bare *pflag.ValueRequiredError
	var invalid *pflag.InvalidValueError
	switch {
	case errors.As(err, &unknown):
		name, letters := unknown.GetSpecifiedName(), unknown.GetSpecifiedShortnames()
		given := "--" + name
		if letters != "" {
			name, given = letters, "-"+letters
		}
		if meant := similarFlags(cmd, name); len(meant) > 0 {
			return Usagef("'%s' has no flag %s: did you mean %s?", cmd.CommandPath(), given, InWords(meant, "or"))
		}
		return Usagef("'%s' has no flag %s: see '%s --help'", cmd.CommandPath(), given, cmd.CommandPath())
	case errors.As(err, &bare):
		f := bare.GetFlag()
		return Usagef("--%s needs %s after it: see '%s --help'", f.Name, valueWord(f), cmd.CommandPath())
	case errors.As(err, &invalid):
		f := invalid.GetFlag()
		return Usagef("--%s %s: use %s, see '%s --help'", f.Name, invalid.GetValue(), kindOf(f), cmd.CommandPath())
	}
	return Usagef("%w: see '%s --help'", err, cmd.CommandPath())
}

// similarFlags names the flags that were probably meant, by the rule that cobra
// has for commands.
func similarFlags(cmd *cobra.Command, name string) []string {
	if len(name) < 2 {
		return nil // every short name is like one letter
	}
	flags := &cobra.Command{SuggestionsMinimumDistance: cmd.SuggestionsMinimumDistance}
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		flags.AddCommand(&cobra.Command{Use: f.Name, Run: func(*cobra.Command, []string) {}})
	})
	var meant []string
	for _, other := range flags.SuggestionsFor(name) {
		meant = append(meant, "--"+other)
	}
	return meant
}

// kindOf says what a flag takes.
func kindOf(f *pflag.Flag) string {
	switch f.Value.Type() {
	case "float64":
		return "a number"
	case "int", "uint64":
		return "a whole number"
	case "intSlice":
		return "whole numbers with commas between them"
	case "bool":
		return "true or false"
	}
	return "something else"
}

// InWords lists words: "a", "a or b", "a, b or c".
func InWords(words []string, last string) string {
	words = slices.Clone(words)
	if n := len(words); n > 1 {
		words = append(words[:n-2], fmt.Sprintf("%s %s %s", words[n-2], last, words[n-1]))
	}
	return strings.Join(words, ", ")
}
