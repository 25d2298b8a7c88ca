//go:build !windows

package screen

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	xterm "golang.org/x/term"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/practice"
	"surefret/drills"
	"surefret/drills/theory"
)

// TestMain lets the test binary play the program on a pseudo-terminal: with
// SUREFRET_SCREEN_CHILD it is that program and runs no tests.
func TestMain(m *testing.M) {
	switch child := os.Getenv("SUREFRET_SCREEN_CHILD"); child {
	case "":
		os.Exit(m.Run())
	case "nothing":
		fmt.Println("done")
	case "echo":
		if _, err := xterm.MakeRaw(0); err != nil {
			os.Exit(1)
		}
		fmt.Print("ready")
		io.Copy(os.Stdout, os.Stdin)
	default:
		s := &script{}
		for range 1000 {
			s.items = append(s.items, cmp.Or(os.Getenv("SUREFRET_SCREEN_ITEM"), nameG))
		}
		ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP) // as main does
		defer stop()
		err := Practice(ctx, Options{
			Sitting: newSitting(s, theory.Names{}, time.Now), Neck: neck14,
			Sound: func([]drills.Sounding) {}, MoveOn: time.Hour, Grace: time.Hour,
			Look: ink.LookFor(os.Getenv, "auto"),
		})
		if err != nil && !errors.Is(err, ErrInterrupted) {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		if err := os.WriteFile(child, []byte(s.answers()), 0o600); err != nil {
			os.Exit(2)
		}
		if err != nil {
			os.Exit(130)
		}
	}
}

// A terminal is a pseudo-terminal with the program on it.
type terminal struct {
	t      testing.TB
	cmd    *exec.Cmd
	pty    *os.File
	kept   string // the file where the program leaves what was answered
	mu     sync.Mutex
	output []byte
	more   chan struct{}
	gone   chan struct{}

	closing atomic.Bool // close at the next read: a close during it would wait
}

func open(t testing.TB, child string, width, height uint16) *terminal {
	t.Helper()
	term := &terminal{t: t, more: make(chan struct{}, 1), gone: make(chan struct{})}
	if child == "" {
		term.kept = filepath.Join(t.TempDir(), "answers")
		child = term.kept
	}
	term.cmd = exec.Command(os.Args[0])
	for _, v := range os.Environ() {
		// bubbletea asks no terminal when it believes to be in CI
		if !strings.HasPrefix(v, "CI=") && !strings.HasPrefix(v, "LC_") && !strings.HasPrefix(v, "NO_COLOR=") {
			term.cmd.Env = append(term.cmd.Env, v)
		}
	}
	term.cmd.Env = append(term.cmd.Env, "SUREFRET_SCREEN_CHILD="+child, "TERM=xterm-256color", "LC_ALL=C.UTF-8")
	f, err := pty.StartWithSize(term.cmd, &pty.Winsize{Cols: width, Rows: height})
	if err != nil {
		t.Fatal(err)
	}
	term.pty = f
	go func() {
		defer close(term.gone)
		buf := make([]byte, 1<<16)
		for {
			n, err := f.Read(buf)
			term.mu.Lock()
			term.output = append(term.output, buf[:n]...)
			term.mu.Unlock()
			select {
			case term.more <- struct{}{}:
			default:
			}
			if term.closing.Load() {
				f.Close()
				return
			}
			if err != nil {
				return
			}
		}
	}()
	t.Cleanup(func() { f.Close(); term.cmd.Process.Kill() })
	return term
}

// forget forgets what was painted before.
func (term *terminal) forget() {
	term.mu.Lock()
	term.output = term.output[:0]
	term.mu.Unlock()
}

// hangUp closes the terminal, as closing its window does.
func (term *terminal) hangUp() {
	term.closing.Store(true)
	term.resize(81, 24) // is painted, so there is something to read
	<-term.gone
}

// types writes keys.
func (term *terminal) types(keys string) {
	term.forget()
	io.WriteString(term.pty, keys)
}

// resize changes the size of the window.
func (term *terminal) resize(width, height uint16) {
	term.t.Helper()
	term.forget()
	if err := pty.Setsize(term.pty, &pty.Winsize{Cols: width, Rows: height}); err != nil {
		term.t.Fatal(err)
	}
}

// shows waits until text was painted since the last keys. The deadline is only
// there for a program that hangs.
func (term *terminal) shows(text string) {
	term.t.Helper()
	deadline := time.After(10 * time.Minute)
	for {
		term.mu.Lock()
		found := bytes.Contains(term.output, []byte(text))
		term.mu.Unlock()
		if found {
			return
		}
		select {
		case <-term.more:
		case <-term.gone:
			term.t.Fatalf("ended before it showed %q: %q", text, term.output)
		case <-deadline:
			term.t.Fatalf("never showed %q: %q", text, term.output)
		}
	}
}

