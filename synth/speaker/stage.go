package speaker

import (
	"fmt"
	"slices"
	"time"

	"surefret/synth"
)

// The bounds on every wait.
const (
	openLimit  = 1900 * time.Millisecond // an open that hangs is told within 2 s
	callLimit  = 500 * time.Millisecond  // so is a suspend or resume
	stallLimit = 3 * time.Second         // PulseAudio's output without a card takes none for 2 s when it begins
	idleLimit  = 3 * time.Second         // then the device is suspended
	fadeTime   = 300 * time.Millisecond  // by then a sound that was turned down is closed
	tick       = 10 * time.Millisecond
)

// A stage is what the goroutine of a Speaker knows: the open device and the
// sounds on it. Waits are counted in ticks, not read off a clock, so that a
// program stopped from the keyboard and continued finds its device unharmed.
type stage struct {
	speaker   *Speaker
	device    Device
	out       Output // nil until opened, and after a failure
	failed    bool
	suspended bool
	ramped    bool // the first sound has had its ramp
	closing   bool
	now       *sound
	fading    []*sound
	idle      time.Duration
}

// A sound is one cue being played or faded out.
type sound struct {
	Player
	src     *source
	loop    bool
	taken   int64         // bytes that had left the player at the last tick
	stalled time.Duration // since then
	takes   int           // ticks that saw the device take more, since turned down
	tail    time.Duration // left to wait until what was taken is heard
	ending  bool          // all was taken
}

func (g *stage) run() {
	s := g.speaker
	defer close(s.done)
	timer := time.NewTimer(tick)
	defer timer.Stop()
	for {
		var clock <-chan time.Time
		if g.now != nil || len(g.fading) > 0 || g.out != nil && !g.suspended {
			timer.Reset(tick)
			clock = timer.C
		}
		select {
		case <-s.wake:
			g.obey(s.take())
		case <-clock:
			g.watch()
		}
		if g.closing && g.now == nil && len(g.fading) == 0 {
			return
		}
	}
}

// take hands over the orders.
func (s *Speaker) take() orders {
	s.mu.Lock()
	defer s.mu.Unlock()
	o := s.want
	s.want = orders{}
	return o
}

func (g *stage) obey(o orders) {
	if o.louder && g.now != nil {
		g.now.SetVolume(synth.Gain(g.speaker.Volume()))
	}
	if o.stop {
		g.fade()
		g.settle()
	}
	if o.cue != nil {
		g.play(*o.cue)
	}
	if o.other != nil && g.now != nil {
		g.now.src.exchange(*o.other)
	}
	if o.close {
		g.closing = true
		if g.now != nil && g.now.loop {
			g.fade()
			g.settle()
		}
	}
}

func (g *stage) play(cue synth.Cue) {
	if !g.open() {
		return
	}
	if g.suspended {
		if err := within(callLimit, g.out.Resume); err != nil {
			g.fail(fmt.Errorf("resume the device: %w", err))
			return
		}
		g.suspended = false
	}
	g.fade()
	src := &source{cue: cue}
	if !g.ramped || cue.Loop {
		src.ramp = Rate / 5 // the first sound of a run rises over 200 ms, and a loop has no start of its own
		g.ramped = slices.ContainsFunc(cue.Samples, func(v float32) bool { return v != 0 })
	}
	g.idle = 0
	g.now = &sound{src: src, loop: cue.Loop}
	g.now.Player = g.out.Play(src, synth.Gain(g.speaker.Volume()))
	g.tell(Status{State: Playing})
}

// open makes sure that the device is open, and reports whether it is.
func (g *stage) open() bool {
	if g.out != nil || g.failed {
		return g.out != nil
	}
	var out Output
	opened := make(chan Output, 1)
	err := within(openLimit, func() error {
		out, err := g.device.Open()
		if err == nil {
			opened <- out
		}
		return err
	})
	if err != nil {
		g.fail(fmt.Errorf("open the device: %w", err))
		return false
	}
	out = <-opened
	g.out, g.suspended = out, false
	return true
}

// fade turns the playing sound down, to be closed once the device has taken what
// follows: a volume is reached at the end of the period that begins with it.
func (g *stage) fade() {
	if g.now == nil {
		return
	}
	g.now.SetVolume(0)
	g.now.tail, g.now.takes = fadeTime, 0
	g.fading = append(g.fading, g.now)
	g.now = nil
}

// watch is done every tick.
func (g *stage) watch() {
	if g.out == nil {
		return
	}
	if err := g.out.Err(); err != nil {
		g.fail(fmt.Errorf("the device was lost: %w", err))
		return
	}
	g.fading = slices.DeleteFunc(g.fading, func(s *sound) bool {
		s.tail -= tick
		if s.moved() {
			s.takes++
		}
		if s.IsPlaying() && s.takes < 3 && s.tail > 0 {
			return false
		}
		s.Close()
		return true
	})
	switch s := g.now; {
	case s == nil:
		if len(g.fading) == 0 {
			g.rest()
		}
	case s.Err() != nil:
		g.fail(fmt.Errorf("the device was lost: %w", s.Err()))
	case s.ending:
		if s.tail -= tick; s.tail <= 0 {
			s.Close()
			g.now = nil
			g.settle()
		}
	case !s.IsPlaying():
		s.ending, s.tail = true, g.out.Latency()
	case s.stuck():
		g.fail(errStuck)
	default:
		g.count(s)
	}
}

// count tells how much of a sound was heard.
func (g *stage) count(s *sound) {
	heard := time.Duration(s.taken)*time.Second/(frame*Rate) - g.out.Latency()
	sp := g.speaker
	sp.mu.Lock()
	defer sp.mu.Unlock()
	if sp.want.cue == nil && heard > 0 { // else another was asked for meanwhile
		sp.heard, sp.began = heard, true
	}
}

// moved reports whether the device has taken something since the last tick.
func (s *sound) moved() bool {
	taken := s.src.read.Load() - int64(s.UnplayedBufferSize())
	moved := taken != s.taken
	s.taken = taken
	return moved
}

// stuck reports whether the device has taken nothing for too long.
func (s *sound) stuck() bool {
	s.stalled += tick
	if s.moved() {
		s.stalled = 0
	}
	return s.stalled >= stallLimit
}

// rest suspends a device that has had nothing to do for some seconds.
func (g *stage) rest() {
	if g.idle += tick; g.idle < idleLimit || g.suspended {
		return
	}
	if err := within(callLimit, g.out.Suspend); err != nil {
		g.fail(fmt.Errorf("suspend the device: %w", err))
		return
	}
	g.suspended = true
}

// settle says that nothing is to be heard any more.
func (g *stage) settle() {
	if g.now == nil && !g.failed {
		g.tell(Status{State: Idle})
	}
}

// fail turns the Speaker silent and says so once.
func (g *stage) fail(err error) {
	if g.now != nil {
		g.fading = append(g.fading, g.now)
	}
	for _, s := range g.fading {
		s.Close()
	}
	g.now, g.fading, g.out, g.failed = nil, nil, nil, true
	g.tell(Status{State: Silent, reason: plain(err)})
}

// tell publishes the status, and a notice when silence begins.
func (g *stage) tell(st Status) {
	s := g.speaker
	s.mu.Lock()
	defer s.mu.Unlock()
	if st.State == Idle && s.want.cue != nil {
		st.State = Playing // ordered already
	}
	s.status = st
	if st.State == Silent {
		select {
		case <-s.noticesLocked(): // an older one that nobody read
		default:
		}
		s.noticesLocked() <- st.reason
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
