// Package quiet keeps the terminal library from asking the terminal for its
// background colour while the program starts.
//
// bubbletea asks in its package's init. So every command of a program that links
// it would write escape codes to the terminal, swallow the keys typed before the
// reply, and wait five seconds where nothing replies. It does not ask a terminal
// whose TERM is "dumb". This package says so before bubbletea is initialised, and
// package screen, which is initialised after bubbletea, takes it back.
//
// The order holds because this package imports syscall alone. Go initialises, of
// the packages that are ready, the one whose import path sorts first (the Go
// specification, "Program initialization"). What bubbletea needs includes os,
// which needs time; and "time" sorts after "surefret". An import added here may
// break that: a test of package screen looks for the question on a terminal.
package quiet

import "syscall"

var term, found = syscall.Getenv("TERM")

func init() { syscall.Setenv("TERM", "dumb") }

// Restore gives the environment its TERM back.
func Restore() {
	if found {
		syscall.Setenv("TERM", term)
	} else {
		syscall.Unsetenv("TERM")
	}
}
