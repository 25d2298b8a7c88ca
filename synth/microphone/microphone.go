// Package microphone has samples for who listens: from the machine's inputs, or from a
// recording at its own pace.
//
// A [Microphone] never keeps its caller waiting for longer than he says. One goroutine
// owns the device; every wait for it is bounded, and a device that hangs is left to that
// goroutine, which then may never end. Samples lie in a ring of four seconds in memory
// and nowhere else. An input opens only when it is asked for.
//
// The package knows no pitch and no guitar. Neighbour: synth/listen hears notes in the
// samples. Built with the tag silent it has no inputs, only recordings.
package microphone

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"
)

// A System is the sound system of a machine, as far as it records. Its methods may hang.
type System interface {
	Inputs() ([]Input, error)
	// Open opens an input, the system's own choice where name is "". It calls heard
	// with samples at Rate, valid during the call, from a thread of its own.
	Open(name string, heard func(samples []float32)) (Device, error)
}

// A Device is an input that is open. Close may hang.
type Device interface{ Close() }

// An Input is one that can be listened to.
type Input struct {
	Name    string `json:"name"`
	Default bool   `json:"default"`
}

// rate is how many samples there are a second.
const rate = 48000

// The bounds on every wait.
const (
	openLimit  = 1900 * time.Millisecond // an open that hangs is told within 2 s
	firstLimit = 3 * time.Second         // servers take up to two seconds to begin
	stallLimit = 800 * time.Millisecond  // a device that is lost is told within a second
	closeLimit = 500 * time.Millisecond
	zeroLimit  = 2 * time.Second // of samples that are exactly 0
	tick       = 100 * time.Millisecond
	ringTime   = 4 // seconds
)

// Why there is nothing to listen to, each one sentence.
var (
	ErrNone    = errors.New("this machine offers no input to listen to")
	errStuck   = errors.New("the input does not answer")
	errLost    = errors.New("the input was lost")
	errMute    = errors.New("the input gives nothing but silence: is the program allowed to use the microphone, and is it switched on?")
	ErrUnnamed = errors.New("no input is called so")
)

// A Microphone is an open input.
type Microphone struct {
	mu    sync.Mutex
	ring  []float32
	start int // of what was not taken yet
	count int
	taken []float32
	came  int64 // samples that came so far
	zeros int   // samples in a row that are exactly 0
	loud  bool  // one was not
	err   error

	wake    chan struct{} // something changed
	closing chan struct{}
	once    sync.Once
	done    chan struct{}
}

// Inputs lists what can be listened to: no monitors of loudspeakers and no null devices,
// which hear nothing that is played.
func Inputs(system System) ([]Input, error) {
	var all []Input
	list := make(chan []Input, 1)
	err := within(openLimit, func() error {
		inputs, err := system.Inputs()
		list <- inputs
		return err
	})
	if err != nil {
		return nil, err
	}
	for _, in := range <-list {
		name := strings.ToLower(in.Name)
		if !strings.HasPrefix(name, "monitor of") && !strings.Contains(name, "discard all samples") && !strings.Contains(name, "null") {
			all = append(all, in)
		}
	}
	return all, nil
}

// Open opens an input by the name that Inputs gives it, or by a part of that which no
// other has; "" is the system's own choice. It returns when samples come, or an error
// of one sentence.
func Open(ctx context.Context, system System, name string) (*Microphone, error) {
	inputs, err := Inputs(system)
	if err != nil {
		return nil, err
	}
	if name, err = choose(inputs, name); err != nil {
		return nil, err
	}
	m := &Microphone{
		ring: make([]float32, ringTime*rate), taken: make([]float32, 0, ringTime*rate),
		wake: make(chan struct{}, 1), closing: make(chan struct{}), done: make(chan struct{}),
	}
	go m.own(system, name)
	if err := m.wait(ctx); err != nil {
		m.once.Do(func() { close(m.closing) })
		return nil, err
	}
	return m, nil
}

func choose(inputs []Input, name string) (string, error) {
	if len(inputs) == 0 {
		return "", ErrNone
	}
	if name == "" {
		return "", nil
	}
	var found []string
	for _, in := range inputs {
		if in.Name == name {
			return name, nil
		}
		if strings.Contains(strings.ToLower(in.Name), strings.ToLower(name)) {
			found = append(found, in.Name)
		}
	}
	if len(found) != 1 {
		var names []string
		for _, in := range inputs {
			names = append(names, fmt.Sprintf("%q", in.Name))
		}
		return "", fmt.Errorf("%w as %q: there are %s", ErrUnnamed, name, strings.Join(names, ", "))
	}
	return found[0], nil
}

