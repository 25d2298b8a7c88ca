package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
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

// complain makes every command of the tree tell a mistake in its arguments or
// flags in one sentence of ours, with what was probably meant.
func complain(cmd *cobra.Command) {
	cmd.SuggestionsMinimumDistance = 2
	cmd.SetFlagErrorFunc(badFlag)
	switch check := cmd.Args; {
	case cmd.HasParent() && cmd.HasSubCommands():
		cmd.Args = onlyCommands
		cmd.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
	case !cmd.HasParent():
		cmd.Args = onlyCommands
	default:
		cmd.Args = func(cmd *cobra.Command, args []string) error {
			err := check(cmd, args)
			if err == nil || errors.As(err, new(badInput)) {
				return err
			}
			return usagef("'%s' is not given like that, but like '%s': see '%s --help'", cmd.CommandPath(), cmd.UseLine(), cmd.CommandPath())
		}
	}
	cmd.PreRunE = checkFlags
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
		return usagef("'%s' has no command %q: see '%s --help'", cmd.CommandPath(), args[0], cmd.CommandPath())
	}
	return usagef("'%s' has no command %q: did you mean %s?", cmd.CommandPath(), args[0], inWords(meant, "or"))
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
			return usagef("'%s' has no flag %s: did you mean %s?", cmd.CommandPath(), given, inWords(meant, "or"))
		}
		return usagef("'%s' has no flag %s: see '%s --help'", cmd.CommandPath(), given, cmd.CommandPath())
	case errors.As(err, &bare):
		f := bare.GetFlag()
		return usagef("--%s needs %s after it: see '%s --help'", f.Name, valueWord(f), cmd.CommandPath())
	case errors.As(err, &invalid):
		f := invalid.GetFlag()
		return usagef("--%s %s: expected %s, see '%s --help'", f.Name, invalid.GetValue(), kindOf(f), cmd.CommandPath())
	}
	return usagef("%w: see '%s --help'", err, cmd.CommandPath())
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

// checkFlags says which flags are missing, and which do not go together.
func checkFlags(cmd *cobra.Command, _ []string) error {
	var missing []string
	together := map[string][]string{}
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		if required := f.Annotations[cobra.BashCompOneRequiredFlag]; len(required) > 0 && required[0] == "true" && !f.Changed {
			missing = append(missing, "--"+f.Name)
		}
		// The name by which cobra keeps what was marked as exclusive.
		for _, group := range f.Annotations["cobra_annotation_mutually_exclusive"] {
			if f.Changed {
				together[group] = append(together[group], "--"+f.Name)
			}
		}
	})
	if len(missing) > 0 {
		return usagef("'%s' needs %s: see '%s --help'", cmd.CommandPath(), inWords(missing, "and"), cmd.CommandPath())
	}
	for _, given := range together {
		if len(given) > 1 {
			return usagef("%s do not go together: give one of them", inWords(given, "and"))
		}
	}
	return nil
}

// inWords lists words: "a", "a or b", "a, b or c".
func inWords(words []string, last string) string {
	words = slices.Clone(words)
	if n := len(words); n > 1 {
		words = append(words[:n-2], fmt.Sprintf("%s %s %s", words[n-2], last, words[n-1]))
	}
	return strings.Join(words, ", ")
}
