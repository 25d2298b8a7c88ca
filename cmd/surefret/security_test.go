package main

import (
	"debug/elf"
	"debug/gosym"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"unicode"

	"surefret/cmd/surefret/demo"
)

// The tests here belong to the table of threats in DEVELOPERS.md.

// TestTheProgramHasNoCodeForANetwork looks into this program of tests, in which all of
// surefret is linked: neither the functions of Go that open a connection, nor those of
// the system, are in it. (The package net itself is: the flags of cobra know how to read
// an address. With it come the C half of its resolver, which nothing calls, and accepting
// and sending, methods of every open file that without a socket lead nowhere.)
func TestTheProgramHasNoCodeForANetwork(t *testing.T) {
	name, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	f, err := elf.Open(name)
	if err != nil {
		t.Skipf("no program of Linux: %v", err)
	}
	defer f.Close()
	section := f.Section(".gopclntab")
	if section == nil {
		section = f.Section(".data.rel.ro.gopclntab")
	}
	lines, err := section.Data()
	if err != nil {
		t.Fatal(err)
	}
	table, err := gosym.NewTable(nil, gosym.NewLineTable(lines, f.Section(".text").Addr))
	if err != nil {
		t.Fatal(err)
	}
	var names strings.Builder
	for _, f := range table.Funcs {
		fmt.Fprintf(&names, " %s\n", f.Name)
	}
	symbols := names.String()
	if !strings.Contains(symbols, " surefret/cmd/surefret.main\n") {
		t.Fatal("no functions are named in the program, so nothing can be looked for")
	}
	for _, bad := range regexp.MustCompile(`(?m) (net/http|crypto/tls|net/rpc|net/smtp)\.| net\.\(\*(Dialer|Resolver|TCPConn|UDPConn|UnixConn|TCPListener)\)| net\.(Dial|Listen|Lookup)| syscall\.([cC]onnect|[sS]ocket|[bB]ind|[lL]isten)$`).FindAllString(symbols, 5) {
		t.Errorf("the program can use a network:%s", bad)
	}
	imported, err := f.ImportedSymbols()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range imported {
		switch s.Name {
		case "socket", "connect", "bind", "listen":
			t.Errorf("the program asks the system for %s", s.Name)
		}
	}
}

// A part that came by mail is shown without what would steer the terminal.
func TestAPartCannotSteerTheTerminal(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "mailed.tab")
	mailed := "Hello \x1b[2J\x1b]0;title\x07 \u009b1m\x00\x7f\n" + demo.Part
	if err := os.WriteFile(name, []byte(mailed), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"part", "move", name, "--from", "D", "--to", "C"},
		{"part", "move", name, "--from", "D", "--to", "D", "--json"},
		{"part", "move", name, "--from", "\x1b[2J", "--to", "D"},
		{"gig", "show", "\x1b[2J"},
		{"\x1b[2J"},
		{"practice", "--\x1b[2J"},
		{"practice", "--minutes", "\x1b[2J"},
		{"part", "move", "\x1b[2J", "--from", "C", "--to", "D"},
		{"data", "import", "\x1b[2J"},
	} {
		out, said, _ := runHere(t, dir, "", args...)
		for _, r := range out + said {
			if unicode.IsControl(r) && r != '\n' && r != '\t' {
				t.Errorf("surefret %q prints the control character %U", args, r)
				break
			}
		}
	}
	if out, _, _ := runHere(t, dir, "", "part", "move", name, "--from", "D", "--to", "C"); !strings.Contains(out, "Hello ") || !strings.Contains(out, "Tin Umbrella, intro") {
		t.Errorf("the text around the part is gone:\n%s", out)
	}
}

// What is written does not take the place of a link, a device or a folder, and
// is whole or not there.
func TestWritingRespectsWhatIsThere(t *testing.T) {
	dir := t.TempDir()
	target, link := filepath.Join(dir, "target.svg"), filepath.Join(dir, "link.svg")
	if err := os.WriteFile(target, []byte("something longer than nothing"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(target, link); err != nil {
		t.Skip(err)
	}
	if _, said, code := runHere(t, dir, "", "neck", "--svg", link); code != exitDone {
		t.Fatal(said)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is a link no more: %v, %v", info, err)
	}
	if text, err := os.ReadFile(target); err != nil || !strings.HasPrefix(string(text), "<svg") || !strings.HasSuffix(strings.TrimSpace(string(text)), "</svg>") {
		t.Errorf("what it leads to holds %.40q, %v", text, err)
	}
	// A pipe stands for every device: none of the machine's own is put at risk.
	pipe := filepath.Join(dir, "pipe.svg")
	if err := exec.Command("mkfifo", pipe).Run(); err == nil {
		end, err := os.OpenFile(pipe, os.O_RDWR, 0)
		if err != nil {
			t.Fatal(err)
		}
		got := make(chan string, 1)
		go func() {
			var all []byte
			for part := make([]byte, 4096); !strings.Contains(string(all), "</svg>"); {
				n, err := end.Read(part)
				if err != nil {
					break
				}
				all = append(all, part[:n]...)
			}
			got <- string(all)
		}()
		_, said, code := runHere(t, dir, "", "neck", "--svg", pipe)
		if info, err := os.Lstat(pipe); err != nil || info.Mode()&os.ModeNamedPipe == 0 {
			t.Errorf("the pipe is a pipe no more: %v, %v", info, err)
		} else if text := <-got; code != exitDone || !strings.HasPrefix(text, "<svg") {
			t.Errorf("through the pipe came %.40q, and %s", text, said)
		}
		end.Close()
	}
	if _, _, code := runHere(t, dir, "", "neck", "--svg", dir); code != exitFailed {
		t.Errorf("writing over a folder ends with %d, want %d", code, exitFailed)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".surefret-*")); len(left) > 0 {
		t.Errorf("left behind: %q", left)
	}
}

// The demo writes below a folder that all users share, where its name can be
// guessed.
func TestTheDemoTrustsNoFolderOfOthers(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("there each user has a folder of his own")
	}
	for _, trap := range []struct {
		what string
		set  func(dir string) error
	}{
		{"a folder that others may write", func(dir string) error {
			if err := os.Mkdir(dir, 0o700); err != nil {
				return err
			}
			return os.Chmod(dir, 0o777)
		}},
		{"a link", func(dir string) error {
			elsewhere := dir + "-elsewhere"
			if err := os.Mkdir(elsewhere, 0o700); err != nil {
				return err
			}
			return os.Symlink(elsewhere, dir)
		}},
	} {
		t.Run(trap.what, func(t *testing.T) {
			home := t.TempDir()
			t.Setenv("TMPDIR", home)
			dir := filepath.Join(home, fmt.Sprintf("surefret-demo-%d-2026-11-25", os.Getuid()))
			if err := trap.set(dir); err != nil {
				t.Fatal(err)
			}
			if _, said, code := runHere(t, home, "", "demo", "neck"); code != exitUsage || !strings.Contains(said, "not a folder of yours alone") {
				t.Errorf("it ends with %d and says %q", code, said)
			}
		})
	}
}
