package line

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"surefret/cmd/surefret/form"
)

// A Reader reads answers to forms, several in turn, from one input.
type Reader struct {
	Words func(string) string // puts signs into words, for who listens; nil prints the signs

	in        *Input
	out, errs io.Writer
	ended     bool
}

// NewReader returns a reader of answers; questions go to out, refusals to errs.
func NewReader(in io.Reader, out, errs io.Writer) *Reader {
	return &Reader{in: NewInput(in), out: out, errs: errs}
}

// Ended reports whether the input ended before a form was answered: nobody was
// there, or is there any more.
func (r *Reader) Ended() bool { return r.ended }

// Ask puts the questions of a form as plain lines, one a line: an empty answer
// takes what is there, a number picks one of the answers listed, "-" stands for
// nothing, "back" goes back to the question before. It reports whether all were
// answered; "stop", the end of input or of ctx leaves the rest. An input that
// brings the form no further is [ErrNoAnswer]; what was answered stays.
func (r *Reader) Ask(ctx context.Context, f form.Form) (answered bool, err error) {
	if f.Title != "" {
		fmt.Fprintf(r.out, "%s. %s\n", f.Title, f.Note)
	}
	reached, idle := 0, 0
	for i := 0; i < len(f.Questions); {
		q := f.Questions[i]
		number := ""
		if len(f.Questions) > mostUnnumbered {
			number = fmt.Sprintf("%d of %d: ", i+1, len(f.Questions))
		}
		if (f.Brief || f.Begin != "") && q.Idle != nil && q.Idle() {
			i++
			continue
		}
		r.put(number, q)
		text, err := r.in.line(ctx, nil, func() { r.put(number, q) })
		if errors.Is(err, io.EOF) || text == "stop" {
			r.ended = text != "stop"
			return false, nil
		}
		if err != nil {
			return false, err
		}
		if idle++; idle > mostIdle {
			return false, noAnswer(q.Ask)
		}
		if i += r.step(q, text); i < 0 {
			i = 0
		}
		if i > reached {
			reached, idle = i, 0
		}
	}
	return true, nil
}

// step takes one line for a question and returns how many questions it leads on.
func (r *Reader) step(q form.Question, text string) int {
	switch {
	case text == "back":
		return -1
	case text == "help" || text == "?":
		fmt.Fprintln(r.errs, "Type an answer or its number. Enter keeps the present one, a hyphen (-) clears it, back returns to the last question, stop leaves the rest as it is.")
		return 0
	case text == "" && *q.Value != "":
		return 1 // it stays as it is
	case text == "-":
		text = ""
	}
	if err := q.Set(text); err != nil {
		fmt.Fprintln(r.errs, err)
		return 0
	}
	return 1
}

// mostUnnumbered is how many questions a form has that are not numbered.
const mostUnnumbered = 8

// mostListed is how many options are read out; of more, the hint says where they
// are listed.
const mostListed = 40

// put prints a question with what may be answered.
func (r *Reader) put(number string, q form.Question) {
	words := r.Words
	if words == nil {
		words = func(text string) string { return text }
	}
	text, now, listed := number+q.Ask, *q.Value, len(q.Options) > 0 && len(q.Options) <= mostListed
	picked := listed && q.Typed == "" && !q.Several // the answers that follow are all there are
	for _, o := range q.List() {
		if picked && o.Value == now {
			now = o.Label
		}
	}
	if now != "" {
		text += fmt.Sprintf(" (now: %s)", now)
	}
	if example, ok := strings.CutPrefix(q.Hint, "like "); ok && !picked {
		text += fmt.Sprintf(" For example %s.", example)
	} else if q.Hint != "" && !picked {
		text += fmt.Sprintf(" %s.", strings.ToUpper(q.Hint[:1])+q.Hint[1:])
	}
	fmt.Fprintln(r.out, words(text))
	if listed {
		for i, o := range q.List() {
			fmt.Fprintf(r.out, "%d: %s\n", i+1, words(r.named(q, o)+"."))
		}
	}
}

// named is what is said of an option: of a tuning the name is enough to hear.
func (r *Reader) named(q form.Question, o form.Option) string {
	if r.Words != nil && q.Typed != "" && strings.HasPrefix(o.Label, o.Value+", ") {
		return o.Value
	}
	return o.Label
}
