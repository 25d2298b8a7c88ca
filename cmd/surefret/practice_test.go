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

// At a terminal the first run asks: Space takes what is shown, and who leaves it is
// told how to begin.
func TestTheFirstRunTakesAKeyToBegin(t *testing.T) {
	for keys, began := range map[string]bool{" ": true, "\x1b": false} {
		keyboard, terminal, err := pty.Open()
		if err != nil {
			t.Fatal(err)
		}
		defer keyboard.Close()
		defer terminal.Close()
		pty.Setsize(terminal, &pty.Winsize{Cols: 100, Rows: 40})
		go io.Copy(io.Discard, keyboard)
		io.WriteString(keyboard, keys)
		p := &program{in: terminal, out: terminal, err: io.Discard, getenv: func(string) string { return "" }, database: filepath.Join(t.TempDir(), "p.db")}
		pl, err := p.openPlayer(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		defer pl.db.Close()
		var o practiceOptions
		err = p.firstRun(t.Context(), pl, false, &o)
		switch {
		case began && (err != nil || pl.Fresh):
			t.Errorf("%q: %v, settings saved: %v", keys, err, !pl.Fresh)
		case !began && (!errors.Is(err, screen.ErrLeft) || !strings.Contains(err.Error(), "to begin, run this again") || !pl.Fresh):
			t.Errorf("%q: %v, settings saved: %v", keys, err, !pl.Fresh)
		}
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
		if code == exitDone || strings.Contains(errs.String(), "No settings yet") {
			t.Errorf("%v: exit code %d, said %q", flags, code, errs.String())
		}
	}
}
