package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/demo"
	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
	"surefret/drills/rehearse"
	"surefret/drills/theory"
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
	at, _ := p.place() // without one there is nothing to read
	switch word {
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
	case "WORDS":
		if _, setup, err := p.savedSetup(cmd.Context()); err == nil {
			for _, w := range drills.NewCatalogue(setup).Words() {
				values = append(values, w.Word)
			}
		}
	case "WORD": // of shapes
		if cmd.Name() == "rehearse" {
			values = []string{rehearse.Roots, rehearse.Held, rehearse.Walks, rehearse.Walking, rehearse.Part}
		}
		for _, s := range fretboard.Shapes {
			if word := strings.ReplaceAll(strings.ToLower(s.Family), " ", "-"); !slices.Contains(values, word) {
				values = append(values, word)
			}
		}
	case "TUNING":
		for _, t := range fretboard.Tunings {
			values = append(values, t.Name)
		}
	case "HOW":
		values = []string{string(fingering.SameStrings), string(fingering.OtherStrings), string(fingering.Refingered)}
	case "DRILLS":
		values = strings.Split(familyNames(), ",")
	case "NOTES":
		values = []string{report.Naturals, report.Sharps, report.Flats}
	case "GIG":
		for _, g := range at.Gigs(cmd.Context()) {
			values = append(values, g.Name+"\t"+g.Day)
		}
	case "SONG":
		for _, s := range at.Songs(cmd.Context()) {
			values = append(values, s.Title+"\t"+s.Learned)
		}
	case "PART":
		for _, s := range at.Songs(cmd.Context()) {
			for _, part := range s.Parts {
				values = append(values, part.Name+"\t"+s.Title)
			}
		}
	case "TITLE":
		for _, g := range at.Gigs(cmd.Context()) {
			for _, s := range g.Songs {
				values = append(values, s.Title+"\t"+g.Name)
			}
		}
	case "PLAYER":
		for _, d := range demo.Players {
			values = append(values, d.Name)
		}
	}
	return values
}
