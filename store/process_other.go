//go:build !unix

package store

import "os"

// Where it cannot be told, a process is taken to run, and a file to be free: the
// system does not let another one rename a file that is open.
func alive(int) bool                { return true }
func lockedElsewhere(*os.File) bool { return false }
