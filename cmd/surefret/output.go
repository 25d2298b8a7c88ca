package main

import (
	"fmt"
	"io"
	"runtime/debug"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
)

// write writes a file that the player asked for. Every option that names one comes through
// here: the practice, its journals and its backups are not to be written over.
func (p *program) write(name string, write func(io.Writer) error) error {
	guard := func(string) error { return nil } // there may be no practice to protect
	if at, err := p.place(); err == nil {
		guard = at.Guard
	}
	return p.Write(name, guard, write)
}

// tell prints sentences that are no part of what a command prints.
func (p *program) tell(said []string) {
	for _, s := range said {
		fmt.Fprintln(p.Err, s)
	}
}

// addJSON declares --json, which p.JSON tells of.
func addJSON(cmd *cobra.Command, words string) { cmd.Flags().Bool("json", false, words) }

// writeText writes a text to a file as write does.
func (p *program) writeText(name, text string) error {
	return p.write(name, func(w io.Writer) error { _, err := io.WriteString(w, text); return err })
}

func (p *program) printVersion(asJSON bool) error {
	info, _ := debug.ReadBuildInfo()
	b := cli.BuildOf(info)
	if asJSON {
		return p.PrintJSON(b)
	}
	_, err := fmt.Fprintln(p.Out, b)
	return err
}
