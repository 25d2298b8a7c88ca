package line

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"surefret/cmd/surefret/practice"
)

// longestLine bounds an answer, so that a file fed in by mistake cannot fill the
// memory.
const longestLine = 4096

// mostIdle is how many lines in a row may bring a form or a question no further. A
// player has long asked for help by then; a program would go on for ever.
const mostIdle = 50

// ErrNoAnswer says that the input holds no answers.
var ErrNoAnswer = errors.New("the input holds no answers")

// noAnswer is ErrNoAnswer with the question that was left open.
func noAnswer(question string) error {
	return fmt.Errorf("%w: %d lines in a row were none to %q; 'help' lists what can be given", ErrNoAnswer, mostIdle, question)
}

// An Input is read line by line, by the forms and the session in turn.
type Input struct {
	in   *bufio.Reader
	next chan read // what is being read, nil for nothing

	keys  *keyboard // nil where lines come whole
	first time.Time // of the last line: when its first key came, zero where that is not known
}

type read struct {
	text  string
	first time.Time // of the first key, zero where it is not known
	err   error
}

// NewInput returns the lines of in, which may be an Input already.
func NewInput(in io.Reader) *Input {
	if lines, ok := in.(*Input); ok {
		return lines
	}
	return &Input{in: bufio.NewReaderSize(in, longestLine)}
}

// Read reads on behind the lines that were taken.
func (i *Input) Read(p []byte) (int, error) { return i.in.Read(p) }

// line waits for a line. A ctx that ends is the end of input: whoever told the
// program to stop waits for no line, and one that is half typed is dropped. While
// it waits it calls tick, which may be nil, and again where the program was stopped, by
// ctrl-z or a signal, and goes on.
func (i *Input) line(ctx context.Context, tick, again func()) (string, error) {
	for {
		text, err := i.oneLine(ctx, tick)
		switch {
		case errors.Is(err, errSuspend):
			i.keys.Suspend()
		case !errors.Is(err, errStopped):
			return text, err
		}
		again()
	}
}

// oneLine waits for a line, or until the program is to be stopped or was.
func (i *Input) oneLine(ctx context.Context, tick func()) (string, error) {
	if i.keys != nil {
		restore, err := i.keys.Raw()
		if err != nil {
			return "", fmt.Errorf("read the answer: %w", err)
		}
		defer restore()
	}
	i.begin()
	if tick == nil {
		tick = func() {}
	}
	ticker := time.NewTicker(practice.Ticking)
	defer ticker.Stop()
	for {
		select {
		case <-ctx.Done():
			return "", io.EOF
		case <-ticker.C:
			tick()
			if i.keys != nil && i.keys.Stopped() {
				return "", errStopped // the shell may have set the terminal
			}
		case r := <-i.next:
			i.next, i.first = nil, r.first
			if ctx.Err() != nil {
				return "", io.EOF
			}
			if r.err != nil && !errors.Is(r.err, io.EOF) {
				return "", fmt.Errorf("read the answer: %w", r.err)
			}
			return r.text, r.err
		}
	}
}

// begin begins to read a line, unless one is being read.
func (i *Input) begin() {
	if i.next != nil {
		return
	}
	next := make(chan read, 1)
	i.next = next
	go func() {
		if i.keys != nil {
			next <- i.keys.line(i.in)
			return
		}
		text, err := readLine(i.in)
		next <- read{text: text, err: err}
	}()
}

// readLine reads one line without its end and without surrounding space. A
// last line without an end counts; of a line over longestLine only the front is
// kept.
func readLine(in *bufio.Reader) (string, error) {
	raw, err := in.ReadSlice('\n')
	text := strings.TrimSpace(string(raw))
	for errors.Is(err, bufio.ErrBufferFull) {
		_, err = in.ReadSlice('\n')
	}
	if errors.Is(err, io.EOF) && text != "" {
		return text, nil
	}
	return text, err
}
