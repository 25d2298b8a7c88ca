//go:build !unix

package store

import (
	"errors"
	"os"
)

// Where it cannot be told, a process is taken to run, and a file to be free: the
// system does not let another one rename a file that is open.
func alive(int) bool                { return true }
func lockedElsewhere(*os.File) bool { return false }

// writable reports whether files can be made in a folder.
func writable(dir string) bool {
	probe, err := os.CreateTemp(dir, ".surefret-*")
	if err != nil {
		return false
	}
	return errors.Join(probe.Close(), os.Remove(probe.Name())) == nil
}
