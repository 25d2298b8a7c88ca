package main

import (
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
