package line

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
)

// A script is a sitting on the G of string 6, with what is logged of it.
type script struct {
	practicetest.Log
	now  time.Time
	each time.Duration // that every look at the clock takes
}

// play reads lines to a session of a hundred questions and returns what was said.
func (s *script) play(t *testing.T, lines ...string) (out, errs string) {
	t.Helper()
	s.now = time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)
	now := func() time.Time { s.now = s.now.Add(s.each); return s.now }
	sitting := practicetest.Begin(&s.Log, settings.Default(), func() time.Time { return s.now }, slices.Repeat([]string{"note/E2+3/name"}, 100)...)
	var o, e bytes.Buffer
	var err error
	inABubble(t, func(ctx context.Context) {
		err = Runner{In: strings.NewReader(strings.Join(lines, "\n")), Out: &o, Err: &e, Now: now, Map: func() string { return "E|o--\n" }}.Run(ctx, sitting)
	})
	if err != nil {
		t.Fatal(err)
	}
	return o.String(), e.String()
}

// inABubble does what goes by a clock of its own where no ticker of the computer's comes
// between, however slow that is.
func inABubble(t *testing.T, do func(context.Context)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) { do(t.Context()) })
}

func questions(out string) int { return strings.Count(out, "?\n") }

func TestBackTakesTheLastAnswerBackAfterTheNextQuestion(t *testing.T) {
	s := &script{each: 500 * time.Millisecond}
	out, errs := s.play(t, "A", "back", "G", "stop")
	if len(s.Rows) != 3 || s.Rows[1].TakesBack != s.Rows[0].ID || !s.Rows[2].Right {
		t.Fatalf("rows %+v, want the second to take back the first", s.Rows)
	}
	if s.Rows[2].Thinking != 0 || s.Rows[0].Thinking == 0 {
		t.Errorf("thinking %v and %v: the answer was told, so only the first is timed", s.Rows[0].Thinking, s.Rows[2].Thinking)
	}
	if s.Rows[2].Question != s.Rows[0].Question {
		t.Errorf("asked %q again, want %q", s.Rows[2].Question, s.Rows[0].Question)
	}
	if !strings.Contains(errs, "Taken back") || !strings.Contains(out, "1 question, 1 right") {
		t.Errorf("said %q and %q", out, errs)
	}
}

func TestBackTwiceSaysThatThereIsNothing(t *testing.T) {
	s := &script{}
	out, errs := s.play(t, "back", "A", "BACK", "back", "stop")
	if len(s.Rows) != 2 {
		t.Errorf("%d rows, want an answer and its withdrawal", len(s.Rows))
	}
	if n := strings.Count(errs, "no answer to take back"); n != 2 {
		t.Errorf("said %q", errs)
	}
	if !strings.Contains(out, "Nothing was asked.") {
		t.Errorf("said %q, want an empty summary", out)
	}
}

func TestEveryWordIsHelpedWithAndAsksAgain(t *testing.T) {
	s := &script{}
	for _, w := range (&turns{}).words() {
		lines := []string{w.name, "stop"}
		if w.name == "show" { // an answer of its own
			continue
		}
		if w.name == "pause" {
			lines = []string{w.name, "", "stop"}
		}
		out, _ := s.play(t, lines...)
		if questions(out) != 2 {
			t.Errorf("after %q: %q, want a question again", w.name, out)
		}
		_, help := s.play(t, "help", "stop")
		if w.does != "" && !strings.Contains(help, w.name+": "+w.does) {
			t.Errorf("the help %q does not tell of %q", help, w.name)
		}
	}
	if len(s.Rows) != 0 || len(s.Aside()) != 1 {
		t.Errorf("%d rows, %d set aside; want no answer and one item set aside", len(s.Rows), len(s.Aside()))
	}
}

