package line

import (
	"bufio"
	"errors"
	"fmt"
	"io"

	"surefret/cmd/surefret/form"
)

// A Reader reads answers to forms, several in turn, from one input.
type Reader struct {
	in        *bufio.Reader
	out, errs io.Writer
	ended     bool
}

// Ended reports whether the input ended before a form was answered: nobody was
// there, or is there any more.
func (r *Reader) Ended() bool { return r.ended }

// Buffered returns in with a buffer that forms and the session share.
func Buffered(in io.Reader) io.Reader { return bufio.NewReaderSize(in, longestLine) }

// NewReader returns a reader of answers; questions go to out, refusals to errs.
func NewReader(in io.Reader, out, errs io.Writer) *Reader {
	return &Reader{in: bufio.NewReaderSize(in, longestLine), out: out, errs: errs}
}

// Ask puts the questions of a form as plain lines, one a line: an empty answer
// takes what is there, a number picks one of the answers listed, "-" stands for
// nothing, "back" goes back to the question before. It reports whether all were
// answered; "stop" or the end of input leaves the rest.
func (r *Reader) Ask(f form.Form) (answered bool, err error) {
	if f.Title != "" {
		fmt.Fprintf(r.out, "%s. %s\n", f.Title, f.Note)
	}
	for i := 0; i < len(f.Questions); {
		q := f.Questions[i]
		r.put(q)
		text, err := readLine(r.in)
		if errors.Is(err, io.EOF) || text == "stop" {
			r.ended = text != "stop"
			return false, nil
		}
		if err != nil {
			return false, fmt.Errorf("read the answer: %w", err)
		}
		switch {
		case text == "back":
			i = max(i-1, 0)
			continue
		case text == "help" || text == "?":
			fmt.Fprintln(r.errs, "Type the answer or the number of one. An empty line keeps what is there, - stands for nothing, back asks the question before again, stop leaves the rest.")
			continue
		case text == "" && *q.Value != "":
			i++ // it stays as it is
			continue
		case text == "-":
			text = ""
		}
		if err := q.Set(text); err != nil {
			fmt.Fprintln(r.errs, err)
			continue
		}
		i++
	}
	return true, nil
}

// mostListed is how many options are read out; of more, the hint says where they
// are listed.
const mostListed = 40

// put prints a question with what may be answered.
func (r *Reader) put(q form.Question) {
	if len(q.Options) <= mostListed {
		for i, o := range q.Options {
			fmt.Fprintf(r.out, "%d: %s.\n", i+1, o.Label)
		}
	}
	fmt.Fprint(r.out, q.Ask)
	if *q.Value != "" {
		fmt.Fprintf(r.out, " Now %s.", *q.Value)
	}
	if q.Hint != "" {
		fmt.Fprintf(r.out, " Give %s.", q.Hint)
	}
	fmt.Fprintln(r.out)
}
