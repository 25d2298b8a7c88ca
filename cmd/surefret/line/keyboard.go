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

var (
	// errSuspend says that the player pressed ctrl-z. What he had typed of the line is
	// dropped, as a terminal does.
	errSuspend = errors.New("to be stopped")
	// errStopped says that the program was stopped, and goes on.
	errStopped = errors.New("was stopped")
)

// A Terminal hands over each key, so that the time of the first is known and not only
// that of Enter.
type Terminal struct {
	io.ReadWriter

	// Raw has each key be handed over, and nothing be shown, until restore is called.
	Raw func() (restore func(), err error)

	// Suspend stops the program until it is let go on, and Quit tells it to end, as
	// ctrl-z and ctrl-\ do where the terminal sees to these.
	Suspend, Quit func()

	// Stopped reports whether another stopped the program since it was last asked.
	Stopped func() bool
}

// A keyboard is a terminal with the time.
type keyboard struct {
	Terminal
	now func() time.Time
}

// NewKeyboard returns the lines that are typed at a terminal, with the time of the
// first key of each.
func NewKeyboard(t Terminal, now func() time.Time) *Input {
	i := NewInput(t)
	i.keys = &keyboard{t, now}
	return i
}

// The keys that edit a line.
const (
	ctrlC     = 3
	ctrlD     = 4
	ctrlH     = 8
	ctrlU     = 21
	ctrlZ     = 26
	escape    = 27
	ctrlQuit  = 28 // ctrl-\
	backspace = 127
)

// line takes one line key by key and shows it. The first key is that of the line as it
// was sent: one that was wiped out again does not count.
func (k *keyboard) line(in *bufio.Reader) (r read) {
	var text []rune
	wipe := func(n int) {
		io.WriteString(k, strings.Repeat("\b \b", n))
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
			io.WriteString(k, "\r\n")
			r.text = strings.TrimSpace(string(text))
			return r
		case key == ctrlC:
			r.err = ErrInterrupted
			return r
		case key == ctrlZ:
			return read{err: errSuspend}
		case key == ctrlQuit:
			k.Quit()
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
			io.WriteString(k, string(key))
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
