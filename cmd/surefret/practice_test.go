package main

import (
	"errors"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"github.com/creack/pty"

	"surefret/cmd/surefret/console"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/settings"
)

// At a terminal the first run asks: Space takes what is shown, and who leaves it is
// told how to begin.
func TestTheFirstRunTakesAKeyToBegin(t *testing.T) {
	for _, way := range []struct {
		keys  string
		lines bool
		began bool
	}{{" ", false, true}, {"\x1b", false, false}, {"\n\n\n\n\n", true, true}, {"stop\n", true, false}} {
		keys, began := way.keys, way.began

		keyboard, terminal, err := pty.Open()
		if err != nil {
			t.Fatal(err)
		}
		defer keyboard.Close()
		defer terminal.Close()
		pty.Setsize(terminal, &pty.Winsize{Cols: 100, Rows: 40})
		go io.Copy(io.Discard, keyboard)
		io.WriteString(keyboard, keys)
		p := &program{Console: console.Console{In: terminal, Out: terminal, Err: io.Discard, Getenv: func(string) string { return "" }}, database: filepath.Join(t.TempDir(), "p.db")}
		pl, err := p.openPlayer(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		defer pl.DB.Close()
		var o practiceOptions
		err = p.firstRun(t.Context(), pl, way.lines, &o)
		switch {
		case began && (err != nil || pl.Fresh):
			t.Errorf("%q: %v, settings saved: %v", keys, err, !pl.Fresh)
		case !began && (!errors.Is(err, screen.ErrLeft) || !strings.Contains(err.Error(), "to begin, run this again and press "+map[bool]string{false: "Space", true: "Enter"}[way.lines]) || !pl.Fresh):
			t.Errorf("%q: %v, settings saved: %v", keys, err, !pl.Fresh)
		}
	}
}

// The typing measure comes after the first sitting, and before none: nor before a check of
// what is known.
func TestTypingIsMeasuredAfterTheFirstSitting(t *testing.T) {
	for _, command := range []string{"practice --placing", "practice"} {
		master, tty, err := pty.Open()
		if err != nil {
			t.Skipf("no pseudo-terminal: %v", err)
		}
		defer master.Close()
		pty.Setsize(tty, &usual)
		p, _, _, errs := listening(saved(t, func(*settings.Settings) {}))
		p.In, p.Out = tty, tty
		s := watch(t, master)
		ended := make(chan int, 1)
		go func() { ended <- p.run(t.Context(), strings.Fields(command)); tty.Close() }()
		s.shows("question 1")
		s.presses("=", "counts as missed")
		s.presses("\x1b", "Done.")
		s.presses("\r", "Copy what you see")
		io.WriteString(master, "\x03")
		if code := <-ended; code != 130 {
			t.Errorf("surefret %s ends with %d: %s", command, code, errs)
		}
	}
}

// Who listens is asked in plain lines by every command that has a form, with no flag.
func TestWhoListensGetsNoForm(t *testing.T) {
	path := saved(t, func(s *settings.Settings) { s.Speak = true })
	for command, want := range map[string]string{
		"":        "which note?",
		"gig add": "A new gig. Its songs come next.",
		"setup":   "Your guitar and how you play. Each can be changed later",
	} {
		master, tty, err := pty.Open()
		if err != nil {
			t.Skipf("no pseudo-terminal: %v", err)
		}
		defer master.Close()
		pty.Setsize(tty, &usual)
		p, _, _, errs := listening(path)
		p.In, p.Out = tty, tty
		s := watch(t, master)
		io.WriteString(master, "stop\nstop\n")
		ended := make(chan int, 1)
		go func() { ended <- p.run(t.Context(), strings.Fields(command)); tty.Close() }()
		s.shows(want)
		if code := <-ended; code != exitDone {
			t.Errorf("surefret %s ends with %d: %s", command, code, errs)
		}
		s.mu.Lock()
		shown := s.screen.String()
		s.mu.Unlock()
		if strings.Contains(shown, "\x1b[?1049h") {
			t.Errorf("surefret %s draws: %q", command, shown)
		}
	}
}
