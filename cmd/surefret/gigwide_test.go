//go:build !windows

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/creack/pty"

	"surefret/cmd/surefret/demo"
	"surefret/cmd/surefret/sheet"
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
	return &program{in: strings.NewReader(""), out: io.Discard, err: io.Discard, getenv: func(k string) string { return env[k] }}
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
	p.out = tty
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

func TestFiveHundredSongs(t *testing.T) {
	g := manySongs(gig.MostSongs)
	p := homeOf(t, "2026-12-01", g)
	var out bytes.Buffer
	p.out = &out
	if code := p.run(t.Context(), []string{"gig", "show", g.Name, "--json"}); code != exitDone {
		t.Fatalf("exit code %d", code)
	}
	var page sheet.Page
	if err := json.Unmarshal(out.Bytes(), &page); err != nil || len(page.Songs) != gig.MostSongs {
		t.Errorf("%d songs are shown: %v", len(page.Songs), err)
	}
	name := filepath.Join(t.TempDir(), "all.html")
	if code := p.run(t.Context(), []string{"gig", "show", g.Name, "--html", name}); code != exitDone {
		t.Fatalf("exit code %d", code)
	}
	if html, err := os.ReadFile(name); err != nil || bytes.Count(html, []byte("<article")) != gig.MostSongs {
		t.Errorf("the page does not hold them all: %v", err)
	}
	if code := p.run(t.Context(), []string{"gig", "song", g.Name, "One More", "--learned", "C", "--chords", "1"}); code != exitUsage {
		t.Errorf("one more: exit code %d", code)
	}
}

// demoSongs lists every song of the demo.
func demoSongs() []gig.Song {
	var all []gig.Song
	for _, g := range demo.Gigs(0) {
		all = append(all, g.Songs...)
	}
	return all
}

// manySongs is a gig of n songs.
func manySongs(n int) gig.Gig {
	g := gig.Gig{ID: "1", Name: "Harbour Fair", Day: "2026-12-05"}
	for i := range n {
		s := demoSongs()[i%7]
		s.Title = fmt.Sprintf("%s %d", s.Title, i)
		g.Songs = append(g.Songs, s)
	}
	return g
}
