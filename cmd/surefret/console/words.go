package console

import (
	"fmt"
	"io"
	"sync"

	"surefret/cmd/surefret/cli"
)

// Say prints sentences, one a line.
func (c *Console) Say(sentences []string) error {
	for _, s := range sentences {
		if err := c.Print([]string{cli.Shown(s)}); err != nil {
			return err
		}
	}
	return nil
}

// Print prints lines as they are.
func (c *Console) Print(lines []string) error {
	for _, l := range lines {
		if _, err := fmt.Fprintln(c.Out, l); err != nil {
			return err
		}
	}
	return nil
}

// Speaking reports whether what is printed is put into words.
func (c *Console) Speaking() bool { return c.speaks != nil && c.speaks() }

// SpeakBy has what is printed from now on put into words by the function that words
// returns, or left as it is where that is nil. words is asked once, when something is
// printed.
func (c *Console) SpeakBy(words func() func(string) string) {
	words = sync.OnceValue(words)
	c.speaks = func() bool { return words() != nil }
	c.Out, c.Err = inWords{c.Out, words}, inWords{c.Err, words}
}

// inWords is a writer that puts what is written into words; as it stands where there are
// none.
type inWords struct {
	io.Writer
	words func() func(string) string
}

func (w inWords) Write(b []byte) (int, error) {
	say := w.words()
	if say == nil {
		return w.Writer.Write(b)
	}
	_, err := io.WriteString(w.Writer, say(string(b)))
	return len(b), err
}
