package line

import (
	"context"
	"errors"
	"io"

	"surefret/cmd/surefret/practice"
	"surefret/drills"
)

// listen takes an answer that is played, or a line that is typed meanwhile.
func (t *turns) listen(ctx context.Context, how string) (bool, error) {
	t.once(how)
	heard, text, typed, err := t.either(ctx)
	switch {
	case err != nil:
		return t.over(err)
	case typed:
		return t.typed(ctx, text)
	case heard.Quiet:
		return t.quiet(ctx)
	}
	t.tell(practice.Sentence(heard.Said))
	if heard.Answer != "" {
		thinking := heard.Thinking
		if t.untimed {
			thinking = 0
		}
		return true, t.give(ctx, t.Now(), heard.Answer, thinking, drills.EntryPlayed)
	}
	if heard.Unsure {
		if t.unsure++; t.unsure == practice.MostUnsure {
			t.tell(practice.OfferTyping)
		}
	}
	t.untimed = true
	return true, nil
}

// either waits for what is played and for what is typed.
func (t *turns) either(ctx context.Context) (heard drills.Heard, text string, typed bool, err error) {
	if !t.Live {
		heard, err = t.Ear.Hear(ctx, t.question)
		return heard, "", false, err
	}
	hearing, deafen := context.WithCancel(ctx)
	defer deafen()
	reading, stop := context.WithCancel(ctx)
	defer stop()
	done := make(chan error, 1)
	go func() {
		var err error
		heard, err = t.Ear.Hear(hearing, t.question)
		stop()
		done <- err
	}()
	text, err = t.in.line(reading, t.tick, t.putAgain)
	if typed = reading.Err() == nil; typed {
		deafen()
		<-done
		if errors.Is(err, io.EOF) {
			return heard, "stop", true, nil
		}
		return heard, text, true, err
	}
	return heard, "", false, <-done
}

// quiet pauses until something is played.
func (t *turns) quiet(ctx context.Context) (bool, error) {
	t.tell("Nothing was heard for half a minute: paused. Play any note to go on.")
	from := t.Now()
	if _, err := t.Ear.Pluck(ctx, 0); err != nil {
		return t.over(err)
	}
	t.sitting.Pause(t.Now().Sub(from))
	t.untimed = true
	t.put()
	return true, nil
}

// rest waits for the next question.
func (t *turns) rest(ctx context.Context) (bool, error) {
	t.played = false
	if err := t.Ear.Rest(ctx, t.look); err != nil {
		return t.over(err)
	}
	return true, nil
}

// over ends the session where there is no more sound.
func (t *turns) over(err error) (bool, error) {
	if errors.Is(err, io.EOF) {
		t.tell("Nothing more is to be heard.")
		return false, nil
	}
	if errors.Is(err, context.Canceled) {
		return false, err
	}
	t.Ear, t.played, t.untimed = nil, false, true // practice goes on
	t.tell(practice.Unheard(err))
	return true, nil
}

// once says something of playing, one time.
func (t *turns) once(text string) {
	if !t.told[text] {
		if t.told == nil {
			t.told = map[string]bool{}
		}
		t.told[text] = true
		t.tell(text)
	}
}
