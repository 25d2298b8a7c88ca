package main

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"surefret/store"
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

// write writes a file that the player asked for, as writeFile does, and says so.
// Every option that names a file to write comes through here: the practice, its
// journals and its backups are not to be written over.
func (p *program) write(name string, write func(io.Writer) error) error {
	if err := p.guard(name); err != nil {
		return err
	}
	if err := writeFile(name, write); err != nil {
		return err
	}
	fmt.Fprintf(p.err, "Written: %s\n", name)
	return nil
}

// guard refuses the name of a file that must not be written over.
func (p *program) guard(name string) error {
	path, err := p.databasePath()
	if err != nil {
		path = name + ".none" // there is no practice to protect
	}
	return named(store.Guard(path, name))
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

// openInput opens a file to read, which kind names to the player. Only a regular
// file will do: a pipe or a device would be waited for.
func openInput(name, kind string) (*os.File, error) {
	info, err := os.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, usagef("there is no file %s: give the name of %s", name, kind)
	case err == nil && !info.Mode().IsRegular():
		return nil, usagef("%s is a folder, a pipe or a device: give the name of %s in a file", name, kind)
	}
	f, err := os.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, usagef("cannot read %s from %s: %w; check its name and that you may read it", kind, name, reason(err))
	}
	return f, nil
}

// readText reads a text of at most so many bytes from a file, which kind names
// to the player. Of a larger one no more is read than that.
func readText(name, kind string, most int64) (string, error) {
	f, err := openInput(name, kind)
	if err != nil {
		return "", err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, most+1))
	switch {
	case err != nil:
		return "", fmt.Errorf("read %s from %s: %w", kind, name, reason(err))
	case int64(len(text)) > most:
		return "", usagef("%s is too large for %s: expected at most %d MB", name, kind, most>>20)
	}
	return string(text), nil
}

// largestTab is the most bytes of tablature that are read: some hundred pages.
const largestTab = 1 << 20

// readTab reads the text of a part in tablature.
func readTab(name string) (string, error) { return readText(name, "a part in tablature", largestTab) }
