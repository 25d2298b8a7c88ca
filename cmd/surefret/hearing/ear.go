// Package hearing waits for an answer that is played: it joins what is asked with what is
// heard.
//
// Its clock is the samples. A note counts from its pluck, and only if it was plucked
// after the question was put. It judges nothing itself: drills turn the notes into a
// text, which is judged like any other, and a note that was heard badly is none.
package hearing

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"sync/atomic"
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/synth/listen"
)

// A Stream is where samples come from.
type Stream interface {
	Rate() int
	// Next waits for the next samples, valid until it is called again. It returns
	// io.EOF at the end.
	Next(context.Context) ([]float32, error)
}

const (
	patience   = 30 * time.Second       // for an answer
	shortest   = 100 * time.Millisecond // from the question: nothing sooner is an answer to it
	restTime   = 800 * time.Millisecond // after the feedback, while the note may ring
	soundTime  = 5 * time.Second        // at the most, while the speaker sounds
	lineTime   = 6 * time.Second        // for the next note of a line; chosen, no source
	pluckTime  = 3 * time.Second        // to look at what was wrong
	overFloor  = 6                      // dB over the floor is quiet enough for the next question
	unmeasured = -70                    // dB: the floor where it was not measured
)

// An Ear listens to one stream.
type Ear struct {
	Latency    time.Duration // from the sound to its sample
	Sounding   func() bool   // reports whether the speaker sounds, nil for never
	Headphones bool          // what sounds is not heard by the input

	Calibration Calibration // of the guitar that is played

	stream Stream
	l      *listen.Listener
	read   int64         // samples
	level  atomic.Uint64 // bits of how loud it was last
	queue  []listen.Event
}

// New returns an Ear for what this neck can sound.
func New(stream Stream, neck fretboard.Fretboard, reference float64) (*Ear, error) {
	c := listen.Config{Rate: stream.Rate(), Reference: reference, Low: math.Inf(1), High: math.Inf(-1)}
	for str := 1; str <= neck.Tuning.Strings(); str++ {
		open := float64(neck.MIDI(fretboard.Position{String: str}))
		c.Low, c.High = min(c.Low, open), max(c.High, open+float64(neck.Last()))
	}
	c.High = min(c.High, 100)
	l, err := listen.New(c)
	if err != nil {
		return nil, fmt.Errorf("listen to this tuning: %w", err)
	}
	e := &Ear{stream: stream, l: l}
	e.level.Store(math.Float64bits(l.Level()))
	return e, nil
}

// Now is how much was listened to.
func (e *Ear) Now() time.Duration {
	return time.Duration(float64(e.read) / float64(e.stream.Rate()) * float64(time.Second))
}

// Level is how loud it is, in dB: 0 is full scale. It may be asked while another
// goroutine listens.
func (e *Ear) Level() float64 { return math.Float64frombits(e.level.Load()) }

// Clipped reports whether the input was too loud since it was last asked.
func (e *Ear) Clipped() bool { return e.l.Clipped() }

// event returns the next thing that is heard, and false where samples went by without.
func (e *Ear) event(ctx context.Context) (listen.Event, bool, error) {
	if len(e.queue) == 0 {
		samples, err := e.stream.Next(ctx)
		if err != nil {
			return listen.Event{}, false, err
		}
		if e.sounds() && !e.Headphones {
			e.l.Deafen(250*time.Millisecond + e.Latency)
		}
		e.read += int64(len(samples))
		e.queue = e.l.Write(samples)
		e.level.Store(math.Float64bits(e.l.Level()))
	}
	if len(e.queue) == 0 {
		return listen.Event{}, false, nil
	}
	next := e.queue[0]
	e.queue = e.queue[1:]
	return next, true, nil
}

// sounds reports whether the speaker does.
func (e *Ear) sounds() bool { return e.Sounding != nil && e.Sounding() }

