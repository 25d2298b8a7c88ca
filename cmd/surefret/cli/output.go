package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// An Output is the standard output. It keeps the first error, which ends the
// program with a sentence whatever the command printed after it.
type Output struct {
	To  io.Writer
	err error
}

func (o *Output) Write(b []byte) (int, error) {
	n, err := o.To.Write(b)
	if err != nil && o.err == nil {
		o.err = err
	}
	return n, err
}

// Told returns the error that a command ended with or, where that is none or comes of
// it, that what it printed did not arrive.
func (o *Output) Told(err error) error {
	if o.err == nil || err != nil && !errors.Is(err, o.err) {
		return err
	}
	return fmt.Errorf("cannot print: %w; what is above is not all of it", Reason(o.err))
}

// Messages is the standard error, to which names of files, gigs and songs go as
// they came: what could steer the terminal in them is Shown as a sign.
type Messages struct{ io.Writer }

func (m Messages) Write(b []byte) (int, error) {
	if _, err := io.WriteString(m.Writer, Shown(string(b))); err != nil {
		return 0, err
	}
	return len(b), nil
}

// Shown puts the sign for what cannot be Shown in the place of control characters
// and of the marks that turn the direction of writing: what came by mail, or by the
// name of a file, must not steer the terminal.
func Shown(text string) string { return strings.Map(visible, text) }

func visible(r rune) rune {
	if unicode.IsControl(r) && r != '\n' && r != '\t' && r != '\r' || unicode.Is(unicode.Bidi_Control, r) {
		return utf8.RuneError
	}
	return r
}

// OneLine folds a message that some library broke over lines, and shows what it
// quotes.
func OneLine(s string) string { return Shown(strings.Join(strings.Fields(s), " ")) }
