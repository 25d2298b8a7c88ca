package sound

import (
	"slices"
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
	lost    time.Duration // how long it was silent in between
}

// An offset is how far the device was ahead of the time since the start.
type offset struct {
	at    time.Time
	ahead time.Duration
}

// remembered is for how long an offset counts: the largest of that time is the truest,
// since a step is told late and never early.
const remembered = 2 * time.Second

// The device fell silent in between, having been kept waiting longer than it holds, where
// all that it told for a time is later than before by a gap: late steps are single ones.
const (
	settles = 300 * time.Millisecond
	gap     = 40 * time.Millisecond
)

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
		c.fell(now)
	}
	if len(c.offsets) == 0 {
		if since < remembered {
			return 0 // it has not begun
		}
		return since // the device says nothing
	}
	return since + truest(c.offsets)
}

// truest is the largest of some offsets.
func truest(offsets []offset) time.Duration {
	most := offsets[0].ahead
	for _, o := range offsets[1:] {
		most = max(most, o.ahead)
	}
	return most
}

// fell finds out whether the device fell silent: then what it told before counts no more,
// and the sound goes on from where it was.
func (c *Clock) fell(now time.Time) {
	i := slices.IndexFunc(c.offsets, func(o offset) bool { return now.Sub(o.at) < settles })
	if i <= 0 || now.Sub(c.offsets[i].at) < settles*3/4 { // too little was told since
		return
	}
	if by := truest(c.offsets[:i]) - truest(c.offsets[i:]); by > gap {
		c.lost += by
		c.offsets = c.offsets[i:]
	}
}

// Lost is how long the sound broke off so far, since the device was kept waiting.
func (c *Clock) Lost() time.Duration { return c.lost }

// Song plays a score in place of what sounds already, and returns its clock. A score that
// cannot be rendered, and one that nobody hears, goes by the time.
func (s *Sound) Song(sc synth.Score, now func() time.Time) *Clock {
	if !s.Heard() {
		return NewClock(now, nil)
	}
	cue, err := synth.Render(sc, synth.Options{Tone: s.tone})
	if err != nil || s.speaker.Play(cue) != nil {
		return NewClock(now, nil)
	}
	return NewClock(now, s.speaker.Heard)
}

// Exchange goes on with another score of the same times, which is heard in a moment.
func (s *Sound) Exchange(sc synth.Score) {
	if !s.Heard() {
		return
	}
	// A score that cannot be rendered is left out: what sounds goes on.
	if cue, err := synth.Render(sc, synth.Options{Tone: s.tone}); err == nil {
		s.speaker.Exchange(cue)
	}
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
