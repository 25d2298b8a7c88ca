package line

import (
	"bufio"
	"errors"
	"io"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// ErrInterrupted says that the player pressed ctrl-c: the terminal makes no signal of
// that key while it hands over one key at a time.
var ErrInterrupted = errors.New("interrupted")

// A keyboard is a terminal that hands over each key, so that the time of the first is
// known and not only that of Enter.
type keyboard struct {
	raw  func() (restore func(), err error) // begins to hand over each key
	echo io.Writer
	now  func() time.Time
}

// NewKeyboard returns the lines that are typed at a terminal, with the time of the
// first key of each. Raw has the terminal hand over each key, and nothing be shown,
// until restore is called.
func NewKeyboard(terminal io.ReadWriter, now func() time.Time, raw func() (restore func(), err error)) *Input {
	i := NewInput(terminal)
	i.keys = &keyboard{raw, terminal, now}
	return i
}

// The keys that edit a line.
const (
	ctrlC     = 3
	ctrlD     = 4
	ctrlH     = 8
	ctrlU     = 21
	escape    = 27
	backspace = 127
)

// line takes one line key by key and shows it. The first key is that of the line as it
// was sent: one that was wiped out again does not count.
func (k *keyboard) line(in *bufio.Reader) (r read) {
	var text []rune
	wipe := func(n int) {
		io.WriteString(k.echo, strings.Repeat("\b \b", n))
		if text = text[:len(text)-n]; len(text) == 0 {
			r.first = time.Time{}
		}
	}
	for {
		key, _, err := in.ReadRune()
		switch {
		case err != nil:
			r.err = err
			return r
		case key == '\r' || key == '\n':
			io.WriteString(k.echo, "\r\n")
			r.text = strings.TrimSpace(string(text))
			return r
		case key == ctrlC:
			r.err = ErrInterrupted
			return r
		case key == ctrlD && len(text) == 0:
			r.err = io.EOF
			return r
		case key == escape:
			skipSequence(in)
		case (key == backspace || key == ctrlH) && len(text) > 0:
			wipe(1)
		case key == ctrlU:
			wipe(len(text))
		case unicode.IsPrint(key) && key != utf8.RuneError && len(text) < longestLine:
			if len(text) == 0 {
				r.first = k.now()
			}
			text = append(text, key)
			io.WriteString(k.echo, string(key))
		}
	}
}

// skipSequence drops what an arrow or another key of the keyboard sends after Esc.
func skipSequence(in *bufio.Reader) {
	for in.Buffered() > 0 {
		b, err := in.ReadByte()
		if err != nil || b != '[' && b != 'O' && b >= '@' {
			return
		}
	}
}