// own is the goroutine that owns the device.
func (m *Microphone) own(system System, name string) {
	defer close(m.done)
	opened := make(chan Device, 1)
	err := within(openLimit, func() error {
		defer close(opened)
		d, err := system.Open(name, m.hear)
		if err == nil {
			opened <- d
		}
		return err
	})
	if err != nil {
		m.fail(err)
		go func() { // one that opens too late
			if device, ok := <-opened; ok {
				device.Close()
			}
		}()
		return
	}
	device := <-opened
	m.watch()
	within(closeLimit, func() error { device.Close(); return nil })
}

// watch returns when the device is lost or no longer wanted.
func (m *Microphone) watch() {
	timer := time.NewTicker(tick)
	defer timer.Stop()
	var came int64
	still := time.Duration(0)
	for {
		select {
		case <-m.closing:
			return
		case <-timer.C:
		}
		m.mu.Lock()
		if still += tick; m.came != came {
			came, still = m.came, 0
		}
		mute := !m.loud && m.zeros >= int(zeroLimit.Seconds()*rate)
		m.mu.Unlock()
		switch {
		case mute:
			m.fail(errMute)
			return
		case came == 0 && still >= firstLimit, came > 0 && still >= stallLimit:
			m.fail(errLost)
			return
		}
	}
}

// hear is called by the device. What nobody took for four seconds is dropped.
func (m *Microphone) hear(samples []float32) {
	m.mu.Lock()
	for _, v := range samples {
		if v != 0 {
			m.loud = true
		}
		m.zeros++
		m.ring[(m.start+m.count)%len(m.ring)] = v
		if m.count < len(m.ring) {
			m.count++
		} else {
			m.start = (m.start + 1) % len(m.ring)
		}
	}
	m.came += int64(len(samples))
	m.mu.Unlock()
	m.tell()
}

func (m *Microphone) tell() {
	select {
	case m.wake <- struct{}{}:
	default:
	}
}

func (m *Microphone) fail(err error) {
	m.mu.Lock()
	m.err = err
	m.mu.Unlock()
	m.tell()
}

// wait waits until samples have come.
func (m *Microphone) wait(ctx context.Context) error {
	for {
		m.mu.Lock()
		n, err := m.count, m.err
		m.mu.Unlock()
		if n > 0 || err != nil {
			return err
		}
		select {
		case <-m.wake:
		case <-ctx.Done():
			return ctx.Err()
		case <-m.done:
			m.mu.Lock()
			defer m.mu.Unlock()
			if m.err != nil {
				return m.err
			}
			return errLost
		}
	}
}

// Next waits for the next samples, valid until it is called again. An error ends the
// stream: the sentence says why.
func (m *Microphone) Next(ctx context.Context) ([]float32, error) {
	if err := m.wait(ctx); err != nil {
		return nil, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	n := min(m.count, rate/10)
	m.taken = m.taken[:0]
	for i := range n {
		m.taken = append(m.taken, m.ring[(m.start+i)%len(m.ring)])
	}
	m.start, m.count = (m.start+n)%len(m.ring), m.count-n
	return m.taken, nil
}

// Waiting is how many samples were not taken yet; 1 at the least where the stream has
// ended, so that whoever asks it first has Next say why.
func (m *Microphone) Waiting() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.err != nil {
		return max(m.count, 1)
	}
	return m.count
}

// Rate is how many samples there are a second.
func (m *Microphone) Rate() int { return rate }

// Close closes the input, half a second at the most; one that failed closes by itself,
// if it can, and nobody waits for it.
func (m *Microphone) Close() {
	m.once.Do(func() { close(m.closing) })
	m.mu.Lock()
	failed := m.err != nil
	m.mu.Unlock()
	if failed {
		return
	}
	timer := time.NewTimer(openLimit + closeLimit)
	defer timer.Stop()
	select {
	case <-m.done:
	case <-timer.C:
	}
}

// within runs f for at most d. If f hangs it is left behind.
func within(d time.Duration, f func() error) error {
	result := make(chan error, 1)
	go func() { result <- f() }()
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case err := <-result:
		return err
	case <-timer.C:
		return errStuck
	}
}
