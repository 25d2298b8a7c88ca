package report

import (
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// Fold breaks text into lines of at most width columns, the first behind one
// indent and what follows behind the other. A word that is longer has a line of
// its own, and a figure stays with its per cent sign. Text without words is one
// empty line.
func Fold(first, rest, text string, width int) []string {
	var lines []string
	line, empty := first, true
	for _, word := range strings.Fields(strings.ReplaceAll(text, " %", "\x00%")) {
		word = strings.ReplaceAll(word, "\x00", " ")
		switch {
		case empty:
			line += word
		case ansi.StringWidth(line)+1+ansi.StringWidth(word) <= width:
			line += " " + word
		default:
			lines, line = append(lines, line), rest+word
		}
		empty = false
	}
	return append(lines, line)
}
