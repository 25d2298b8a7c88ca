//go:build !unix

// Package job is empty where a terminal stops no programs.
package job

import "context"

// A Watch sees no stops.
type Watch struct{}

// Begin does nothing.
func Begin(context.Context) Watch { return Watch{} }

// Stopped returns false.
func (Watch) Stopped() bool { return false }

// Suspend returns at once.
func (Watch) Suspend() {}

// Quit does nothing.
func Quit() {}
