package main

import (
	"context"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"surefret/cmd/surefret/demo"
	"surefret/cmd/surefret/report"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/theory"
	"surefret/store"
)

// The shells whose completions can be written.
var shells = []string{"bash", "zsh", "fish", "powershell"}

func (p *program) completionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "Write what lets your shell complete commands, keys, shapes and gigs",
		Long: "Write what lets your shell complete commands, flags, keys, shapes and your gigs\n" +
			"when you press tab. SHELL is bash, zsh, fish or powershell. './dev install' puts\n" +
			"it where bash, zsh and fish look for it.",
		Example: "  surefret completion bash >~/.local/share/bash-completion/completions/surefret\n" +
			"  surefret completion zsh >~/.local/share/zsh/site-functions/_surefret\n" +
			"  surefret completion fish >~/.config/fish/completions/surefret.fish\n" +
			"  surefret completion powershell >surefret.ps1",
		Args: needs("SHELL"),
		RunE: func(cmd *cobra.Command, args []string) error {
			root := cmd.Root()
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(p.out, true)
			case "zsh":
				return root.GenZshCompletion(p.out)
			case "fish":
				return root.GenFishCompletion(p.out, true)
			case "powershell":
				return root.GenPowerShellCompletionWithDesc(p.out)
			}
			return usagef("no completions for %q: expected %s", args[0], inWords(shells, "or"))
		},
	}
}

// complete lets the shell ask, for each argument and each flag, what may stand
// there. It goes by the words in capitals of the usage line.
func (p *program) complete(cmd *cobra.Command) {
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
			return p.offer(cmd, words[len(args)], args, typed)
		case len(words) > 0 && strings.HasSuffix(words[len(words)-1], "...]"):
			return p.offer(cmd, words[len(words)-1], args, typed)
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
			values, how := p.offer(cmd, word, args, typed[len(done):])
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
		p.complete(sub)
	}
}

// offer lists what may stand for a word of a usage line and begins with what was
// typed. Nothing is offered for what only the player can know.
func (p *program) offer(cmd *cobra.Command, word string, args []string, typed string) ([]string, cobra.ShellCompDirective) {
	var values []string
	switch strings.Trim(word, "[].") {
	case "FILE", "OTHER.db":
		return nil, cobra.ShellCompDirectiveDefault
	case "DIR":
		return nil, cobra.ShellCompDirectiveFilterDirs
	case "KEY", "KEYS":
		for _, k := range theory.Keys() {
			values = append(values, k.Short())
		}
	case "NOTE":
		for _, k := range theory.KeysOf(theory.Major) {
			values = append(values, k.Tonic.String())
		}
	case "SHAPE", "SHAPES":
		for _, s := range fretboard.Shapes {
			values = append(values, s.Name+"\t"+s.Words)
		}
	case "TUNING":
		for _, t := range fretboard.Tunings {
			values = append(values, t.Name)
		}
	case "HOW":
		values = []string{string(fretboard.SameStrings), string(fretboard.Refingered)}
	case "DRILLS":
		values = strings.Split(familyNames(), ",")
	case "NOTES":
		values = []string{report.Naturals, report.Sharps, report.Flats}
	case "GIG":
		for _, g := range p.savedGigs(cmd.Context()) {
			values = append(values, g.Name+"\t"+g.Day)
		}
	case "SONG", "TITLE":
		for _, g := range p.savedGigs(cmd.Context()) {
			for _, s := range g.Songs {
				values = append(values, s.Title+"\t"+g.Name)
			}
		}
	case "PLAYER":
		for _, d := range demo.Players {
			values = append(values, d.Name)
		}
	case "SHELL":
		values = slices.Clone(shells)
	case "COMMAND":
		if about, rest, err := cmd.Root().Find(args); err == nil && len(rest) == 0 {
			for _, sub := range about.Commands() {
				if !sub.Hidden {
					values = append(values, sub.Name()+"\t"+sub.Short)
				}
			}
		}
	}
	values = slices.DeleteFunc(values, func(v string) bool { return !strings.HasPrefix(v, typed) })
	return values, cobra.ShellCompDirectiveNoFileComp
}

// savedGigs lists the player's gigs; none where there is no practice yet, or it
// cannot be read: a shell that completes has no place for a message.
func (p *program) savedGigs(ctx context.Context) []gig.Gig {
	path, err := p.databasePath()
	if err != nil {
		return nil
	}
	if _, err := os.Stat(path); err != nil {
		return nil
	}
	db, err := store.Open(ctx, path)
	if err != nil {
		return nil
	}
	defer db.Close()
	gigs, _ := db.Gigs(ctx)
	return gigs
}
