//go:build unix

package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/settings"
)

// In lines and on the full screen ctrl-z stops practice, and the shell finds its
// terminal as it was; let go on, practice asks again. ctrl-\ ends it as a signal does,
// with the summary, and shows nothing of the program's inside.
func TestCtrlZAndCtrlBackslashOnATerminal(t *testing.T) {
	const script = `before=$(stty -g); ./surefret practice --drill note --strings 6 %s; stopped=$(stty -g)
		echo in the shell; fg; echo ended with $?; test "$before" = "$stopped" -a "$before" = "$(stty -g)" && echo as it was`
	for _, c := range []struct{ how, question, answer, told string }{
		{"--line", "tring 6", "show\r", "Shown"},
		{"", "which", "=", "×"},
	} {
		home := t.TempDir()
		if err := os.Symlink(os.Args[0], filepath.Join(home, "surefret")); err != nil {
			t.Fatal(err)
		}
		path := saved(t, func(s *settings.Settings) { s.Sound, s.Times = false, false })
		shell := exec.Command("sh", "-mc", fmt.Sprintf(script, c.how))
		shell.Dir = home
		shell.Env = append(os.Environ(), "HOME="+home, "SUREFRET_DB="+path, "TERM=xterm", "LC_ALL=C.UTF-8")
		master, err := pty.StartWithSize(shell, &usual)
		if err != nil {
			t.Skipf("no pseudo-terminal: %v", err)
		}
		s := watch(t, master)
		s.shows(c.question)
		s.types("\x1a")
		s.shows("in the shell")
		s.shows(c.question)
		s.types(c.answer)
		s.shows(c.told)
		s.types("\x1c")
		s.shows("1 question, 0 right")
		s.shows("ended with 131")
		s.shows("as it was")
		if strings.Contains(s.screen.String(), "goroutine") {
			t.Errorf("%s: %s", c.how, s.screen.String())
		}
		shell.Wait()
		master.Close()
		if rows := logRows(t, path); len(rows) != 1 {
			t.Errorf("%s: %+v are kept", c.how, rows)
		}
	}
}

// Where no shell could let the program go on, ctrl-z does not stop it.
func TestCtrlZWithoutAShellStopsNothing(t *testing.T) {
	for how, c := range map[string]struct{ question, answer, told string }{
		"--line": {"tring 6", "show\r", "Shown"},
		"":       {"which", "=", "×"},
	} {
		path := saved(t, func(s *settings.Settings) { s.Sound, s.Times = false, false })
		cmd := exec.Command(os.Args[0])
		cmd.Args = append([]string{"surefret", "practice", "--drill", "note", "--strings", "6"}, strings.Fields(how)...)
		cmd.Env = append(os.Environ(), "SUREFRET_DB="+path, "TERM=xterm", "LC_ALL=C.UTF-8")
		master, err := pty.StartWithSize(cmd, &usual)
		if err != nil {
			t.Skipf("no pseudo-terminal: %v", err)
		}
		s := watch(t, master)
		s.shows(c.question)
		s.types("\x1a" + c.answer)
		s.shows(c.told)
		s.types("\x1c")
		s.shows("1 question, 0 right")
		if cmd.Wait(); cmd.ProcessState.ExitCode() != exitSignaled+int(syscall.SIGQUIT) {
			t.Errorf("%q: %v", how, cmd.ProcessState)
		}
		master.Close()
	}
}

// An answer over which the program was stopped, by whatever signal and however short, is
// not timed.
func TestAStopBySignalIsNoThinking(t *testing.T) {
	path := saved(t, func(s *settings.Settings) { s.Sound = false })
	cmd := exec.Command(os.Args[0])
	cmd.Args = []string{"surefret", "practice", "--line", "--drill", "note", "--db", path}
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	lines.Scan()
	question := lines.Text()
	cmd.Process.Signal(syscall.SIGSTOP)
	cmd.Process.Signal(syscall.SIGCONT)
	io.WriteString(in, "\n") // asks again
	if lines.Scan(); lines.Text() != question {
		t.Fatalf("asked %q, then %q", question, lines.Text())
	}
	time.Sleep(practice.Anticipation) // sooner it would not be timed anyway
	io.WriteString(in, replyTo(question)+"\n")
	in.Close()
	io.Copy(io.Discard, out)
	cmd.Wait()
	if rows := logRows(t, path); len(rows) != 1 || rows[0].Thinking != 0 {
		t.Errorf("%+v are kept", rows)
	}
}
