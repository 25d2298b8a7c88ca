//go:build !cgo

package store

// SQLite is C. Without cgo the program would build and fail only when it opens
// the player's file, so the build stops here instead.
var _ int = "cgo is off: install gcc or clang"
