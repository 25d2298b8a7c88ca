package synth

import (
	"fmt"
	"math"
	"time"
)

// A Cue is one sound rendered whole: what a speaker plays and a file keeps.
type Cue struct {
	Samples []float32 // mono, full scale 1
	Rate    int       // samples a second
	Loop    bool      // the end joins the beginning without a seam, to be repeated
}

// Duration is the time that the cue takes once.
func (c Cue) Duration() time.Duration {
	if c.Rate == 0 {
		return 0
	}
	return time.Duration(float64(len(c.Samples)) / float64(c.Rate) * float64(time.Second))
}

// Options of a rendering. The zero value is the usual one.
type Options struct {
	Rate int  // samples a second, 44100 or 48000; 0 means 48000
	Tone Tone // colour of all strings: that of an event's own Pluck is not asked
}

// Where every cue is put.
const (
	cueLoudness = -23.0 // LUFS, see loudness
	cuePeak     = -6.0  // dBFS, never exceeded
	defaultRate = 48000
)

// longestCue bounds the memory of a rendering.
const longestCue = 15 * time.Minute

// Render plays the whole score into one buffer, so that every onset is exact to
// the nearest sample, and brings it to -23 LUFS by one gain. A cue that would
// then exceed -6 dBFS, which only very short sounds do, is made softer as a
// whole: nothing limits or bends the wave. Rendering is deterministic to the
// bit. It fails on a rate, pitch, velocity or time out of range.
func Render(score Score, o Options) (Cue, error) {
	if o.Rate == 0 {
		o.Rate = defaultRate
	}
	if err := checkRate(o.Rate); err != nil {
		return Cue{}, err
	}
	for i, e := range score {
		if err := e.check(); err != nil {
			return Cue{}, fmt.Errorf("event %d of the score: %w", i+1, err)
		}
	}
	if d := score.length(); d > longestCue {
		return Cue{}, fmt.Errorf("a sound of %v is too long to render at once: keep it under %v", d.Round(time.Second), longestCue)
	}
	out := make([]float32, samples(score.length(), o.Rate))
	var str String
	for _, e := range score {
		from := min(samples(e.At, o.Rate), len(out))
		to := min(samples(e.end(), o.Rate), len(out))
		switch e.Sound {
		case Plucked:
			e.tone = o.Tone
			if err := str.strike(e.Pluck, o.Rate); err != nil {
				return Cue{}, err
			}
			str.Stream(out[from:to])
		case Click, Accent:
			click(out[from:], o.Rate, e.Sound == Accent)
		}
	}
	level(out, o.Rate)
	return Cue{Samples: out, Rate: o.Rate}, nil
}

// level brings a cue to its loudness, or to its peak if that comes first.
func level(out []float32, rate int) {
	var peak float32 // squared
	for _, v := range out {
		if v = v * v; v > peak {
			peak = v
		}
	}
	if peak == 0 {
		return
	}
	gain := math.Pow(10, (cueLoudness-loudness(out, rate))/20)
	// A hair under the ceiling, for the rounding of the product.
	gain = min(gain, math.Pow(10, cuePeak/20)*(1-1e-6)/math.Sqrt(float64(peak)))
	g := float32(gain)
	for i := range out {
		out[i] *= g
	}
}

// click mixes a metronome's tick into dst: 6 ms of a sine under a raised
// cosine, 1.5 kHz, or 2 kHz and stronger on an accent.
func click(dst []float32, rate int, accent bool) {
	hz, amp := 1500.0, 0.05
	if accent {
		hz, amp = 2000.0, 0.075
	}
	n := rate * 6 / 1000
	for i := range min(n, len(dst)) {
		window := 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/float64(n-1))
		dst[i] += float32(amp * window * math.Sin(2*math.Pi*hz*float64(i)/float64(rate)))
	}
}