// A key of the full screen does here what its word does, and so does what a player says who
// does not know.
func TestWhatAPlayerSaysInPlaceOfAWord(t *testing.T) {
	for text, name := range otherwise {
		var said [2]string
		for i, typed := range []string{strings.ToUpper(text[:1]) + text[1:], name} {
			s := &script{}
			out, errs := s.play(t, typed, "", "stop")
			said[i] = fmt.Sprint(out, errs, len(s.Rows), s.Aside())
		}
		if said[0] != said[1] || strings.Contains(said[0], "is not a note") {
			t.Errorf("%q: %s\nin place of %q: %s", text, said[0], name, said[1])
		}
	}
}

func TestShowSaysAllAndCountsAsMissed(t *testing.T) {
	s := &script{}
	out, _ := s.play(t, "show", "stop")
	if len(s.Rows) != 1 || s.Rows[0].Right || !strings.Contains(out, "\nShown: G on string 6") || !strings.Contains(out, "Missed: ") {
		t.Errorf("%+v\n%s", s.Rows, out)
	}
}

func TestAnEmptyLineAsksAgainAndTheClockRunsOn(t *testing.T) {
	s := &script{each: 500 * time.Millisecond}
	out, _ := s.play(t, "", "xyz", "g", "stop")
	if questions(out) != 4 {
		t.Errorf("asked %d times, want 4:\n%s", questions(out), out)
	}
	if got := s.Rows[0].Thinking; got != time.Second { // one look at the clock for each answer
		t.Errorf("thinking %v, want a second from the first time it was put", got)
	}
}

func TestAPauseIsNotTheSittings(t *testing.T) {
	s := &script{each: 20 * time.Second}
	out, errs := s.play(t, "pause", "", "G", "stop")
	if s.Rows[0].Thinking != 0 {
		t.Errorf("thinking %v: a question that was put aside is not timed", s.Rows[0].Thinking)
	}
	if !strings.Contains(errs, "Paused.") || !strings.Contains(out, "2 minutes: 1 question") {
		t.Errorf("said %q, %q", out, errs)
	}
}

// A program that was stopped does not tick; one that is told to end says its summary.
func TestALineIsWaitedForWithAnEyeOnTheClock(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var log practicetest.Log
		var out bytes.Buffer
		var stopped time.Duration
		now := func() time.Time { return time.Now().Add(stopped) }
		ctx, cancel := context.WithCancel(t.Context())
		in, keyboard := io.Pipe()
		sitting := practicetest.Begin(&log, settings.Default(), now, slices.Repeat([]string{"note/E2+3/name"}, 9)...)
		go Runner{In: in, Out: &out, Err: io.Discard, Now: now}.Run(ctx, sitting)
		time.Sleep(3 * time.Second)
		io.WriteString(keyboard, "G\n")
		time.Sleep(1200 * time.Millisecond)
		stopped = 6 * time.Second
		io.WriteString(keyboard, "G\n")
		time.Sleep(1200 * time.Millisecond)
		cancel()
		synctest.Wait()
		keyboard.Close()
		if len(log.Rows) != 2 || log.Rows[0].Thinking != 3*time.Second || log.Rows[1].Thinking != 0 {
			t.Errorf("rows %+v, want one timed and one not", log.Rows)
		}
		if !strings.Contains(out.String(), "5 seconds: 2 questions, 2 right") {
			t.Errorf("the end says %q", out.String())
		}
	})
}

func TestAnswersOfAProgramAreNotTimed(t *testing.T) {
	s := &script{each: practice.Anticipation - time.Millisecond}
	out, _ := s.play(t, "G", "stop")
	if s.Rows[0].Thinking != 0 || strings.Contains(out, "0.1 s") {
		t.Errorf("%v, %q: nobody can have read the question", s.Rows[0].Thinking, out)
	}
	s = &script{each: practice.Anticipation}
	s.play(t, "G", "stop")
	if got := s.Rows[0].Thinking; got != practice.Anticipation {
		t.Errorf("%v, want %v", got, practice.Anticipation)
	}
}

func TestTheMapIsNoAnswer(t *testing.T) {
	s := &script{}
	out, errs := s.play(t, "map", "stop")
	if !strings.Contains(errs, "E|o--\n") || strings.Contains(out, "E|") {
		t.Errorf("said %q, %q; want the map beside the contract", out, errs)
	}
}
