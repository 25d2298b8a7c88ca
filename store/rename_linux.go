package store

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// renameNew gives tmp the name path unless that is taken, in one step.
func renameNew(tmp, path string) error {
	err := unix.Renameat2(unix.AT_FDCWD, tmp, unix.AT_FDCWD, path, unix.RENAME_NOREPLACE)
	if errors.Is(err, unix.ENOSYS) || errors.Is(err, unix.EINVAL) { // this file system cannot
		return renameUnlessThere(tmp, path)
	}
	return os.NewSyscallError("rename", err)
}
