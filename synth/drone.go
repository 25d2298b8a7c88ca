package synth

import (
	"fmt"
	"math"
	"time"
)

// Drone is a steady chord of the given pitches to practise over, as a loop of
// four to eight seconds. Every pitch fits the loop a whole number of times, so
// that it repeats without a seam; the length is chosen so that one or two
// pitches are bent by less than 0.01 cents for it. It fails on a rate or pitch
// out of range, or without a pitch.
func Drone(o Options, hz ...float64) (Cue, error) {
	if o.Rate == 0 {
		o.Rate = defaultRate
	}
	if err := checkRate(o.Rate); err != nil {
		return Cue{}, err
	}
	if len(hz) == 0 {
		return Cue{}, fmt.Errorf("a drone needs at least one pitch")
	}
	for _, f := range hz {
		if err := (Pluck{Hz: f}).check(); err != nil {
			return Cue{}, err
		}
	}
	n := seamless(hz, float64(o.Rate))
	sum := make([]float64, n)
	for _, f := range hz {
		cycles := math.Round(f * float64(n) / float64(o.Rate))
		reed(sum, 2*math.Pi*cycles/float64(n), f)
	}
	out := make([]float32, n)
	for i, v := range sum {
		out[i] = float32(v)
	}
	level(out, o.Rate)
	return Cue{Samples: out, Rate: o.Rate, Loop: true}, nil
}

// seamless is the loop length, in samples, that all pitches fit best.
func seamless(hz []float64, rate float64) int {
	best, least := 0, math.Inf(1)
	for n := int(4 * rate); n < int(8*rate); n++ {
		var worst float64
		for _, f := range hz {
			cycles := f * float64(n) / rate
			worst = math.Max(worst, math.Abs(cycles-math.Round(cycles))/cycles)
		}
		if worst < least {
			best, least = n, worst
		}
	}
	return best
}

// reed adds a steady tone of w radians a sample, hz hertz, to sum. All of its
// partials begin at 0, and so does it.
func reed(sum []float64, w, hz float64) {
	for k := 1.0; k <= 16 && k*w < 0.8*math.Pi; k++ {
		soft := k * hz / 1500
		amp := 1 / k / (1 + soft*soft)
		twice := 2 * math.Cos(k*w)
		a, b := -amp*math.Sin(k*w), -amp*math.Sin(2*k*w)
		for i := range sum {
			a, b = twice*a-b, a
			sum[i] += a
		}
	}
}

// Unroll is the loop c repeated until d has passed, rising and falling over
// 200 ms at its ends, to be kept in a file. A cue that is no loop is returned
// as it is.
func (c Cue) Unroll(d time.Duration) Cue {
	if !c.Loop || len(c.Samples) == 0 {
		return c
	}
	out := make([]float32, max(samples(min(d, longestCue), c.Rate), 0))
	for i := range out {
		out[i] = c.Samples[i%len(c.Samples)]
	}
	slope := min(c.Rate/5, len(out)/2)
	for i := range slope {
		g := float32(i) / float32(slope)
		out[i] *= g
		out[len(out)-1-i] *= g
	}
	return Cue{Samples: out, Rate: c.Rate}
}

// Round makes a loop of a cue that ends when d has passed; what still rings then is
// heard again at its beginning. It changes the samples of c.
func (c Cue) Round(d time.Duration) Cue {
	n := min(int(d.Seconds()*float64(c.Rate)+0.5), len(c.Samples))
	for i, v := range c.Samples[n:] {
		c.Samples[i%n] += v
	}
	return Cue{Samples: c.Samples[:n:n], Rate: c.Rate, Loop: true}
}
