// Package console is where a command reads and prints: on a terminal or through pipes,
// as a page to be read, in words for those who listen, or as JSON for other programs.
// What is printed carries escape codes on a terminal alone. It builds on cli and ink.
package console

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"

	"golang.org/x/term"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/report"
)

// A Console is what one run of the program reads and prints, and the environment that
// it goes by.
type Console struct {
	In       io.Reader
	Out, Err io.Writer
	Getenv   func(string) string

	JSON   bool        // what is printed is for other programs
	speaks func() bool // reports whether what is printed is put into words; nil for never
}

// Terminal is the standard output for the full screen, which asks whether it is a
// terminal.
func (c *Console) Terminal() io.Writer {
	out := c.Out
	if w, ok := out.(inWords); ok && !c.Speaking() {
		out = w.Writer
	}
	if o, ok := out.(*cli.Output); ok {
		return o.To
	}
	return out
}

// Keyboard is the terminal that answers are typed at, nil where they come by a pipe.
func (c *Console) Keyboard() *os.File {
	if in, ok := c.In.(*os.File); ok && term.IsTerminal(int(in.Fd())) {
		return in
	}
	return nil
}

// FullScreen reports whether both ends are a terminal that can redraw.
func (c *Console) FullScreen() bool {
	out, ok := c.Terminal().(*os.File)
	return ok && c.Keyboard() != nil && term.IsTerminal(int(out.Fd())) && c.Getenv("TERM") != "dumb"
}

// Columns is the width that text may take: the terminal's, at least 40, or 80
// where there is none.
func (c *Console) Columns() int {
	if out, ok := c.Terminal().(*os.File); ok {
		if w, _, err := term.GetSize(int(out.Fd())); err == nil && w > 0 {
			return max(40, w)
		}
	}
	return 80
}

// Look is how the full screen is drawn, in a way of drawing that the player set.
func (c *Console) Look(drawing string) ink.Look { return ink.LookFor(c.Getenv, drawing) }

// Paper is what the output can show: escape codes on a terminal alone.
func (c *Console) Paper(drawing string) ink.Look {
	look := c.Look(drawing)
	if out, ok := c.Terminal().(*os.File); !ok || !term.IsTerminal(int(out.Fd())) {
		look.Colours = ink.NoEscapes
	}
	return look
}

// ASCII reports whether the terminal has no signs beyond those of ASCII.
func (c *Console) ASCII() bool { return c.Look("").ASCII }

// Show prints a page as the player asked for it: as JSON, in sentences or as text.
func (c *Console) Show(page any, sentences func() []string, text func() error) error {
	switch {
	case c.JSON:
		return c.PrintJSON(page)
	case c.Speaking():
		return c.Say(sentences())
	}
	return text()
}

// PrintJSON prints facts for scripts.
func (c *Console) PrintJSON(v any) error {
	enc := json.NewEncoder(c.Out)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// PrintFolded prints text in lines that fit the screen; lines after the first are set in
// by two. Spoken text is not folded.
func (c *Console) PrintFolded(text string) {
	if c.Speaking() {
		fmt.Fprintln(c.Out, text)
		return
	}
	for _, line := range report.Fold("", "  ", text, c.Columns()) {
		fmt.Fprintln(c.Out, line)
	}
}

// Write writes a file that the player asked for, as [cli.WriteFile] does, and says so;
// "-" is standard output. guard refuses a name that must not be written over.
func (c *Console) Write(name string, guard func(string) error, write func(io.Writer) error) error {
	if name == "-" {
		if w, ok := c.Out.(inWords); ok { // a file is no speech
			return write(w.Writer)
		}
		return write(c.Out)
	}
	if err := guard(name); err != nil {
		return err
	}
	if err := cli.WriteFile(name, write); err != nil {
		return err
	}
	fmt.Fprintf(c.Err, "Written: %s\n", name)
	return nil
}

// Input is what is typed or piped in, until ctx ends: whoever told the program to end
// waits for no input.
func (c *Console) Input(ctx context.Context) io.Reader { return until{ctx, c.In} }

type until struct {
	ctx context.Context
	io.Reader
}

func (u until) Read(b []byte) (int, error) {
	type read struct {
		b   []byte
		err error
	}
	done := make(chan read, 1)
	go func() {
		own := make([]byte, len(b))
		n, err := u.Reader.Read(own)
		done <- read{own[:n], err}
	}()
	select {
	case r := <-done:
		return copy(b, r.b), r.err
	case <-u.ctx.Done():
		return 0, u.ctx.Err()
	}
}
