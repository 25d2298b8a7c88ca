package cli

import (
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Shells are those whose completions can be written.
var Shells = []string{"bash", "zsh", "fish", "powershell"}

// Completion writes what lets a shell complete the commands of root.
func Completion(root *cobra.Command, shell string, w io.Writer) error {
	switch shell {
	case "bash":
		return root.GenBashCompletionV2(w, true)
	case "zsh":
		return root.GenZshCompletion(w)
	case "fish":
		return root.GenFishCompletion(w, true)
	case "powershell":
		return root.GenPowerShellCompletionWithDesc(w)
	}
	return Usagef("no completions for %q: expected %s", shell, InWords(Shells, "or"))
}

// An Offer lists what may stand for a word in capitals of a usage line, each with
// an explanation behind a tab or none: for KEY all keys.
type Offer func(cmd *cobra.Command, word string) []string

// complete lets the shell ask, for each argument and each flag, what may stand
// there. It goes by the words in capitals of the usage line.
func complete(cmd *cobra.Command, offer Offer) {
	var words []string
	for _, word := range strings.Fields(cmd.Use)[1:] {
		if strings.HasPrefix(word, "--") {
			break // the rest of the line is flags
		}
		words = append(words, word)
	}
	cmd.ValidArgsFunction = func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
		switch {
		case len(args) < len(words):
			return standing(cmd, offer, words[len(args)], args, typed)
		case len(words) > 0 && strings.HasSuffix(words[len(words)-1], "...]"):
			return standing(cmd, offer, words[len(words)-1], args, typed)
		}
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	register := func(f *pflag.Flag) {
		word, list := valueWord(f), strings.HasSuffix(f.Value.Type(), "Slice")
		cmd.RegisterFlagCompletionFunc(f.Name, func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			done := ""
			if i := strings.LastIndexByte(typed, ','); list && i >= 0 {
				done = typed[:i+1]
			}
			values, how := standing(cmd, offer, word, args, typed[len(done):])
			for i, v := range values {
				values[i] = done + v
			}
			if list {
				how |= cobra.ShellCompDirectiveNoSpace // another may follow
			}
			return values, how
		})
	}
	if cmd.HasParent() {
		cmd.LocalNonPersistentFlags().VisitAll(register)
	} else {
		cmd.Flags().VisitAll(register)
		cmd.PersistentFlags().VisitAll(register)
	}
	for _, sub := range cmd.Commands() {
		complete(sub, offer)
	}
}

// standing lists what may stand for a word and begins with what was typed.
// Nothing is offered for what only the player can know.
func standing(cmd *cobra.Command, offer Offer, word string, args []string, typed string) ([]string, cobra.ShellCompDirective) {
	var values []string
	switch word = strings.Trim(word, "[]."); word {
	case "FILE", "OTHER.db":
		return nil, cobra.ShellCompDirectiveDefault
	case "DIR":
		return nil, cobra.ShellCompDirectiveFilterDirs
	case "SHELL":
		values = slices.Clone(Shells)
	case "COMMAND":
		if about, rest, err := cmd.Root().Find(args); err == nil && len(rest) == 0 {
			for _, c := range describe(about).commands {
				values = append(values, c.name+"\t"+c.words)
			}
		}
	default:
		values = offer(cmd, word)
	}
	values = slices.DeleteFunc(values, func(v string) bool { return !strings.HasPrefix(v, typed) })
	return values, cobra.ShellCompDirectiveNoFileComp
}
