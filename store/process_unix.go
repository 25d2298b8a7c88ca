//go:build unix

package store

import (
	"io"
	"os"
	"syscall"
)

// alive reports whether a process of this computer still runs.
func alive(pid int) bool { return syscall.Kill(pid, 0) != syscall.ESRCH }

// writable reports whether files can be made in a folder.
func writable(dir string) bool { return syscall.Access(dir, 2) == nil }

// lockedElsewhere reports whether another process has the database f open: in WAL
// mode each one holds a lock on it (the bytes are those of SQLite's os_unix.c).
func lockedElsewhere(f *os.File) bool {
	lock := syscall.Flock_t{Type: syscall.F_WRLCK, Whence: io.SeekStart, Start: 0x40000000, Len: 512}
	return syscall.FcntlFlock(f.Fd(), syscall.F_GETLK, &lock) == nil && lock.Type != syscall.F_UNLCK
}
