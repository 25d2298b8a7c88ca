package main

import (
	"bytes"
	"errors"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"github.com/creack/pty"

	"surefret/cmd/surefret/screen"
)

// A player who leaves the form of the first run is told what became of it.
func TestLeavingTheFirstFormIsTold(t *testing.T) {
	keyboard, terminal, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer keyboard.Close()
	defer terminal.Close()
	pty.Setsize(terminal, &pty.Winsize{Cols: 100, Rows: 40})
	go io.Copy(io.Discard, keyboard)
	io.WriteString(keyboard, "\x1b")
	p := &program{in: terminal, out: terminal, err: io.Discard, getenv: func(string) string { return "" }, database: filepath.Join(t.TempDir(), "p.db")}
	pl, err := p.openPlayer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer pl.db.Close()
	err = p.firstRun(t.Context(), pl, false)
	if !errors.Is(err, screen.ErrLeft) || !strings.Contains(err.Error(), "nothing is changed: practice begins after it") {
		t.Errorf("%v; want it told", err)
	}
	if !pl.Fresh {
		t.Error("the form was left, and counts as filled in")
	}
}

// Flags are read before anything is asked: the form of the first run would be
// filled in for nothing.
func TestFlagsAreCheckedBeforeTheFirstForm(t *testing.T) {
	for _, flags := range [][]string{
		{"--minutes", "500"}, {"--strings", "9"}, {"--drill", "scales"}, {"--frets", "12-5"}, {"--keys", "H"}, {"--notes", "blue"}, {"--gig", "none"},
	} {
		var errs bytes.Buffer
		dir := t.TempDir()
		p := &program{in: strings.NewReader("stop\n"), out: io.Discard, err: &errs, getenv: func(string) string { return "" }}
		code := p.run(t.Context(), append([]string{"practice", "--db", filepath.Join(dir, "p.db")}, flags...))
		if code == exitDone || strings.Contains(errs.String(), "No settings are saved") {
			t.Errorf("%v: exit code %d, said %q", flags, code, errs.String())
		}
	}
}
