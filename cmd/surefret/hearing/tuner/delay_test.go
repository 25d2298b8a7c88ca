package tuner

import (
	"context"
	"encoding/binary"
	"io"
	"math"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/settings"
	"surefret/cmd/surefret/sound"
	"surefret/drills/fretboard"
	"surefret/drills/rehearse"
	"surefret/synth/microphone"
	"surefret/synth/speaker"
)

// A loudspeaker whose samples an input has some time after it took them. The time goes by
// in periods of ten milliseconds.
type loudspeaker struct {
	delay time.Duration // from taking a sample to its reaching the input
	mu    sync.Mutex
	src   io.Reader
	heard func([]float32)
	queue []float32 // what is under way
	stop  chan struct{}
}

const told = 60 * time.Millisecond // that it tells of itself

func (l *loudspeaker) Open() (speaker.Output, error) { return l, nil }
func (l *loudspeaker) Play(src io.Reader, volume float64) speaker.Player {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.src = src
	return l
}
func (*loudspeaker) Suspend() error          { return nil }
func (*loudspeaker) Resume() error           { return nil }
func (*loudspeaker) Err() error              { return nil }
func (*loudspeaker) Latency() time.Duration  { return told }
func (*loudspeaker) SetVolume(float64)       {}
func (*loudspeaker) UnplayedBufferSize() int { return 0 }
func (*loudspeaker) Close() error            { return nil }
func (l *loudspeaker) IsPlaying() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.src != nil
}

// room is the input beside it.
type room struct{ *loudspeaker }

func (room) Inputs() ([]microphone.Input, error) { return []microphone.Input{{Name: "room"}}, nil }
func (r room) Open(_ string, heard func([]float32)) (microphone.Device, error) {
	r.heard = heard
	r.queue = make([]float32, int(r.delay.Seconds()*speaker.Rate))
	go r.run()
	return closer{r.loudspeaker}, nil
}

type closer struct{ l *loudspeaker }

func (c closer) Close() { close(c.l.stop) }

// run lets the time go by: what the loudspeaker takes joins the queue, and its front is
// heard, over a little noise.
func (l *loudspeaker) run() {
	ticker := time.NewTicker(10 * time.Millisecond)
	defer ticker.Stop()
	raw := make([]byte, 8*speaker.Rate/100)
	for {
		select {
		case <-l.stop:
			return
		case <-ticker.C:
		}
		l.mu.Lock()
		period := make([]float32, speaker.Rate/100)
		if l.src != nil {
			n, err := io.ReadFull(l.src, raw)
			for i := range n / 8 {
				period[i] = math.Float32frombits(binary.LittleEndian.Uint32(raw[8*i:]))
			}
			if err != nil {
				l.src = nil
			}
		}
		l.queue = append(l.queue, period...)
		front := l.queue[:len(period)]
		for i := range front {
			front[i] += 1e-4 * float32(i%2*2-1)
		}
		l.queue = l.queue[len(period):]
		l.mu.Unlock()
		l.heard(front)
	}
}

// The delay from the loudspeaker to the input is measured through both streams: to within
// the periods of both and what an onset is known by, and a longer one as longer by as much,
// whether or not it is whole periods; where nothing is heard it is told.
func TestTheDelayIsMeasured(t *testing.T) {
	var least, most time.Duration
	for i, delay := range []time.Duration{30 * time.Millisecond, 33 * time.Millisecond, 250 * time.Millisecond, 257 * time.Millisecond} {
		synctest.Test(t, func(t *testing.T) {
			l := &loudspeaker{delay: delay, stop: make(chan struct{})}
			snd := sound.Open(l, settings.Default(), nil)
			m, err := microphone.Open(t.Context(), room{l}, "")
			if err != nil {
				t.Fatal(err)
			}
			ear, err := hearing.New(m, fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}, 440)
			if err != nil {
				t.Fatal(err)
			}
			wait := func(_ context.Context, d time.Duration) error { time.Sleep(d); return nil }
			off, err := Delay(t.Context(), snd, ear, time.Now, wait)
			// The clock of the loudspeaker allows for what the device tells.
			if want := delay - told; err != nil || (off-want).Abs() > 25*time.Millisecond {
				t.Errorf("a delay of %v is measured as %v, want %v; %v", delay, off, want, err)
			}
			if off -= delay; i == 0 {
				least, most = off, off
			}
			least, most = min(least, off), max(most, off)
			m.Close()
			snd.Close(t.Context())
			time.Sleep(time.Minute)
		})
	}
	if most-least > 5*time.Millisecond {
		t.Errorf("some delays are measured as longer than others are, by %v", most-least)
	}
	if _, err := lateness([]time.Duration{time.Second}, nil); err == nil {
		t.Error("nothing was heard, and nothing is told")
	}
}

// A delay that is longer than what is looked for is refused, and not taken for a note that
// comes before it sounds.
func TestADelayThatIsTooLongIsNoOther(t *testing.T) {
	for late := -100 * time.Millisecond; late < 5*time.Second; late += 10 * time.Millisecond {
		var strokes []rehearse.Stroke
		for _, at := range noteTimes() {
			strokes = append(strokes, rehearse.Stroke{At: at + late})
		}
		if off, err := lateness(noteTimes(), strokes); (err == nil) != (late < delayMost) || err == nil && off != late {
			t.Errorf("%v late is measured as %v, %v", late, off, err)
		}
	}
}
