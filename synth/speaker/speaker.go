// Package speaker plays cues on the machine's sound device, or keeps silent and
// says why.
//
// Sound is a help, never a condition: whoever practises must not wait for a
// card that is absent, busy, unplugged or stuck. So a Speaker takes a cue and
// returns at once; one goroutine of its own opens the device when the first cue
// comes, watches every cue with a bound on each wait, and on the first trouble
// turns silent, with one plain sentence, until it is asked to try again.
//
// The Device is a small interface, so that a test may record what would have
// been heard. The machine's own is behind build tags: with -tags silent, or on
// Linux without cgo, it is one that always declines.
package speaker

import (
	"context"
	"fmt"
	"io"
	"sync"
	"time"

	"surefret/synth"
)

// Rate is the only sampling rate that is played, in samples a second. It is the
// one that no common device converts.
const Rate = 48000

// steadyBuffer is for a busy machine: in a minute beside thirty programs on two processors
// it ran dry once, and a buffer of 40 ms 51 times.
const steadyBuffer = 160 * time.Millisecond

// Buffer is how much sound the [Steady] device is asked to hold at a time; 0 is as much as
// the system chooses, or no device.
func Buffer() time.Duration {
	if bufferSize() == 0 {
		return 0
	}
	return steadyBuffer
}

// A Device is a place where sound can go.
type Device interface {
	// Open starts the device for two channels of float32 at Rate. It may hang.
	Open() (Output, error)
}

// An Output is an open device. Suspend and Resume may hang.
type Output interface {
	// Play starts to sound what src yields (little-endian float32, left and
	// right in turn) at volume 0..1, mixed with what sounds already.
	Play(src io.Reader, volume float64) Player
	Suspend() error
	Resume() error
	Err() error             // not nil once the device is lost, for good
	Latency() time.Duration // from taking a sample to its being heard
}

// A Player is one sound being played.
type Player interface {
	SetVolume(volume float64)
	IsPlaying() bool         // false when the last sample was taken
	UnplayedBufferSize() int // bytes read from the source but not taken
	Err() error
	Close() error
}

// State of a Speaker.
type State int

const (
	Idle    State = iota // nothing to play, or nothing played yet
	Playing              // a cue is to be heard
	Silent               // the device failed; see Status.Reason
)

// Status is what a Speaker is doing.
type Status struct {
	State  State
	reason string // one plain sentence if Silent, else empty
}

// A Speaker plays one cue at a time. The zero Speaker is ready: it opens the
// machine's own device at the first Play, at synth.DefaultVolume. Make one for
// a whole run of the program, since a device is opened once. Its methods may be
// called from any goroutine and, save Close, return at once.
type Speaker struct {
	Device Device // nil means the machine's own; set it before the first Play

	mu      sync.Mutex
	raised  float64 // volume in dB over synth.DefaultVolume
	status  Status
	heard   time.Duration // of the cue that was asked for last
	began   bool          // some of it was heard
	want    orders
	closed  bool
	wake    chan struct{} // holds one: there are orders
	done    chan struct{} // closed when the goroutine is over
	notices chan string
}

// orders are what callers ask of the goroutine.
type orders struct {
	cue, other          *synth.Cue
	stop, louder, close bool
}

// Play stops what sounds and starts cue. It fails only on a cue that is not at
// Rate; a silent Speaker takes cues and sounds nothing.
func (s *Speaker) Play(cue synth.Cue) error {
	if cue.Rate != Rate {
		return errRate(cue)
	}
	s.order(func(o *orders) {
		if s.closed {
			return
		}
		if s.status.State != Silent {
			s.status.State = Playing
		}
		o.cue, o.other, o.stop = &cue, nil, false
		s.heard, s.began = 0, false
	})
	return nil
}

// Exchange goes on with another cue from where the sound is, in a fiftieth of a second and
// without a step: the same music, sounded in another way. It is heard once what was read
// ahead is over, after two seconds on the machine's own device. Where nothing sounds it
// does nothing. It fails as [Speaker.Play] does.
func (s *Speaker) Exchange(cue synth.Cue) error {
	if cue.Rate != Rate {
		return errRate(cue)
	}
	s.order(func(o *orders) { o.other = &cue })
	return nil
}

// errRate says that a cue cannot be played as it is.
func errRate(cue synth.Cue) error {
	return fmt.Errorf("the speaker plays %d samples a second, the cue has %d: render it at %d", Rate, cue.Rate, Rate)
}

// Heard is how much of the last cue was heard, as the device tells it every few
// milliseconds: what it took less what it still holds back. A loop counts on. It
// reports false before the first of it was heard, and where there is no sound.
func (s *Speaker) Heard() (time.Duration, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.heard, s.began && s.status.State == Playing
}

// Stop ends the sound within a few hundredths of a second, without a click.
func (s *Speaker) Stop() {
	s.order(func(o *orders) { o.cue, o.stop = nil, true })
}

// SetVolume sets the volume in dB, for the sound that is playing too. Above
// synth.LoudestVolume it is synth.LoudestVolume.
func (s *Speaker) SetVolume(db float64) {
	s.mu.Lock()
	s.raised = min(db, synth.LoudestVolume) - synth.DefaultVolume
	running := s.wake != nil
	s.mu.Unlock()
	if running {
		s.order(func(o *orders) { o.louder = true })
	}
}

// Volume is the volume in dB.
func (s *Speaker) Volume() float64 {
	s.mu.Lock()
	defer s.mu.Unlock()
	return synth.DefaultVolume + s.raised
}

// Status tells what the Speaker is doing.
func (s *Speaker) Status() Status {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.status
}

// Notices yields one plain sentence each time the device fails: once, not at
// every cue. A full screen waits for it, a line mode looks now and then.
func (s *Speaker) Notices() <-chan string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.noticesLocked()
}

func (s *Speaker) noticesLocked() chan string {
	if s.notices == nil {
		s.notices = make(chan string, 1)
	}
	return s.notices
}

// Close lets the cue that is playing end, a loop excepted, and gives up the
// device. If ctx ends first it stops the sound without a click and returns the
// error of ctx. A closed Speaker plays no more.
func (s *Speaker) Close(ctx context.Context) error {
	s.mu.Lock()
	running := s.wake != nil
	s.mu.Unlock()
	if !running {
		return nil
	}
	s.order(func(o *orders) { o.close, s.closed = true, true })
	select {
	case <-s.done:
		return nil
	case <-ctx.Done():
	}
	s.Stop()
	select {
	case <-s.done:
	case <-time.After(fadeTime):
	}
	return ctx.Err()
}

// order changes the orders and wakes the goroutine, which it starts if need be.
func (s *Speaker) order(change func(*orders)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	change(&s.want)
	if s.wake == nil {
		s.wake, s.done = make(chan struct{}, 1), make(chan struct{})
		device := s.Device
		if device == nil {
			device = Default()
		}
		go (&stage{speaker: s, device: device}).run()
	}
	select {
	case s.wake <- struct{}{}:
	default:
	}
}
