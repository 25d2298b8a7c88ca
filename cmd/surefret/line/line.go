// Package line is the practice session as plain sentences, for pipes, screen
// readers and terminals that cannot redraw.
//
// Scripts rely on its contract. On standard output: one question a line, ending
// in "?"; for what is new, before it is asked, a line that starts with "Shown first";
// after each answer one line that starts with "right" or "wrong" and
// holds the right answer; at the end the summary, whatever ended it. On standard
// input: one answer a line, or one of the words that "help" lists; an empty line
// asks again. "stop", the end of input or a signal ends the session, and so does an
// input that holds no answers. Everything else, an answer that could not
// be read or a word about the sound, goes to standard error.
//
// Whatever the full screen can do has a word here. Answers that come faster than
// anybody could have read the question come from a program, and are not timed.
package line

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/spoken"
	"surefret/drills"
	"surefret/scheduler"
)

// A Runner drives one session over lines.
type Runner struct {
	In       io.Reader
	Out, Err io.Writer
	Now      func() time.Time
	Sound    func([]drills.Sounding) // plays a cue and returns at once; nil is silence
	Notice   func() string           // asked before each question for a sentence to say, "" for none; may be nil
	Map      func() string           // draws the map of the neck; nil for none

	// Ear hears answers that are played; nil for none. Live says that lines are taken
	// meanwhile; a recording is listened to before any is.
	Ear  practice.Ear
	Live bool

	// Words puts signs into words, for who listens: then what was right is said in a
	// word, too. nil prints the signs.
	Words func(string) string

	// Waits says that somebody listens at a terminal: after each feedback Enter is
	// waited for, then the question comes alone and its clock starts.
	Waits bool
}

// Run asks until the time is up, the player stops, the input ends or ctx does:
// it ends in the same way whatever ends it, with the summary. It returns an error
// only when the session itself failed or the input is [ErrNoAnswer]; what was
// answered before is kept.
func (r Runner) Run(ctx context.Context, s *practice.Sitting) error {
	t := &turns{Runner: r, sitting: s, in: NewInput(r.In)}
	var err error
	for ok := true; ok && err == nil && ctx.Err() == nil; {
		if !t.open {
			ok, err = t.next(ctx)
		}
		for ok && err == nil && t.open {
			ok, err = t.hear(ctx)
		}
		if ok && err == nil && t.played {
			ok, err = t.rest(ctx)
		} else if ok && err == nil && r.Waits {
			ok, err = t.wait(ctx)
		}
	}
	if ctx.Err() != nil && errors.Is(err, context.Canceled) {
		err = nil
	}
	if err != nil && !errors.Is(err, ErrNoAnswer) && !errors.Is(err, ErrInterrupted) {
		return err
	}
	for _, l := range s.Summary(ctx, r.Now()).Lines() {
		t.print(l)
	}
	return err
}

// turns are the questions of one run, one after another.
type turns struct {
	Runner
	sitting *practice.Sitting
	in      *Input

	question drills.Question
	open     bool      // whether it waits for an answer
	asked    time.Time // when it was first put: asking again does not stop the clock
	untimed  bool      // something came between the question and the answer
	idle     int       // lines since then that brought it no further
	waited   bool      // Enter was asked for once
	taught   bool      // what becomes of what is shown was said

	played bool            // the last answer was played
	look   bool            // it gave something to look at: it was wrong or slow
	unsure int             // how often this question's answer was not heard
	told   map[string]bool // what was said of playing

	hinted  bool      // that Enter plays what is to be heard
	unheard bool      // what is to be heard was not played yet
	busy    time.Time // until when what sounds is not to be cut off
	last    practice.Result
}

// next picks a question and puts it. It reports false when there is none.
func (t *turns) next(ctx context.Context) (bool, error) {
	turn, ok, err := t.sitting.Next(ctx, t.Now())
	if err != nil || !ok {
		return false, err
	}
	if t.Notice != nil {
		if text := t.Notice(); text != "" {
			t.tell(text)
		}
	}
	if turn.Lesson != nil {
		t.open = false
		if turn.Lesson.Item == "" {
			t.teach(ctx, "Before the next question", *turn.Lesson)
			return true, nil
		}
		t.teach(ctx, "Shown first", *turn.Lesson)
		if !t.taught {
			t.tell("It is asked soon.")
		}
		t.taught = true
		t.explain(turn.Terms)
		return true, nil
	}
	t.explain(turn.Terms)
	t.begin(turn)
	return true, nil
}

// teach shows a lesson.
func (t *turns) teach(ctx context.Context, head string, l drills.Lesson) {
	said := []string{l.Pattern}
	if _, at, ok := strings.Cut(l.Here, ", "); !ok || !strings.HasSuffix(l.Pattern, " "+at) { // or it is said already
		said = append(said, l.Here)
	}
	if heading := l.Heading(); heading != "" {
		said = append([]string{heading}, said...)
	}
	t.print(head + ": " + strings.Join(said, ". ") + ".")
	t.ringOut(ctx)
	t.target(l.Heard)
}

// target sounds what a listener is to hear to its end.
func (t *turns) target(cue []drills.Sounding) {
	t.sound(cue)
	t.busy = t.Now().Add(lasts(cue))
}

// ringOut waits, for one who listens, until what sounds is heard out.
func (t *turns) ringOut(ctx context.Context) {
	if !t.Waits || t.Sound == nil {
		return
	}
	for rest := t.busy.Sub(t.Now()); rest > 0 && ctx.Err() == nil; rest -= practice.Ticking {
		select {
		case <-time.After(min(rest, practice.Ticking)):
			t.tick()
		case <-ctx.Done():
		}
	}
}

