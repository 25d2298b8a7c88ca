package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/demo"
)

func (p *program) completionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "Print a script by which your shell completes commands, keys, shapes and gigs",
		Long: "Print a script by which your shell completes commands, flags, keys, shapes and\n" +
			"your gigs when you press tab. SHELL is bash, zsh, fish or powershell. './dev install' puts\n" +
			"it where bash, zsh and fish look for it.",
		Example: "  surefret completion bash >~/.local/share/bash-completion/completions/surefret\n" +
			"  surefret completion zsh >~/.local/share/zsh/site-functions/_surefret\n" +
			"  surefret completion fish >~/.config/fish/completions/surefret.fish\n" +
			"  surefret completion powershell >surefret.ps1",
		Args: cli.Needs("SHELL"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return cli.Completion(cmd.Root(), args[0], p.Out)
		},
	}
}

// manCommand writes the man pages. It is for those who pack the program, so the
// help does not list it.
func (p *program) manCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "man DIR",
		Short:   "Write the man pages to a folder",
		Example: "  surefret man share/man/man1",
		Hidden:  true,
		Args:    cli.Needs("DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			now, err := p.clock()
			if err != nil {
				return err
			}
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return fmt.Errorf("cannot make the folder %s: %w", args[0], cli.Reason(err))
			}
			for _, page := range cli.ManPages(cmd.Root(), now().Format("2006-01-02")) {
				err := cli.WriteFile(filepath.Join(args[0], page.Name), func(w io.Writer) error { _, err := io.WriteString(w, page.Text); return err })
				if err != nil {
					return err
				}
			}
			return nil
		},
	}
}

// offer lists what may stand for a word of a usage line.
func (p *program) offer(cmd *cobra.Command, word string) (values []string) {
	if word == "PLAYER" {
		for _, d := range demo.Players {
			values = append(values, d.Name)
		}
		return values
	}
	if word == "WORD" && cmd.Name() == "rehearse" {
		word = "HAND"
	}
	at, _ := p.place() // without one there is nothing to read
	return at.Offer(cmd.Context(), word)
}
