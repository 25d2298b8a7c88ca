package console

import (
	"io"
	"os"
	"strings"

	"github.com/charmbracelet/x/ansi"
	"golang.org/x/term"

	"surefret/cmd/surefret/report"
)

// Folded is a writer that breaks messages between words where they go to a terminal.
func Folded(w io.Writer) io.Writer {
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return folding{f}
	}
	return w
}

// It is no *os.File itself: its WriteString would come before Write.
type folding struct{ to *os.File }

func (f folding) Write(b []byte) (int, error) {
	wide, _, err := term.GetSize(int(f.to.Fd()))
	if err != nil || wide < 40 {
		return f.to.Write(b)
	}
	lines := strings.Split(string(b), "\n")
	for i, line := range lines {
		if ansi.StringWidth(line) > wide {
			lines[i] = strings.Join(report.Fold("", "", line, wide), "\n")
		}
	}
	if _, err := f.to.WriteString(strings.Join(lines, "\n")); err != nil {
		return 0, err
	}
	return len(b), nil
}