// begin puts a question for the first time.
func (t *turns) begin(turn practice.Turn) {
	t.question, t.open, t.untimed, t.idle, t.unsure = turn.Question, true, false, 0, 0
	t.unheard = t.Waits && t.Sound != nil && len(t.question.Heard) > 0 && t.Ear == nil
	if t.unheard && !t.hinted {
		t.tell("Press Enter to hear it, and again to hear it again.")
		t.hinted = true
	}
	t.put()
	t.asked = t.Now()
}

// put says the question, and sounds it, unless it waits for the voice that says it.
func (t *turns) put() {
	t.print(t.question.Text)
	if !t.unheard {
		t.sound(t.question.Heard)
	}
}

// What Enter is waited for to do.
const (
	goOn   = "Press Enter for the next question."
	paused = "Paused. Press Enter to go on."
)

// tick tells the sitting that the program runs.
func (t *turns) tick() { t.sitting.Tick(t.Now()) }

// putAgain puts the question to a player who comes back to it.
func (t *turns) putAgain() {
	t.untimed = true
	t.put()
}

// again puts the question once more, or plays for the first time what it is about: the
// clock runs from the end of that.
func (t *turns) again(ctx context.Context) {
	if !t.unheard {
		t.put()
		return
	}
	t.ringOut(ctx)
	t.unheard = false
	t.sound(t.question.Heard)
	t.asked = t.Now().Add(lasts(t.question.Heard))
}

// lasts is how long a cue sounds.
func lasts(cue []drills.Sounding) (end time.Duration) {
	for _, s := range cue {
		end = max(end, s.At+s.For)
	}
	return end
}

// wait waits for Enter, so that what was said is heard out and is no part of the next
// answer's time. A word counts here, too.
func (t *turns) wait(ctx context.Context) (bool, error) {
	if !t.waited {
		t.tell(goOn)
		t.waited = true
	}
	from := t.Now()
	text, err := t.in.line(ctx, t.tick, func() { t.tell(goOn) })
	switch {
	case errors.Is(err, io.EOF), strings.EqualFold(text, "stop"):
		return false, nil
	case err != nil:
		return false, err
	case strings.EqualFold(text, "why"):
		if err := t.why(ctx); err != nil {
			return false, err
		}
		return t.wait(ctx)
	case strings.EqualFold(text, "back") && (t.sitting.CanTakeBack() || t.sitting.CanBringBack()):
		return true, t.back(ctx)
	}
	if over := t.Now().Sub(from) - practice.Away; over > 0 {
		t.sitting.Pause(over)
	}
	return true, nil
}

// hear takes one line. It reports whether to go on.
func (t *turns) hear(ctx context.Context) (bool, error) {
	if t.Ear != nil {
		if playing, ok := t.question.Playing(); ok {
			return t.listen(ctx, playing.How)
		}
	}
	return t.read(ctx)
}

// read takes one line that is typed.
func (t *turns) read(ctx context.Context) (bool, error) {
	text, err := t.in.line(ctx, t.tick, t.putAgain)
	if errors.Is(err, io.EOF) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	return t.typed(ctx, text)
}

// typed does what a line says, an answer or a word.
func (t *turns) typed(ctx context.Context, text string) (bool, error) {
	if t.idle++; t.idle > mostIdle {
		return false, noAnswer(t.question.Text)
	}
	switch strings.ToLower(text) {
	case "stop":
		return false, nil
	case "":
		t.again(ctx)
		return true, nil
	}
	if did, err := t.word(ctx, text); did {
		return true, err
	}
	return true, t.answer(ctx, text)
}

// answer hands an answer to the session and says what came of it.
func (t *turns) answer(ctx context.Context, text string) error {
	now := t.Now()
	key := now.Sub(t.asked)
	if !t.in.first.IsZero() {
		key = t.in.first.Sub(t.asked)
	}
	switch {
	case t.untimed || t.unheard:
		key = 0
	case t.Waits && len(t.question.Heard) > 0: // known before it had sounded to its end
		key = max(key, practice.Anticipation)
	case key < practice.Anticipation:
		key = 0
	}
	return t.give(ctx, now, text, key, drills.EntryLine)
}

// give hands an answer over, and says what came of it.
func (t *turns) give(ctx context.Context, now time.Time, text string, key time.Duration, by drills.Entry) error {
	result, err := t.sitting.Answer(ctx, now, text, key, by)
	var unreadable practice.UnreadableError
	if written := spoken.Written(text); errors.As(err, &unreadable) && written != text {
		if said, failed := t.sitting.Answer(ctx, now, written, key, by); !errors.As(failed, new(practice.UnreadableError)) {
			result, err = said, failed
		}
	}
	if errors.As(err, &unreadable) {
		if did, err := t.word(ctx, otherwise[strings.ToLower(text)]); did {
			return err
		}
		t.tell(unreadable.Error())
		t.untimed = t.untimed || t.Waits // hearing that is no thinking
		t.put()
		return nil
	}
	if err != nil {
		return err
	}
	t.open, t.last, t.played = false, result, by == drills.EntryPlayed
	t.look = !result.Verdict.Right || result.Outcome == scheduler.Slow
	if t.Words != nil {
		t.print(heard(t.question.Expect, result))
	} else {
		fmt.Fprintln(t.Out, feedback(result))
	}
	t.explain(result.Terms)
	t.target(t.question.Target)
	return nil
}

func (r Runner) sound(cue []drills.Sounding) {
	if r.Sound != nil && len(cue) > 0 {
		r.Sound(cue)
	}
}
