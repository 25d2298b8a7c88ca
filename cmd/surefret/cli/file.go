package cli

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// WriteFile writes a file whole or not at all: what was there before stays until
// the new one is complete. Who may read it is for the player's umask to say. A
// link, a pipe or a device is written through: it must not lose its place to a
// file.
func WriteFile(name string, write func(io.Writer) error) error {
	fail := func(err error) error {
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return fmt.Errorf("cannot write %s: there is no folder %s; make it, or choose another place", name, filepath.Dir(name))
		case errors.Is(err, syscall.ENOSPC):
			return fmt.Errorf("cannot write %s: %w; make room, or choose another place", name, err)
		}
		return fmt.Errorf("cannot write %s: %w; choose another place", name, err)
	}
	if info, err := os.Lstat(name); err == nil && !info.Mode().IsRegular() {
		through, err := os.OpenFile(name, os.O_WRONLY|os.O_TRUNC, 0)
		if err != nil {
			return fail(Reason(err))
		}
		if err := errors.Join(write(through), through.Close()); err != nil {
			return fail(Reason(err))
		}
		return nil
	}
	tmp, err := os.OpenFile(filepath.Join(filepath.Dir(name), ".surefret-"+rand.Text()), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return fail(Reason(err))
	}
	defer os.Remove(tmp.Name())
	if err := write(tmp); err != nil {
		tmp.Close()
		return fail(Reason(err))
	}
	if err := errors.Join(tmp.Sync(), tmp.Close()); err != nil {
		return fail(Reason(err))
	}
	if err := os.Rename(tmp.Name(), name); err != nil {
		return fail(Reason(err))
	}
	return nil
}

// Reason is what the system says of a failure, without the name of the
// temporary file it was about.
func Reason(err error) error {
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

// OpenInput opens a file to read, which kind names to the player. Only a regular
// file will do: a pipe or a device would be waited for.
func OpenInput(name, kind string) (*os.File, error) {
	info, err := os.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, Usagef("there is no file %s: give the name of %s", name, kind)
	case err == nil && !info.Mode().IsRegular():
		return nil, Usagef("%s is a folder, a pipe or a device: give the name of %s in a file", name, kind)
	}
	f, err := os.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, Usagef("cannot read %s from %s: %w; check its name and that you may read it", kind, name, Reason(err))
	}
	return f, nil
}

// ReadText reads a text of at most so many bytes from a file, which kind names
// to the player. Of a larger one no more is read than that.
func ReadText(name, kind string, most int64) (string, error) {
	f, err := OpenInput(name, kind)
	if err != nil {
		return "", err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, most+1))
	switch {
	case err != nil:
		return "", fmt.Errorf("read %s from %s: %w", kind, name, Reason(err))
	case int64(len(text)) > most:
		return "", Usagef("%s is too large for %s: expected at most %d MB", name, kind, most>>20)
	}
	return string(text), nil
}

// LargestTab is the most bytes of tablature that are read: some hundred pages.
const LargestTab = 1 << 20

// ReadTab reads the text of a part in tablature.
func ReadTab(name string) (string, error) { return ReadText(name, "a part in tablature", LargestTab) }
