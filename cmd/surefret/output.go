package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"

	"github.com/charmbracelet/x/ansi"
	"github.com/spf13/cobra"
	"golang.org/x/term"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/report"
	"surefret/store"
)

// screen is the standard output for the full screen, which asks whether it is a
// terminal.
func (p *program) screen() io.Writer {
	out := p.out
	if w, ok := out.(inWords); ok && !p.speaking() {
		out = w.Writer
	}
	if o, ok := out.(*cli.Output); ok {
		return o.To
	}
	return out
}

// columns is the width that text may take: the terminal's, at least 40, or 80
// where there is none.
func (p *program) columns() int {
	if out, ok := p.screen().(*os.File); ok {
		if w, _, err := term.GetSize(int(out.Fd())); err == nil && w > 0 {
			return max(40, w)
		}
	}
	return 80
}

// folded is a writer that breaks messages between words where they go to a terminal.
func folded(w io.Writer) io.Writer {
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return folding{f}
	}
	return w
}

type folding struct{ *os.File }

func (f folding) Write(b []byte) (int, error) {
	wide, _, err := term.GetSize(int(f.Fd()))
	if err != nil || wide < 40 {
		return f.File.Write(b)
	}
	lines := strings.Split(string(b), "\n")
	for i, line := range lines {
		if ansi.StringWidth(line) > wide {
			lines[i] = strings.Join(report.Fold("", "", line, wide), "\n")
		}
	}
	if _, err := f.WriteString(strings.Join(lines, "\n")); err != nil {
		return 0, err
	}
	return len(b), nil
}

// write writes a file that the player asked for, as cli.WriteFile does, and says so; "-"
// is standard output. Every option that names a file to write comes through here: the
// practice, its journals and its backups are not to be written over.
func (p *program) write(name string, write func(io.Writer) error) error {
	if name == "-" {
		if w, ok := p.out.(inWords); ok { // a file is no speech
			return write(w.Writer)
		}
		return write(p.out)
	}
	if err := p.guard(name); err != nil {
		return err
	}
	if err := cli.WriteFile(name, write); err != nil {
		return err
	}
	fmt.Fprintf(p.err, "Written: %s\n", name)
	return nil
}

// guard refuses the name of a file that must not be written over.
func (p *program) guard(name string) error {
	path, err := p.databasePath()
	if err != nil {
		path = name + ".none" // there is no practice to protect
	}
	return named(store.Guard(path, name))
}

// addJSON declares --json, which p.json tells of.
func addJSON(cmd *cobra.Command, words string) { cmd.Flags().Bool("json", false, words) }

// writeText writes a text to a file as write does.
func (p *program) writeText(name, text string) error {
	return p.write(name, func(w io.Writer) error { _, err := io.WriteString(w, text); return err })
}

// printJSON prints facts for scripts.
func (p *program) printJSON(v any) error {
	enc := json.NewEncoder(p.out)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// printFolded prints text in lines that fit the screen; lines after the first are set in
// by two. Spoken text is not folded.
func (p *program) printFolded(text string) {
	if p.speaking() {
		fmt.Fprintln(p.out, text)
		return
	}
	for _, line := range report.Fold("", "  ", text, p.columns()) {
		fmt.Fprintln(p.out, line)
	}
}

func (p *program) printVersion(asJSON bool) error {
	info, _ := debug.ReadBuildInfo()
	b := cli.BuildOf(info)
	if asJSON {
		return p.printJSON(b)
	}
	_, err := fmt.Fprintln(p.out, b)
	return err
}
