// Package background answers a question before it is asked: the terminal's
// background counts as dark.
//
// The terminal library asks the terminal for its background colour while its
// package is initialised. So every command of a program that links it would
// write escape codes to the terminal, swallow keys typed before the reply, and
// wait five seconds where nothing replies. Saying the answer first keeps it
// silent. Go initialises packages that are ready in the order of their import
// paths, and "surefret/..." comes after "github.com/..."; that is why this is a
// module of its own, whose path sorts first. The colours of surefret's screens
// hold on either background.
package background

import "github.com/charmbracelet/lipgloss"

func init() { lipgloss.SetHasDarkBackground(true) }