// presses types a key to a question that is shown already, and waits until it takes
// effect: one that comes before the question could be read is dropped.
func (term *terminal) presses(key, effect string) {
	term.t.Helper()
	time.Sleep(practice.Anticipation)
	term.types(key)
	term.shows(effect)
}

// ends waits for the end and returns the exit code and what was kept.
func (term *terminal) ends() (code int, answers string) {
	err := term.cmd.Wait()
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		code = exit.ExitCode()
	}
	kept, _ := os.ReadFile(term.kept)
	return code, string(kept)
}

func TestTheTerminalIsAskedNothingAtStart(t *testing.T) {
	term := open(t, "nothing", 80, 24)
	<-term.gone
	term.ends()
	for _, query := range []string{"\x1b]11;?", "\x1b[6n"} {
		if bytes.Contains(term.output, []byte(query)) {
			t.Errorf("asked %q: package quiet must be initialised before bubbletea", query)
		}
	}
	if !bytes.Contains(term.output, []byte("done")) {
		t.Errorf("output %q", term.output)
	}
}

func TestPracticeOnATerminal(t *testing.T) {
	term := open(t, "", 80, 24)
	term.shows("String 6, fret 3")
	term.presses("a", "A")
	term.types("#")
	term.shows("wrong")
	term.types("u")
	term.shows("Taken back")
	term.resize(40, 10)
	term.shows("Practice needs a window")
	term.resize(60, 18)
	term.shows("Taken back")
	term.presses("g", "G")
	term.types("\r")
	term.shows("right")
	term.types("\x1b")
	term.shows("Done.")
	term.types("\x03")
	code, answers := term.ends()
	if code != 130 || !strings.HasPrefix(answers, "A# wrong ") || !strings.HasSuffix(answers, "; taken back; G right 0s keys") {
		t.Errorf("exit %d, kept %q", code, answers)
	}
}

func TestEveryWayToBeStoppedKeepsTheAnswers(t *testing.T) {
	for name, stop := range map[string]func(*terminal){
		"ctrl-c":          func(term *terminal) { term.types("\x03") },
		"interrupt":       func(term *terminal) { term.cmd.Process.Signal(os.Interrupt) },
		"terminate":       func(term *terminal) { term.cmd.Process.Signal(syscall.SIGTERM) },
		"hang up":         func(term *terminal) { term.cmd.Process.Signal(syscall.SIGHUP) },
		"terminal closed": (*terminal).hangUp,
	} {
		term := open(t, "", 80, 24)
		term.shows("String 6, fret 3")
		term.presses("a", "A")
		term.types("#")
		term.shows("wrong")
		stop(term)
		want := 0
		if name == "ctrl-c" {
			want = 130
		}
		if code, answers := term.ends(); code != want || !strings.HasPrefix(answers, "A# wrong ") {
			t.Errorf("%s: exit %d, kept %q", name, code, answers)
		}
	}
}

// BenchmarkKeyToRepaint measures at the pseudo-terminal from the write of a key
// to the read of the frame that shows it: the pointer moves on the neck. A
// program that only echoes keys is measured in the same run: what it takes is
// the machine's, not ours.
func BenchmarkKeyToRepaint(b *testing.B) {
	b.Setenv("SUREFRET_SCREEN_ITEM", findC)
	echo := open(b, "echo", 80, 24)
	echo.shows("ready")
	term := open(b, "", 80, 24)
	term.shows("C on string 5")      // a "?" alone comes before it, in the codes that open the screen
	term.presses("\x1b[C", "fret 5") // where the pointer appears
	term.presses("\x1b[C", "fret 6")
	var ours, bare []time.Duration
	for b.Loop() {
		for _, step := range [][2]string{{"\x1b[D", "fret 5"}, {"\x1b[C", "fret 6"}} {
			ours = append(ours, term.measure(step[0], step[1]))
			bare = append(bare, echo.measure("x", "x"))
		}
	}
	percentile := func(times []time.Duration, q float64) float64 {
		slices.Sort(times)
		return float64(times[int(q*float64(len(times)-1))].Microseconds()) / 1000
	}
	b.ReportMetric(percentile(ours, 0.5), "p50-ms")
	b.ReportMetric(percentile(ours, 0.99), "p99-ms")
	b.ReportMetric(percentile(bare, 0.5), "echo-p50-ms")
	b.ReportMetric(percentile(bare, 0.99), "echo-p99-ms")
	term.types("\x03")
	term.ends()
}

// measure types a key and waits until it shows.
func (term *terminal) measure(key, text string) time.Duration {
	start := time.Now()
	term.types(key)
	term.shows(text)
	return time.Since(start)
}

// BenchmarkView draws a whole screen.
func BenchmarkView(b *testing.B) {
	m := newBench(120, 40, Options{Look: ink.Look{Colours: ink.ManyColours}}, nameG)
	for b.Loop() {
		_ = m.View()
	}
}
