package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/term"
)

// An output is the standard output. It keeps the first error, which ends the
// program with a sentence whatever the command printed after it.
type output struct {
	file *os.File
	err  error
}

func (o *output) Write(b []byte) (int, error) {
	n, err := o.file.Write(b)
	if err != nil && o.err == nil {
		o.err = err
	}
	return n, err
}

// full says that what a command printed did not arrive.
func (o *output) full() error {
	if o.err == nil {
		return nil
	}
	return fmt.Errorf("cannot print: %w; what is above is not all of it", reason(o.err))
}

// screen is the standard output for the full screen, which asks whether it is a
// terminal.
func (p *program) screen() io.Writer {
	if o, ok := p.out.(*output); ok {
		return o.file
	}
	return p.out
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

// messages is the standard error, to which names of files, gigs and songs go as
// they came: what could steer the terminal in them is shown as a sign.
type messages struct{ io.Writer }

func (m messages) Write(b []byte) (int, error) {
	if _, err := io.WriteString(m.Writer, shown(string(b))); err != nil {
		return 0, err
	}
	return len(b), nil
}

// shown puts the sign for what cannot be shown in the place of control characters
// and of the marks that turn the direction of writing: what came by mail, or by the
// name of a file, must not steer the terminal.
func shown(text string) string { return strings.Map(visible, text) }

func visible(r rune) rune {
	if unicode.IsControl(r) && r != '\n' && r != '\t' && r != '\r' || unicode.Is(unicode.Bidi_Control, r) {
		return utf8.RuneError
	}
	return r
}
