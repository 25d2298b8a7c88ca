package practice

import "time"

// A clock counts the time of a sitting that was practised.
type clock struct {
	started time.Time
	paused  time.Duration // taken out of the sitting
	opened  time.Time     // when the open question was asked, zero where none is
	before  time.Duration // what was paused by then
	ticked  time.Time     // the last tick, zero before the first
	stopped bool          // the program was stopped while the question was open

	halted func() bool // reports whether the program was stopped since the last call; nil is not known
}

// Ticking is how often the front ends call [Sitting.Tick]. A program that was
// stopped, by ctrl-z, a signal or a lid that was shut, shows by a gap of several, where
// the system does not tell of it.
const Ticking = 500 * time.Millisecond

// gap is the time between two ticks from which the program was stopped between
// them, and not only kept waiting by a busy machine.
const gap = 4 * Ticking

// Tick tells that the program runs. Time in which it was stopped is none of the
// sitting's, and an answer over which it was is not timed.
func (c *clock) Tick(now time.Time) {
	c.look(now)
	c.ticked = now
}

// look counts the time since the last tick as stopped where it is a gap, or where the
// program was stopped in it for however short. Before the first tick there is no gap.
func (c *clock) look(now time.Time) {
	if c.halted != nil && c.halted() {
		since := c.ticked
		if since.Before(c.opened) {
			since = c.opened
		}
		if !since.IsZero() {
			c.paused += now.Sub(since)
		}
		c.stopped = true
	} else if !c.ticked.IsZero() && now.Sub(c.ticked) >= gap {
		c.paused += now.Sub(c.ticked)
		c.stopped = true
	}
	if !c.ticked.IsZero() {
		c.ticked = now
	}
}

// spent is the time of the sitting that was practised.
func (c *clock) spent(now time.Time) time.Duration {
	return now.Sub(c.started) - c.paused - c.away(now)
}

// away is how much longer than Away the open question has waited, pauses left out.
func (c *clock) away(now time.Time) time.Duration {
	if c.opened.IsZero() {
		return 0
	}
	return max(0, now.Sub(c.opened)-(c.paused-c.before)-Away)
}

// start starts the clock of a question.
func (c *clock) start(now time.Time) { c.opened, c.before, c.stopped = now, c.paused, false }

// shut gives back the time away on the open question, answered or set aside.
func (c *clock) shut(now time.Time) {
	c.paused += c.away(now)
	c.opened = time.Time{}
}

// Pause takes d out of the sitting: the player was away, or had paused.
func (c *clock) Pause(d time.Duration) { c.paused += d }
