package report

import (
	"regexp"
	"strings"

	"github.com/charmbracelet/x/ansi"
)

var quoted = regexp.MustCompile(`'surefret [^']*'`)

// Fold breaks text into lines of at most width columns, the first behind one
// indent and what follows behind the other. A word that is longer has a line of
// its own; a figure stays with its per cent sign, and a command in quotes is whole, to be
// copied. Text without words is one empty line.
func Fold(first, rest, text string, width int) []string {
	var lines []string
	line, empty := first, true
	if strings.Contains(text, "'surefret ") {
		text = quoted.ReplaceAllStringFunc(text, func(command string) string {
			if len(rest)+len(command)+len(".") > width {
				return command
			}
			return strings.ReplaceAll(command, " ", "\x00")
		})
	}
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
