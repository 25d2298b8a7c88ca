package sound

import (
	"time"

	"surefret/synth"
)

// A Clock tells how much of a sound was heard. The device says so in steps, and some of
// them late; between them the time goes on. It follows a device whose clock is not quite
// the computer's. Without a device it is the time since the sound should have begun.
type Clock struct {
	now     func() time.Time
	heard   func() (time.Duration, bool) // nil without sound
	start   time.Time
	last    time.Duration // that the device told
	offsets []offset      // of the last seconds
}

// An offset is how far the device was ahead of the time since the start.
type offset struct {
	at    time.Time
	ahead time.Duration
}

// remembered is for how long an offset counts: the largest of that time is the truest,
// since a step is told late and never early.
const remembered = 2 * time.Second

// NewClock starts a clock; heard, which may be nil, is what the device tells.
func NewClock(now func() time.Time, heard func() (time.Duration, bool)) *Clock {
	return &Clock{now: now, heard: heard, start: now()}
}

// At is how much was heard by now.
func (c *Clock) At() time.Duration {
	now := c.now()
	since := now.Sub(c.start)
	if c.heard == nil {
		return since
	}
	if d, ok := c.heard(); ok && d != c.last {
		c.last = d
		c.offsets = append(c.offsets, offset{now, d - since})
		for len(c.offsets) > 1 && now.Sub(c.offsets[0].at) > remembered {
			c.offsets = c.offsets[1:]
		}
	}
	if len(c.offsets) == 0 {
		if since < remembered {
			return 0 // it has not begun
		}
		return since // the device says nothing
	}
	most := c.offsets[0].ahead
	for _, o := range c.offsets[1:] {
		most = max(most, o.ahead)
	}
	return since + most
}

// Song plays a score in place of what sounds already, and returns its clock. A score that
// cannot be rendered, and one that nobody hears, goes by the time.
func (s *Sound) Song(sc synth.Score, now func() time.Time) *Clock {
	if !s.Heard() {
		return NewClock(now, nil)
	}
	cue, err := synth.Render(sc, synth.Options{})
	if err != nil || s.speaker.Play(cue) != nil {
		return NewClock(now, nil)
	}
	return NewClock(now, s.speaker.Heard)
}

// Stop ends what sounds.
func (s *Sound) Stop() {
	if s.speaker != nil {
		s.speaker.Stop()
	}
}

// Louder raises the volume by a step, up to the loudest there is.
func (s *Sound) Louder() {
	if s.speaker != nil {
		s.speaker.SetVolume(s.speaker.Volume() + synth.VolumeStep)
	}
}
