package tuner

import (
	"context"
	"fmt"
	"slices"
	"time"

	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/sound"
	"surefret/drills/rehearse"
	"surefret/synth"
)

// How the delay is measured: short notes that are far enough apart for an echo to be gone,
// and farther each time, lest one be taken for a later one that came early. Most of them
// have to be heard equally late.
const (
	delayNotes  = 10
	delayHz     = 440.0
	delayEvery  = 700 * time.Millisecond
	delayMore   = 50 * time.Millisecond
	delayFewest = 6
	delaySpread = 10 * time.Millisecond
	delayMost   = 500 * time.Millisecond // that is looked for
)

// delayPoll is how often both devices are asked how far they are. They count in periods of
// 5, 10 or 20 ms and their like, of which this is no multiple: so each is soon asked just
// after a period, when what it says is true, and not always just before the next.
const delayPoll = 7 * time.Millisecond

// Delay plays notes on the loudspeaker and returns how much later than it should
// the input has them: what the guesses of both devices' delays are off by. Wait waits, and
// now is the computer's clock.
func Delay(ctx context.Context, snd *sound.Sound, ear *hearing.Ear, now func() time.Time, wait func(context.Context, time.Duration) error) (time.Duration, error) {
	notes := noteTimes()
	var sc synth.Score
	for _, at := range notes {
		sc = append(sc, synth.Event{At: at, Pluck: synth.Pluck{Hz: delayHz, For: delayEvery / 3}})
	}
	end := notes[len(notes)-1] + 2*delayMost
	sc = append(sc, synth.Event{At: end, Sound: synth.Silence})
	take := ear.Take(sound.NewClock(now, func() (time.Duration, bool) { return ear.Now(), true }).At)
	take.GoTo(rehearse.Run{}, 0, -end)
	clock := snd.Song(sc, now)
	for clock.At() < end {
		if err := take.Follow(ctx, clock.At()); err != nil {
			return 0, err
		}
		if err := wait(ctx, delayPoll); err != nil {
			return 0, err
		}
	}
	return lateness(notes, take.Strokes())
}

// noteTimes are when the notes come.
func noteTimes() (notes []time.Duration) {
	at := time.Duration(0)
	for i := range delayNotes {
		at += delayEvery + time.Duration(i)*delayMore
		notes = append(notes, at)
	}
	return notes
}

// lateness is how late strokes come that should come at the same times as notes. The
// error is one sentence.
func lateness(notes []time.Duration, strokes []rehearse.Stroke) (time.Duration, error) {
	var late []time.Duration
	for _, at := range notes {
		i := slices.IndexFunc(strokes, func(s rehearse.Stroke) bool { return s.At > at-delayEvery/4 && s.At < at+delayMost })
		if i >= 0 {
			late = append(late, strokes[i].At-at)
		}
	}
	if len(late) > 0 {
		slices.Sort(late)
		median := late[len(late)/2]
		late = slices.DeleteFunc(late, func(d time.Duration) bool { return (d - median).Abs() > delaySpread })
		if len(late) >= delayFewest {
			return median, nil
		}
	}
	return 0, fmt.Errorf("only %d of %d notes were heard equally late: take headphones off, turn the loudspeaker up, keep quiet and try again", len(late), len(notes))
}
