package sound

import (
	"testing"
	"time"
)

// A device that tells a step each time it took one, now and then late by up to 30 ms, and
// whose clock is fast or slow by 100 in a million, is followed within 20 ms for ten minutes.
func TestTheClockFollowsTheDevice(t *testing.T) {
	for _, period := range []time.Duration{21 * time.Millisecond, 80 * time.Millisecond} {
		for _, drift := range []float64{-100e-6, 0, 100e-6} {
			start := time.Date(2026, 11, 30, 20, 0, 0, 0, time.UTC)
			now, told := start, time.Duration(0)
			c := NewClock(func() time.Time { return now }, func() (time.Duration, bool) { return told, told > 0 })
			var worst time.Duration
			for i := range 60_000 { // a look each 10 ms
				now = start.Add(time.Duration(i) * 10 * time.Millisecond)
				heard := time.Duration(float64(now.Sub(start)) * (1 + drift))
				if i%7 != 0 && i%7 != 1 { // the device is kept waiting
					told = heard / period * period
				}
				if at := c.At(); now.Sub(start) > 10*period {
					worst = max(worst, at-heard, heard-at)
				}
			}
			if worst > 20*time.Millisecond || c.Lost() != 0 {
				t.Errorf("in steps of %v, with a drift of %g, the clock is off by %v, and %v were lost", period, drift, worst, c.Lost())
			}
		}
	}
}

// A device that is kept waiting for 120 ms falls silent for as long: half a second later
// the clock is right again, and knows how much was lost.
func TestTheClockKnowsOfAGap(t *testing.T) {
	const period, silent = 21 * time.Millisecond, 120 * time.Millisecond
	start := time.Date(2026, 11, 30, 20, 0, 0, 0, time.UTC)
	now, told := start, time.Duration(0)
	c := NewClock(func() time.Time { return now }, func() (time.Duration, bool) { return told, told > 0 })
	for i := range 1000 {
		now = start.Add(time.Duration(i) * 10 * time.Millisecond)
		heard := now.Sub(start)
		switch fell := 5 * time.Second; {
		case heard > fell+silent:
			heard -= silent
		case heard > fell:
			heard = fell
		}
		told = heard / period * period
		if at := c.At(); i > 560 && (at-heard).Abs() > 21*time.Millisecond {
			t.Fatalf("%v after the start the clock is off by %v", now.Sub(start), at-heard)
		}
	}
	if off := c.Lost() - silent; off.Abs() > period {
		t.Errorf("%v were lost, want %v", c.Lost(), silent)
	}
}

func TestWithoutADeviceTheClockIsTheTime(t *testing.T) {
	now := time.Date(2026, 11, 30, 20, 0, 0, 0, time.UTC)
	silent := NewClock(func() time.Time { return now }, nil)
	mute := NewClock(func() time.Time { return now }, func() (time.Duration, bool) { return 0, false })
	now = now.Add(time.Second)
	if mute.At() != 0 {
		t.Error("a sound that has not begun has come somewhere")
	}
	now = now.Add(2 * time.Second)
	if silent.At() != 3*time.Second || mute.At() != 3*time.Second {
		t.Errorf("after 3 s the clocks say %v and %v", silent.At(), mute.At())
	}
}
