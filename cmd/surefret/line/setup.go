package line

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strconv"

	"surefret/cmd/surefret/settings"
)

// Setup asks for the settings as plain questions, one a line: an empty answer
// keeps what is set, a number picks one of the answers listed, "stop" or the end
// of input keeps what was answered so far and leaves the rest.
func Setup(in io.Reader, out, errs io.Writer, s settings.Settings) (settings.Settings, error) {
	lines := bufio.NewReaderSize(in, longestLine)
	for _, f := range settings.Fields {
		goOn, err := ask(lines, out, errs, f, &s)
		if err != nil || !goOn {
			return s, err
		}
	}
	return s, nil
}

// ask puts one field until it has a good answer. It reports whether to go on.
func ask(in *bufio.Reader, out, errs io.Writer, f settings.Field, s *settings.Settings) (bool, error) {
	for {
		for i, o := range f.Options {
			fmt.Fprintf(out, "%d: %s.\n", i+1, o.Label)
		}
		fmt.Fprintf(out, "%s Now %s.", f.Ask, f.Get(*s))
		if f.Hint != "" {
			fmt.Fprintf(out, " Give %s.", f.Hint)
		}
		fmt.Fprintln(out)
		text, err := readLine(in)
		if errors.Is(err, io.EOF) || text == "stop" {
			return false, nil
		}
		if err != nil {
			return false, fmt.Errorf("read the answer: %w", err)
		}
		if text == "" {
			return true, nil
		}
		if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= len(f.Options) {
			text = f.Options[n-1].Value
		}
		if err := f.Set(s, text); err != nil {
			fmt.Fprintln(errs, err)
			continue
		}
		return true, nil
	}
}