// Hear waits for an answer to q, from now on; where q is to be heard, from the end of that.
// An error is what ended the stream or ctx.
func (e *Ear) Hear(ctx context.Context, q drills.Question) (drills.Heard, error) {
	playing, ok := q.Playing()
	if !ok {
		return drills.Heard{}, errors.New("this question cannot be answered by playing")
	}
	if err := e.catchUp(ctx); err != nil {
		return drills.Heard{}, err
	}
	put, last := e.Now()+e.Latency, e.Now()
	var first, taken time.Duration
	defer e.expect(0, 0)
	for {
		if len(q.Heard) > 0 && first == 0 && e.sounds() {
			put, last = e.Now()+e.Latency, e.Now()
		}
		next := 0
		if want := playing.Want(); playing.Line && len(want) == 1 {
			next = want[0]
		}
		e.expect(next, playing.String)
		event, some, err := e.event(ctx)
		switch {
		case err != nil:
			return drills.Heard{}, err
		case !some && taken > 0 && playing.Line && e.Now()-last > lineTime:
			return drills.Heard{Unsure: true, Said: playing.Said(0) + ", and no note after it: play it once more from the first"}, nil
		case !some && e.Now()-last > patience:
			return drills.Heard{Quiet: true}, nil
		case !some, event.At < put+shortest, taken > 0 && event.At <= taken:
			continue
		}
		last = e.Now()
		midi, verdict := decide(event, playing.Want(), e.Calibration.offset(playing.String))
		switch verdict {
		case listen.Undecided:
			continue
		case listen.Repeat:
			return drills.Heard{Unsure: true, Said: onceMore(taken > 0)}, nil
		}
		if first == 0 {
			first = event.At
		}
		taken = event.At
		answer, err := playing.Take(midi, event.At)
		switch {
		case err != nil:
			return drills.Heard{Said: err.Error()}, nil
		case answer != "":
			return drills.Heard{Answer: answer, Said: playing.Said(midi), Thinking: first - put}, nil
		}
	}
}

// onceMore asks for a note again that was heard badly; one of several, for all of them,
// since the next answer begins anew.
func onceMore(several bool) string {
	if several {
		return "did not hear that note: play all of them once more"
	}
	return "did not hear that, once more"
}

// expect has a note, of a string or of any where that is 0, looked for among those that
// ring on; none where the note is 0.
func (e *Ear) expect(midi, str int) {
	if midi == 0 {
		e.l.Expect(0)
		return
	}
	e.l.Expect(float64(midi) + e.Calibration.offset(str))
}

// expectAll has notes that are struck together looked for, the lowest first.
func (e *Ear) expectAll(midi []int) {
	if len(midi) == 1 {
		e.expect(midi[0], 0)
		return
	}
	var keys []float64
	for _, m := range midi {
		keys = append(keys, float64(m)+e.Calibration.offset(0))
	}
	e.l.ExpectGrip(keys)
}

// catchUp leaves out what came while nobody listened.
func (e *Ear) catchUp(ctx context.Context) error {
	live, ok := e.stream.(interface{ Waiting() int })
	for ok && live.Waiting() > e.stream.Rate()/50 {
		e.queue = nil
		if _, _, err := e.event(ctx); err != nil {
			return err
		}
	}
	e.queue = nil
	return nil
}

// decide judges a note against those that would be right, on a string that is so many
// semitones sharp.
func decide(event listen.Event, want []int, offset float64) (midi int, verdict listen.Verdict) {
	verdict = event.Judge(math.Inf(1), 0)
	for _, w := range want {
		if event.Judge(float64(w), offset) == listen.Right {
			return w, listen.Right
		}
	}
	return int(math.Round(event.Key - offset)), verdict
}

// Rest waits until what was played is over, 0.8 s at the most, or 5 s where the speaker
// sounds as long; after an answer that was slow or wrong, until a note is plucked, three
// seconds more at the most.
func (e *Ear) Rest(ctx context.Context, look bool) error {
	if err := e.catchUp(ctx); err != nil {
		return err
	}
	from := e.Now()
	for e.Now()-from < restTime || e.sounds() && e.Now()-from < soundTime {
		if _, _, err := e.event(ctx); err != nil {
			return err
		}
		if !e.sounds() && e.Level() < cmp.Or(e.Calibration.Floor, unmeasured)+overFloor {
			break
		}
	}
	if !look {
		return nil
	}
	_, err := e.Pluck(ctx, pluckTime)
	return err
}

// Pluck waits for any note, at most for a time, 0 for as long as it takes, and reports
// whether there was one.
func (e *Ear) Pluck(ctx context.Context, most time.Duration) (bool, error) {
	from := e.Now()
	for most == 0 || e.Now()-from < most {
		event, some, err := e.event(ctx)
		if err != nil {
			return false, err
		}
		if some && event.Kind == listen.Onset && event.At >= from {
			return true, nil
		}
	}
	return false, nil
}
