//go:build unix

package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"surefret/drills"
	"surefret/store"
)

// bound returns a command line of the program as one whom permissions bind: root they
// do not, but for one without his powers.
func bound(t *testing.T, home string, args ...string) *exec.Cmd {
	t.Helper()
	program := filepath.Join(home, "surefret")
	if _, err := os.Lstat(program); errors.Is(err, fs.ErrNotExist) {
		if err := os.Symlink(os.Args[0], program); err != nil {
			t.Fatal(err)
		}
	}
	args = append([]string{program}, args...)
	if os.Geteuid() == 0 {
		setpriv, err := exec.LookPath("setpriv")
		if err != nil {
			t.Skip("setpriv is needed to try this as root")
		}
		args = append([]string{setpriv, "--bounding-set=-all", "--inh-caps=-all"}, args...)
	}
	cmd := exec.Command(args[0], args[1:]...)
	cmd.Env = append(os.Environ(), "HOME="+home, "XDG_DATA_HOME=", "SUREFRET_CLOCK=2026-11-25T18:00:00Z", "TERM=dumb")
	return cmd
}

// allIn returns the names, modes, times and contents of the files in a folder.
func allIn(t *testing.T, dir string) string {
	t.Helper()
	var all strings.Builder
	err := filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := e.Info()
		fmt.Fprintln(&all, name, info.Mode(), info.ModTime())
		if e.Type().IsRegular() {
			text, err := os.ReadFile(name)
			all.Write(text)
			return err
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all.String()
}

// On a medium that cannot be written, what only reads still reads, and beside a damaged
// practice what needs none still works.
func TestWhatWorksWithoutWriting(t *testing.T) {
	home := stocked(t)
	place := filepath.Join(home, ".local", "share", "surefret")
	path := filepath.Join(place, "surefret.db")
	db, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	err = db.AppendAll(t.Context(), func(yield func(drills.Answer) bool) { // enough to take a while to count
		for n := range 10_000 {
			at := time.Date(2026, 11, 1+n/500, 18, 0, n%500, 0, time.UTC)
			if !yield(drills.Answer{ID: db.NewID(at), At: at, Day: at.Format(time.DateOnly), Item: "note/E2+3/name", Given: "G", Want: "G", Right: true, Thinking: time.Second, Entry: drills.EntryKeys}) {
				return
			}
		}
	})
	if err := errors.Join(err, db.Close()); err != nil {
		t.Fatal(err)
	}
	needNone := []string{"key Eb", "shape list", "shape show e-form-major --root Bb", "part move tin-umbrella.tab --from D --to Bb", "play note E2 --wav e.wav", "song move umbrella.txt --to Ab"}
	onlyRead := []string{"neck", "progress", "gig list", "gig show \"Harbour Fair\"", "song list", "song show Cockles", "choose", "data export", "data where", "data check", "data backup copy.db", "pupils " + path}
	run := func(line, on string) (code int, out, said string) {
		var o, e bytes.Buffer
		cmd := bound(t, home, commandLine(line)...)
		cmd.Stdin, cmd.Stdout, cmd.Stderr = strings.NewReader(""), &o, &e
		if err := cmd.Run(); err != nil && cmd.ProcessState == nil {
			t.Fatal(err)
		}
		t.Logf("%s: %s ends with %d: %s", on, line, cmd.ProcessState.ExitCode(), e.String())
		return cmd.ProcessState.ExitCode(), o.String(), e.String()
	}

	if err := errors.Join(os.Chmod(path, 0o400), os.Chmod(place, 0o500)); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.Chmod(place, 0o700) })
	before := allIn(t, place)
	for _, line := range append(onlyRead, needNone...) {
		os.Remove("copy.db")
		if code, out, said := run(line, "read-only"); code != exitDone || strings.Contains(said, "surefret:") || out == "" && !strings.Contains(line, "--wav") {
			t.Errorf("%s ends with %d: %q, %s", line, code, out, said)
		}
	}
	for _, line := range []string{"practice --line --mute", "gig add Late --day 2026-12-24", "data merge laptop.db", "choose only tenths"} {
		if code, _, said := run(line, "read-only"); code != exitFailed || !strings.HasPrefix(said, "surefret: could not open the practice, no permission to read and write "+path) {
			t.Errorf("%s ends with %d: %s", line, code, said)
		}
	}
	if allIn(t, place) != before {
		t.Error("something was written there")
	}

	content, err := os.ReadFile(path)
	copy(content[4096:], strings.Repeat("noise ", 1000))
	if err := errors.Join(err, os.Chmod(place, 0o700), os.Chmod(path, 0o600), os.WriteFile(path, content, 0o600)); err != nil {
		t.Fatal(err)
	}
	for _, line := range needNone {
		if code, _, said := run(line, "damaged"); code != exitDone || !strings.Contains(said, "damaged") {
			t.Errorf("%s ends with %d: %s", line, code, said)
		}
	}
	if text, _ := os.ReadFile(path); !bytes.Equal(text, content) {
		t.Error("what is damaged was changed")
	}
}
