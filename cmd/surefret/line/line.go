// Package line is the practice session as plain sentences, for pipes, screen
// readers and terminals that cannot redraw.
//
// Scripts rely on its contract. On standard output: one question a line, ending
// in "?"; after each answer one line that starts with "right" or "wrong" and
// holds the right answer; at the end the summary. On standard input: one answer
// a line; an empty line asks again; "stop" or the end of input ends the
// session; "skip" sets a question aside and "help" says all this. Everything else, an answer that could not be read or a word about the
// sound, goes to standard error.
package line

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"surefret/cmd/surefret/session"
	"surefret/drills"
	"surefret/scheduler"
)

// A Runner drives one session over lines.
type Runner struct {
	In       io.Reader
	Out, Err io.Writer
	Now      func() time.Time
	Sound    func([]drills.Sounding) // plays a cue and returns at once; nil is silence
	Notice   func() string           // asked before each question for a sentence to say, "" for none; may be nil
}

// longestLine bounds an answer, so that a file fed in by mistake cannot fill
// the memory.
const longestLine = 4096

// Run asks until the time is up, the player stops or the input ends. It
// returns an error only when the session itself failed; what was answered before
// is kept.
func (r Runner) Run(ctx context.Context, s *session.Session) error {
	in := bufio.NewReaderSize(r.In, longestLine)
	for {
		turn, ok, err := s.Next(r.Now())
		if err != nil {
			return err
		}
		if !ok {
			break
		}
		if r.Notice != nil {
			if text := r.Notice(); text != "" {
				fmt.Fprintln(r.Err, text)
			}
		}
		goOn, err := r.turn(ctx, s, turn, in)
		if err != nil {
			return err
		}
		if !goOn {
			break
		}
	}
	r.summary(s.Summary(r.Now()))
	return nil
}

// turn asks one question until it is answered. It reports whether to go on.
func (r Runner) turn(ctx context.Context, s *session.Session, turn session.Turn, in *bufio.Reader) (bool, error) {
	var asked time.Time // when it was first put: asking again does not stop the clock
	for {
		fmt.Fprintln(r.Out, turn.Question.Text)
		r.sound(turn.Question.Heard)
		if asked.IsZero() {
			asked = r.Now()
		}
		text, err := readLine(in)
		if errors.Is(err, io.EOF) || text == "stop" {
			return false, nil
		}
		if err != nil {
			return false, fmt.Errorf("read the answer: %w", err)
		}
		switch text {
		case "":
			continue
		case "help", "?":
			fmt.Fprintln(r.Err, "Type the answer. An empty line asks again, skip sets the question aside, stop ends the session.")
			continue
		case "skip":
			if !s.CanSkip() {
				fmt.Fprintln(r.Err, "Nothing can be skipped here.")
				continue
			}
			if err := s.Skip(); err != nil {
				return false, err
			}
			fmt.Fprintln(r.Err, "Set aside; 'surefret practice --skipped' takes it up again.")
			return true, nil
		}
		now := r.Now()
		result, err := s.Answer(ctx, now, text, now.Sub(asked), drills.EntryLine)
		var unreadable session.UnreadableError
		if errors.As(err, &unreadable) {
			fmt.Fprintln(r.Err, unreadable)
			continue
		}
		if err != nil {
			return false, err
		}
		fmt.Fprintln(r.Out, Feedback(result))
		r.sound(turn.Question.Target)
		return true, nil
	}
}

// Feedback says a result in one line.
func Feedback(res session.Result) string {
	v := res.Verdict
	var b strings.Builder
	want := v.Want
	if v.Note != "" {
		want += " (" + v.Note + ")"
	}
	if v.Right {
		fmt.Fprintf(&b, "right: %s", want)
	} else {
		fmt.Fprintf(&b, "wrong: it is %s, not %s", want, v.Given)
	}
	if res.Thinking > 0 {
		fmt.Fprintf(&b, ", %s", session.Seconds(res.Thinking))
		if res.Outcome == scheduler.Slow {
			b.WriteString(", over the aim")
		}
	}
	b.WriteString(".")
	if v.Why != "" {
		b.WriteString(" " + v.Why + ".")
	}
	return b.String()
}

// summary prints the last lines.
func (r Runner) summary(sum session.Summary) {
	for _, l := range sum.Lines() {
		fmt.Fprintln(r.Out, l)
	}
}

func (r Runner) sound(cue []drills.Sounding) {
	if r.Sound != nil && len(cue) > 0 {
		r.Sound(cue)
	}
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
