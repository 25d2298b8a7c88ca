package line

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/drills/rehearse"
)

// A Listener hears what is played of a run, see [hearing.Take].
type Listener interface {
	GoTo(run rehearse.Run, at, from time.Duration)
	Follow(ctx context.Context, run time.Duration) error
	Strokes() []rehearse.Stroke
}

// A Clock tells of a sound how much of it was heard, and how long it broke off so far.
type Clock interface {
	At() time.Duration
	Lost() time.Duration
}

// A Sounded is a run that is said bar by bar, with its sound.
type Sounded struct {
	Rehearsal
	Begin func() *practice.Rehearsal
	Play  func() (clock Clock, countIn time.Duration)
	Stop  func()
	Now   func() time.Time
	Pause func(context.Context, time.Duration) error // waits, or until ctx ends

	Listen   Listener // nil where nobody listens
	Recorded bool     // what is listened to comes as fast as it can be read
	Loop     bool

	Lines <-chan string       // what is typed, see [Lines]
	Waits bool                // for Enter before it counts in
	Page  func(string)        // takes a line of what came of the run
	Lost  func(time.Duration) // takes how long the sound broke off
}

// Lines are those that are typed from now on, closed at the end of the input. Who reads
// them goes on until the input ends.
func Lines(in io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for in := bufio.NewScanner(in); in.Scan(); {
			lines <- strings.ToLower(strings.TrimSpace(in.Text()))
		}
	}()
	return lines
}

// leaves reports whether a line ends a rehearsal.
func leaves(text string) bool { return text == "quit" || text == "q" || text == "stop" }

// SayAll says the run, round and round where that was asked for, and reports whether the
// player left it.
func (s Sounded) SayAll(ctx context.Context) (left bool, err error) {
	s.Open()
	ctx, leave := context.WithCancel(ctx)
	defer leave()
	if s.Waits { // whoever listens hears the opening out first
		fmt.Fprintln(s.Out, s.Words("Press Enter to count in; quit ends it."))
		select {
		case text, more := <-s.Lines:
			if !more || leaves(text) {
				return true, nil
			}
		case <-ctx.Done():
			return true, nil
		}
	}
	go s.await(ctx, leave)
	for {
		if err := s.once(ctx); err != nil || ctx.Err() != nil || !s.Loop {
			return ctx.Err() != nil, err
		}
	}
}

// await calls leave once a line ends the rehearsal. It ends with ctx.
func (s Sounded) await(ctx context.Context, leave func()) {
	for {
		select {
		case text, more := <-s.Lines:
			if !more {
				return
			}
			if leaves(text) {
				leave()
			}
		case <-ctx.Done():
			return
		}
	}
}

// once says the run once, and what came of it where it was heard.
func (s Sounded) once(ctx context.Context) error {
	clock, first := s.Play()
	defer s.Stop()
	rehearsal := s.Begin()
	s.Heard, s.Count, s.Wait = clock.At, first, s.Pause
	if s.Listen != nil {
		s.Listen.GoTo(s.Run, -first, -s.Run.Lead())
		s.follow(clock)
	}
	fault := s.Say(ctx)
	if lost := clock.Lost(); lost > 0 {
		s.Lost(lost)
	}
	// What was heard until an input failed is kept all the same.
	sounded := max(min(s.Heard()-first, s.Run.Time(s.Run.Length())), 0)
	if s.Listen != nil {
		rehearsal.Hear(s.Listen.Strokes(), sounded)
	}
	if err := errors.Join(fault, rehearsal.End(context.WithoutCancel(ctx), s.Now(), sounded)); err != nil || s.Listen == nil {
		return err
	}
	for _, l := range rehearsal.Page().Lines(s.Names.Chord) {
		s.Page(s.Words(l))
	}
	return nil
}

// followEvery is how often what was heard is taken up.
const followEvery = 50 * time.Millisecond

// follow has the run take up what is heard while it is said: a recording as fast as it can
// be read, an input as its samples come.
func (s *Sounded) follow(clock Clock) {
	first := s.Count
	if s.Recorded {
		at := time.Duration(0)
		s.Heard = func() time.Duration { return at }
		s.Wait = func(ctx context.Context, d time.Duration) error {
			at += max(d, 0)
			return s.Listen.Follow(ctx, at-first)
		}
		return
	}
	s.Wait = func(ctx context.Context, left time.Duration) error {
		for ; left > 0; left -= followEvery {
			if err := s.Listen.Follow(ctx, clock.At()-first); err != nil {
				return err
			}
			if err := s.Pause(ctx, min(left, followEvery)); err != nil {
				return err
			}
		}
		return ctx.Err()
	}
}
