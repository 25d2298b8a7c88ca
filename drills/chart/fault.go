package chart

import (
	"fmt"
	"strings"
)

// A fault is something in a chart that was not understood.
type fault struct {
	line, column int    // from 1; the column counts letters. 0 is the one line that was typed
	text         string // what stands there
	reading      string // the nearest reading, or both of them: "repeat three times? write (x3)"
}

// String tells the fault in one sentence without a full stop.
func (f fault) String() string {
	if f.line == 0 {
		return fmt.Sprintf("%s, at letter %d: %s", clip(f.text), f.column, f.reading)
	}
	return fmt.Sprintf("line %d, column %d: %s: %s", f.line, f.column, clip(f.text), f.reading)
}

// faults are the error of a chart that was not understood, in the order of its lines.
// It has one at least, and at most as many as are worth reading.
type faults struct {
	name string // of the file
	list []fault
}

// mostFaults is how many faults are collected.
const mostFaults = 20

// Error tells the first fault, and how many others there are.
func (f *faults) Error() string {
	s := f.list[0].String()
	if f.name != "" {
		s = f.name + ", " + s
	}
	if n := len(f.list) - 1; n == 1 {
		s += " (and one more like it)"
	} else if n > 1 {
		s += fmt.Sprintf(" (and %d more like it)", n)
	}
	return s
}

// clip keeps a quoted text short, and its control characters from a terminal.
func clip(text string) string {
	text = strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 {
			return '?'
		}
		return r
	}, text)
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return text
}

// contains reports whether s holds one of the runes of set.
func contains(s, set string) bool { return s != "" && strings.ContainsAny(s, set) }
