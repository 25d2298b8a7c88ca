package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// manCommand writes the man pages from the same words as --help. It is for those
// who pack the program, so the help does not list it.
func (p *program) manCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "man DIR",
		Short:   "Write the man pages to a folder",
		Example: "  surefret man share/man/man1",
		Hidden:  true,
		Args:    needs("DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return fmt.Errorf("cannot make the folder %s: %w", args[0], reason(err))
			}
			now, err := p.clock()
			if err != nil {
				return err
			}
			date := now()
			root := cmd.Root()
			root.DisableAutoGenTag = true
			return doc.GenManTree(root, &doc.GenManHeader{Section: "1", Source: "Surefret", Manual: "Surefret", Date: &date}, args[0])
		},
	}
}
