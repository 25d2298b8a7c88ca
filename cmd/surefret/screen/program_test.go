package screen

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"surefret/drills"
)

// A stage is a whole program running on a clock that only moves when all is
// still, with a keyboard to type on.
type stage struct {
	script   *script
	keyboard *io.PipeWriter
	stop     context.CancelFunc
	screen   strings.Builder
	cues     int
	ended    bool
	err      error
}

// play runs practice in a bubble of testing/synctest; act types on it. The first
// question is on the screen when it begins.
func play(t *testing.T, o Options, items []string, act func(*stage)) (s *stage) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		s = &stage{script: &script{items: items}}
		in, keyboard := io.Pipe()
		s.keyboard = keyboard
		ctx, stop := context.WithCancel(context.Background())
		s.stop = stop
		o.Sitting = newSitting(s.script, o.Names, time.Now)
		o.Neck, o.In, o.Out = neck14, in, &s.screen
		if o.Sound == nil {
			o.Sound = func([]drills.Sounding) { s.cues++ }
		}
		go func() { s.err, s.ended = run(ctx, o), true }()
		time.Sleep(200 * time.Millisecond) // no terminal here that would tell its size
		synctest.Wait()
		act(s)
		synctest.Wait()
		stop()
		keyboard.Close()
		time.Sleep(time.Minute) // timers that were still running come to nothing
	})
	return s
}

func (s *stage) types(keys string) {
	io.WriteString(s.keyboard, keys)
	synctest.Wait()
}

func TestWholeProgramTimesToTheMillisecond(t *testing.T) {
	s := play(t, Options{MoveOn: 800 * time.Millisecond}, []string{nameG, findF, nameG, nameG}, func(s *stage) {
		time.Sleep(1234 * time.Millisecond)
		s.types("g")
		time.Sleep(graceTime) // commits
		synctest.Wait()
		time.Sleep(800 * time.Millisecond) // moves on
		synctest.Wait()
		time.Sleep(777 * time.Millisecond)
		s.types("1")
		time.Sleep(399 * time.Millisecond)
		s.types("3")
		time.Sleep(800*time.Millisecond + 5*time.Second)
		s.types("g\r")
		time.Sleep(900 * time.Millisecond)
		s.types("\x03")
	})
	want := "G right 1.234s keys; 13 right 777ms keys; G right 5s keys"
	if got := s.script.answers(); got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if !s.ended || s.err != ErrInterrupted || s.cues != 3 { // ctrl-c ended it
		t.Errorf("ended %v, %v, %d cues", s.ended, s.err, s.cues)
	}
}

func TestASoundThatHangsNeverHoldsUpTheScreen(t *testing.T) {
	var release chan struct{} // made in the bubble, where waiting for it is known to be waiting
	s := play(t, Options{MoveOn: 300 * time.Millisecond, Sound: func([]drills.Sounding) { <-release }}, []string{nameG, nameG, nameG}, func(s *stage) {
		release = make(chan struct{})
		defer close(release)
		for range 3 {
			time.Sleep(time.Second)
			s.types("g ")
			time.Sleep(300 * time.Millisecond)
			synctest.Wait()
		}
		s.types("\x03")
		if !s.ended {
			t.Error("does not end")
		}
	})
	if got := s.script.answers(); got != "G right 1s keys; G right 1s keys; G right 1s keys" {
		t.Error(got)
	}
}

func TestAKeyboardThatBreaksEndsPracticeInPeace(t *testing.T) {
	s := play(t, Options{}, []string{nameG, nameG}, func(s *stage) {
		time.Sleep(time.Second)
		s.types("g ")
		s.keyboard.CloseWithError(errors.New("input/output error"))
		synctest.Wait()
	})
	if !s.ended || s.err != nil || len(s.script.Rows) != 1 {
		t.Errorf("ended %v, %v, rows %d", s.ended, s.err, len(s.script.Rows))
	}
}

func TestAnAnswerThatCannotBeKeptIsTheErrorOfPractice(t *testing.T) {
	full := errors.New("disk full")
	s := play(t, Options{}, []string{nameG}, func(s *stage) {
		s.script.Fail = full
		time.Sleep(time.Second)
		s.types("g ")
	})
	if !errors.Is(s.err, full) {
		t.Errorf("err %v", s.err)
	}
}
