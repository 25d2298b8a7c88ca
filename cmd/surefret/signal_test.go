//go:build !windows

package main

import (
	"context"
	"math/rand/v2"
	"os"
	"os/signal"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"surefret/cmd/surefret/console"
	"surefret/drills"
	"surefret/store"
)

// Whatever signal ends line mode, at whatever instant, and whether another program
// has the practice locked or not: what was acknowledged is in the log or in the file
// that is named, the summary is printed, and the exit code says which signal it was.
func TestNoAnswerIsLostToASignal(t *testing.T) {
	signals := often(6, 100)
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))
	acknowledged, aside := 0, 0
	for n := range signals {
		sig := []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP}[n%3]
		path := filepath.Join(t.TempDir(), "surefret.db")
		release, asked := func() {}, func() {}
		after := n % 2
		if signal.Ignored(sig) { // as under nohup, until the program listens
			after = 1
		}
		if n%4 == 3 {
			asked = func() { release = lock(t, path) }
		}
		e := answerUntil(t, sig, path, uint64(n), time.Duration(rng.IntN(60_000))*time.Microsecond, after, asked)
		kept := unsaved(t, e.said)
		aside += len(kept)
		release()
		rows := slices.Concat(logRows(t, path), kept)
		if len(rows) < len(e.acknowledged) || len(rows) > len(e.acknowledged)+1 {
			t.Fatalf("%v %d: %d answers were acknowledged, and %d are kept: %s", sig, n, len(e.acknowledged), len(rows), e.said)
		}
		for i, question := range e.acknowledged {
			if rows[i].Question != question {
				t.Errorf("%v %d: %q was answered, and %q is kept", sig, n, question, rows[i].Question)
			}
		}
		// It may be gone before it could listen.
		early := e.state.Sys().(syscall.WaitStatus).Signaled() && len(e.printed) == 0
		if !early && e.state.ExitCode() != 128+int(sig) {
			t.Errorf("%v %d: %v: %s", sig, n, e.state, e.said)
		}
		if summary := regexp.MustCompile(`^[0-9]+ seconds?: [0-9]+ questions?, `); len(e.acknowledged) > 0 && !slices.ContainsFunc(e.printed, summary.MatchString) {
			t.Errorf("%v %d: no summary: %q", sig, n, e.printed)
		}
		acknowledged += len(e.acknowledged)
	}
	t.Logf("%d signals, %d answers acknowledged, %d of them kept aside", signals, acknowledged, aside)
	if acknowledged == 0 || aside == 0 {
		t.Error("no answer was acknowledged, or none under a lock: the test shows nothing")
	}
}

// ctrl-\ ends line mode as any other signal does, and shows nothing of the program's
// inside.
func TestCtrlBackslashEndsLineMode(t *testing.T) {
	e := answerUntil(t, syscall.SIGQUIT, filepath.Join(t.TempDir(), "surefret.db"), 1, 0, 1, func() {})
	if e.state.ExitCode() != 128+int(syscall.SIGQUIT) || e.said != "" && strings.Contains(e.said, "goroutine") {
		t.Errorf("%v: %s", e.state, e.said)
	}
	if last := e.printed[len(e.printed)-1]; strings.HasSuffix(last, "?") {
		t.Errorf("no summary: %q", e.printed)
	}
}

// lock has another handle in the middle of a long write, until it is released.
func lock(t *testing.T, path string) (release func()) {
	db, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	locked, goOn, released := make(chan bool), make(chan bool), make(chan error)
	go func() {
		released <- db.AppendAll(context.Background(), func(func(drills.Answer) bool) {
			close(locked)
			<-goOn
		})
	}()
	<-locked
	return func() {
		close(goOn)
		if err := <-released; err != nil {
			t.Error(err)
		}
		db.Close()
	}
}

// unsaved reads the answers in the file that the program said it wrote, by importing
// them into a practice of their own.
func unsaved(t *testing.T, said string) []drills.Answer {
	t.Helper()
	name := regexp.MustCompile(`went to (\S+-unsaved-\S+\.jsonl):`).FindStringSubmatch(said)
	if name == nil {
		return nil
	}
	if info, err := os.Stat(name[1]); err != nil || info.Mode().Perm()&0o077 != 0 {
		t.Errorf("others can read what was answered: %v, %v", info, err)
	}
	path := filepath.Join(t.TempDir(), "aside.db")
	p := &program{Console: console.Console{In: strings.NewReader(""), Out: new(strings.Builder), Err: new(strings.Builder), Getenv: func(string) string { return "" }}}
	if code := p.run(t.Context(), []string{"data", "import", name[1], "--db", path}); code != exitDone {
		t.Fatalf("data import ends with %d", code)
	}
	return logRows(t, path)
}
