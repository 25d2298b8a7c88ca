//go:build !windows

package main

import (
	"context"
	"io"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/creack/pty"

	"surefret/cmd/surefret/console"
	"surefret/cmd/surefret/demo"
	"surefret/drills/gig"
	"surefret/store"
)

// homeOf returns a program on a fresh database that holds gigs, at noon of a day.
func homeOf(t *testing.T, day string, gigs ...gig.Gig) *program {
	t.Helper()
	path := filepath.Join(t.TempDir(), "surefret.db")
	db, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range gigs {
		if err := db.PutGig(t.Context(), g); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	env := map[string]string{"SUREFRET_CLOCK": day + "T12:00:00Z", "SUREFRET_DB": path, "LANG": "C.UTF-8"}
	return &program{Console: console.Console{In: strings.NewReader(""), Out: io.Discard, Err: io.Discard, Getenv: func(k string) string { return env[k] }}}
}

// onPhone runs a command on a terminal of 40 columns and returns its lines.
func onPhone(t *testing.T, p *program, args ...string) []string {
	t.Helper()
	master, tty, err := pty.Open()
	if err != nil {
		t.Skipf("no pseudo-terminal: %v", err)
	}
	defer master.Close()
	if err := pty.Setsize(tty, &pty.Winsize{Cols: 40, Rows: 30}); err != nil {
		t.Fatal(err)
	}
	said := make(chan string)
	go func() {
		all, _ := io.ReadAll(master) // ends with an error when the other end is closed
		said <- string(all)
	}()
	p.Out = tty
	if code := p.run(context.Background(), args); code != exitDone {
		t.Errorf("%v: exit code %d", args, code)
	}
	tty.Close()
	return strings.Split(strings.ReplaceAll(<-said, "\r\n", "\n"), "\n")
}

func TestQuickHelpFitsAPhone(t *testing.T) {
	g := demo.Gigs(0)[0]
	g.ID, g.Day = "1", "2026-12-05"
	g.Songs = append(g.Songs, crowded())
	p := homeOf(t, "2026-12-01", g)
	for _, args := range [][]string{
		{"gig", "show", g.Name}, {"gig", "call", "Tin Umbrella", "Db"}, {"gig", "call", "low water waltz", "D#m"}, {"key", "Bb"}, {"key", "F#m"}, {"gig", "list"},
	} {
		lines := onPhone(t, p, args...)
		if len(lines) < 2 {
			t.Errorf("%v says %q", args, lines)
		}
		for _, l := range lines {
			if n := utf8.RuneCountInString(l); n > 40 {
				t.Errorf("%v: %d columns: %s", args, n, l)
			}
		}
	}
}
