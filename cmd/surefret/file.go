package main

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// writeFile writes a file whole or not at all: what was there before stays until
// the new one is complete. Who may read it is for the player's umask to say. A
// link, a pipe or a device is written through: it must not lose its place to a
// file.
func writeFile(name string, write func(io.Writer) error) error {
	fail := func(err error) error {
		return fmt.Errorf("cannot write %s: %w; choose another place or make room", name, err)
	}
	if info, err := os.Lstat(name); err == nil && !info.Mode().IsRegular() {
		through, err := os.OpenFile(name, os.O_WRONLY|os.O_TRUNC, 0)
		if err != nil {
			return fail(reason(err))
		}
		if err := errors.Join(write(through), through.Close()); err != nil {
			return fail(reason(err))
		}
		return nil
	}
	tmp, err := os.OpenFile(filepath.Join(filepath.Dir(name), ".surefret-"+rand.Text()), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return fail(reason(err))
	}
	defer os.Remove(tmp.Name())
	if err := write(tmp); err != nil {
		tmp.Close()
		return fail(reason(err))
	}
	if err := errors.Join(tmp.Sync(), tmp.Close()); err != nil {
		return fail(reason(err))
	}
	if err := os.Rename(tmp.Name(), name); err != nil {
		return fail(reason(err))
	}
	return nil
}

// reason is what the system says of a failure, without the name of the
// temporary file it was about.
func reason(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	var between *os.LinkError
	if errors.As(err, &between) {
		return between.Err
	}
	return err
}
