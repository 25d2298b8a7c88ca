package line

import (
	"context"
	"errors"
	"io"
	"strings"

	"surefret/cmd/surefret/practice"
	"surefret/drills"
)

// The words that a line may hold in place of an answer: whatever the full screen has a
// key for has one.

// A word is a line that is no answer.
type word struct {
	name, does string
	do         func(context.Context) error
}

// otherwise are what a player may say in place of a word, as long as it is no answer: keys
// of the full screen, and what he says who does not know.
var otherwise = map[string]string{
	"u": "back", "_": "aside", ".": "pause", "m": "map", "=": "show",
	"i don't know": "show", "i dont know": "show", "don't know": "show", "dont know": "show", "no idea": "show", "pass": "show",
}

// words lists them. None can be an answer: those are notes, numbers, chords, and
// the choices that a question lists.
func (t *turns) words() []word {
	return []word{
		{"show", "shows the answer, which counts as missed", t.show},
		{"repeat", "says the question again, as an empty line does; its time runs on", t.repeat},
		{"back", "takes the last answer back", t.back},
		{"why", "says the rule behind the last answer", t.sayWhy},
		{"aside", "sets the question aside, so that it is not asked until 'surefret practice --aside'", t.aside},
		{"pause", "stops the clock until the next line", t.pause},
		{"map", "shows the neck so far", t.drawMap},
		{"help", "says this", t.help},
		{"?", "", t.help},
	}
}

// word does what a word says. It reports false for what is none.
func (t *turns) word(ctx context.Context, text string) (bool, error) {
	for _, w := range t.words() {
		if strings.EqualFold(w.name, text) {
			return true, w.do(ctx)
		}
	}
	return false, nil
}

func (t *turns) help(context.Context) error {
	t.tell("Type the answer, or a word:")
	for _, w := range t.words() {
		if w.does != "" {
			t.tell(w.name + ": " + w.does + ".")
		}
	}
	t.tell("stop: ends the sitting.")
	t.explain(t.question.Terms())
	t.put()
	return nil
}

func (t *turns) repeat(ctx context.Context) error {
	t.again(ctx)
	return nil
}

// why says the rule behind the last answer.
func (t *turns) why(context.Context) error {
	v := t.last.Verdict
	switch told := v.Explanation(); {
	case v.Want == "":
		t.tell("Nothing was answered yet.")
	case told == "":
		t.tell("The answer was " + v.Want + ": there is no more to say of it.")
	default:
		t.tell(told)
	}
	return nil
}

// sayWhy does so before a question is answered, which then is not timed.
func (t *turns) sayWhy(ctx context.Context) error {
	t.untimed = true
	err := t.why(ctx)
	t.put()
	return err
}

// show tells the answer to the open question, which counts as missed.
func (t *turns) show(ctx context.Context) error {
	lesson, err := t.sitting.Show(ctx, t.Now(), drills.EntryLine)
	if err != nil {
		return err
	}
	t.open = false
	t.last = practice.Result{Verdict: drills.Verdict{Want: lesson.Here, Why: lesson.Pattern}} // what why is asked of
	t.teach(ctx, "Shown", lesson)
	return nil
}

// back opens the question before this one again. Its right answer was told, so
// the next answer is not timed.
func (t *turns) back(ctx context.Context) error {
	if t.sitting.CanBringBack() {
		turn, err := t.sitting.BringBack(ctx, t.Now())
		if err != nil {
			return err
		}
		t.tell("Back again.")
		t.begin(turn)
		return nil
	}
	if !t.sitting.CanTakeBack() {
		t.tell("There is no answer to take back.")
		t.put()
		return nil
	}
	turn, err := t.sitting.TakeBack(ctx, t.Now())
	if err != nil {
		return err
	}
	t.tell("Taken back: answer again.")
	t.begin(turn)
	t.untimed = true
	return nil
}

func (t *turns) aside(ctx context.Context) error {
	what, err := t.sitting.SetAside(ctx)
	if err != nil {
		return err
	}
	t.tell("Set aside: " + what + ". 'back' brings it back now, 'surefret practice --aside' later.")
	t.open = false
	return nil
}

// pause waits for a line; the time until then is none of the sitting's.
func (t *turns) pause(ctx context.Context) error {
	t.tell(paused)
	from := t.Now()
	if _, err := t.in.line(ctx, nil, func() { t.tell(paused) }); err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	t.sitting.Pause(t.Now().Sub(from))
	t.untimed = true
	t.put()
	return nil
}

func (t *turns) drawMap(context.Context) error {
	if t.Map == nil {
		t.tell("There is no map here.")
	} else {
		t.tell(strings.TrimRight(t.Map(), "\n"))
	}
	t.untimed = true
	t.put()
	return nil
}
