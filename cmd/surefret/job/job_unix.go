//go:build unix

// Package job is what ctrl-z and ctrl-\ do to a program that takes each key itself: the
// terminal makes no signals of them then, so the program raises these.
package job

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"time"
)

// dropped is how long a stop is waited for. Where no shell could let the program go on,
// the system drops the signal, and nothing tells so.
const dropped = 500 * time.Millisecond

// A Watch sees that the program was stopped, by whatever signal.
type Watch struct{ goesOn chan os.Signal }

// Begin begins to watch, until ctx ends.
func Begin(ctx context.Context) Watch {
	w := Watch{make(chan os.Signal, 1)}
	signal.Notify(w.goesOn, syscall.SIGCONT)
	context.AfterFunc(ctx, func() { signal.Stop(w.goesOn) })
	return w
}

// Stopped reports whether the program was stopped since it was last asked.
func (w Watch) Stopped() bool {
	select {
	case <-w.goesOn:
		return true
	default:
		return false
	}
}

// Suspend stops the program as ctrl-z does, and returns when it goes on.
func (w Watch) Suspend() {
	w.Stopped()
	_ = syscall.Kill(0, syscall.SIGTSTP)
	select {
	case <-w.goesOn:
	case <-time.After(dropped):
		w.Stopped() // both may have come
	}
}

// Quit tells the program, and what runs with it, to end as ctrl-\ does.
func Quit() { _ = syscall.Kill(0, syscall.SIGQUIT) }
