package hearing

import (
	"context"
	"errors"
	"io"
	"math"
	"slices"
	"time"

	"surefret/drills/rehearse"
	"surefret/synth/listen"
)

// A Take is what is heard of a run through a song, at the run's own times.
type Take struct {
	ear     *Ear
	clock   func() time.Duration // of the input; nil for a recording, which is read as the run goes on
	ahead   time.Duration        // how far the stream is ahead of the run
	run     rehearse.Run
	from    time.Duration // of the run: what was plucked before is not of it
	open    bool          // the last stroke waits for its pitch
	wanted  int           // note that it is looked for in, the lowest of several, 0 for none
	strokes []rehearse.Stroke
}

// Take begins to listen to a run. Clock is how much of the stream has come by now: an input
// has a clock of its own. It is nil for a recording.
func (e *Ear) Take(clock func() time.Duration) *Take { return &Take{ear: e, clock: clock} }

// GoTo tells that a run is at a time, as at the beginning of a count-in, and is played
// anew from another one on: what was heard from there is forgotten, and what is plucked
// before it is not of the run.
func (t *Take) GoTo(run rehearse.Run, at, from time.Duration) {
	t.strokes = slices.DeleteFunc(t.strokes, func(s rehearse.Stroke) bool { return s.At >= from })
	t.run, t.ahead, t.from, t.open = run, t.ear.Now()-at, from, false
	t.ear.expectAll(nil)
}

// Follow takes up what was heard until a time of the run: of a recording up to there, of an
// input all that has come. It waits for nothing.
func (t *Take) Follow(ctx context.Context, run time.Duration) error {
	more := func() bool { return t.ear.Now() < run+t.ahead }
	if t.clock != nil {
		live, ok := t.ear.stream.(interface{ Waiting() int })
		more = func() bool { return ok && live.Waiting() > 0 }
		t.ahead = t.clock() - run
	}
	for len(t.ear.queue) > 0 || more() {
		event, some, err := t.ear.event(ctx)
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if some {
			t.take(event)
		}
	}
	if t.clock != nil {
		t.clock() // it sees now what has come by now
	}
	return nil
}

// take takes up one thing that was heard.
func (t *Take) take(event listen.Event) {
	if event.Kind == listen.Onset {
		s := rehearse.Stroke{At: event.At - t.ear.Latency - t.ahead}
		if t.open = s.At >= t.from; t.open {
			t.strokes = append(t.strokes, s)
			notes := t.run.Expected(s.At)
			if t.wanted = 0; len(notes) > 0 {
				t.wanted = notes[0]
			}
			t.ear.expectAll(notes)
		}
		return
	}
	if !t.open || event.Kind == listen.Unsure {
		return
	}
	s, key := &t.strokes[len(t.strokes)-1], int(math.Round(event.Key-t.ear.Calibration.offset(0)))
	if s.Key > 0 && s.Key == t.wanted && key != s.Key {
		return // what is told of one that was found among others that ring on
	}
	s.Key, s.Sure = key, event.Kind == listen.Settled
}

// Strokes are those that were heard, in order.
func (t *Take) Strokes() []rehearse.Stroke { return t.strokes }

// Level is how loud it is, in dB: 0 is full scale.
func (t *Take) Level() float64 { return t.ear.Level() }
