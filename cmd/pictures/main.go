// Command pictures makes the README's pictures from the demo: terminal screens
// as SVG from what the program really draws in a terminal, pages as PNG from
// headless Chromium. './dev pictures' runs it.
//
//	pictures PROGRAM FOLDER
//
// The clock stands still and the demo is made from fixed seeds, so that the same
// program makes the same pictures. It needs tmux and Chromium.
package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// clock is the evening that all pictures show.
const clock = "2026-11-25T18:00:00Z"

// A shot is one screen of a terminal.
type shot struct {
	name       string
	wide, high int
	args       string // of the program
	until      string // what the screen shows when it is complete
}

var shots = []shot{
	{"practice", 100, 26, "demo practice --mute --seed 4 --strings 6,5 --drill note", "Esc stop"},
	{"neck", 90, 41, "demo neck", "Weakest"},
	{"progress", 90, 50, "demo progress --since 2026-10-26", "Became fluent"},
}

// A page is one HTML page and the height of its picture.
type page struct {
	name       string
	wide, high int
	args       []string // of the program, but for the file's name
}

var pages = []page{
	{"progress-page", 1280, 1300, []string{"demo", "progress", "--html"}},
	{"gig-page", 800, 1130, []string{"demo", "gig", "show", "Harbour Fair", "--html"}},
}

func main() {
	if len(os.Args) != 3 {
		fmt.Fprintln(os.Stderr, "pictures: name the program and the folder for its pictures")
		os.Exit(2)
	}
	if err := run(os.Args[1], os.Args[2]); err != nil {
		fmt.Fprintln(os.Stderr, "pictures:", err)
		os.Exit(1)
	}
}

func run(program, folder string) error {
	program, err := filepath.Abs(program)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	work, err := os.MkdirTemp("", "surefret-pictures-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	env := append(os.Environ(), "SUREFRET_CLOCK="+clock, "TMPDIR="+work, "TZ=UTC", "LANG=C.UTF-8", "LC_ALL=C.UTF-8", "NO_COLOR=")
	for _, s := range shots {
		screen, err := s.take(program, work, env)
		if err != nil {
			return fmt.Errorf("%s: %w", s.name, err)
		}
		if err := os.WriteFile(filepath.Join(folder, s.name+".svg"), []byte(picture("surefret "+s.args, screen, s.wide)), 0o644); err != nil {
			return err
		}
	}
	for _, p := range pages {
		if err := p.take(program, work, folder, env); err != nil {
			return fmt.Errorf("%s: %w", p.name, err)
		}
	}
	return nil
}

// take runs the program in a terminal of its own and returns its screen with
// escape codes, once it is complete.
func (s shot) take(program, work string, env []string) (string, error) {
	socket := filepath.Join(work, s.name) // one a terminal: a server that ends may still hold it
	tmux := func(args ...string) (string, error) {
		cmd := exec.Command("tmux", append([]string{"-S", socket, "-f", "/dev/null"}, args...)...)
		cmd.Env = env
		out, err := cmd.Output()
		return string(out), err
	}
	line := fmt.Sprintf("TERM=xterm-256color %s %s 2>/dev/null; exec sleep 100", program, s.args)
	if _, err := tmux("new-session", "-d", "-x", fmt.Sprint(s.wide), "-y", fmt.Sprint(s.high), line); err != nil {
		return "", fmt.Errorf("open a terminal: %w; is tmux installed?", err)
	}
	defer tmux("kill-server")
	last := ""
	for range 300 {
		time.Sleep(200 * time.Millisecond)
		text, err := tmux("capture-pane", "-p", "-e")
		if err != nil {
			return "", fmt.Errorf("read the terminal: %w", err)
		}
		if text == last && strings.Contains(plain(text), s.until) {
			return text, nil
		}
		last = text
	}
	return "", fmt.Errorf("the screen never showed %q", s.until)
}

// take has the program write a page and a browser show it.
func (p page) take(program, work, folder string, env []string) error {
	file := filepath.Join(work, p.name+".html")
	cmd := exec.Command(program, append(p.args, file)...)
	cmd.Env = env
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("write the page: %w: %s", err, out)
	}
	target, err := filepath.Abs(filepath.Join(folder, p.name+".png"))
	if err != nil {
		return err
	}
	browser := exec.Command("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
		"--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
		"--user-data-dir="+filepath.Join(work, "browser"), fmt.Sprintf("--window-size=%d,%d", p.wide, p.high),
		"--screenshot="+target, "file://"+file)
	if out, err := browser.CombinedOutput(); err != nil {
		return fmt.Errorf("show the page in Chromium: %w: %s", err, out)
	}
	return nil
}
