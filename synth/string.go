package synth

import (
	"fmt"
	"math"
	"time"
)

// A Voice is a stream of samples, the synth's counterpart of an io.Reader.
//
// Stream adds at most len(dst) samples of the voice to dst, mixing them into
// what is there, and returns how many it added. It returns fewer than len(dst)
// only when the voice has ended, and 0 ever after; a voice that has ended
// never sounds again unless it is struck again. Stream does not keep dst,
// allocates nothing and never waits. Samples are mono, one float32 each, full
// scale 1. How a stream is cut into calls does not change a bit of it.
type Voice interface {
	Stream(dst []float32) int
}

// Lowest and highest pitch of a string, in hertz: below the B0 of a five-string
// bass, above the top fret of any guitar.
const (
	LowestHz  = 20
	HighestHz = 4500
)

// A Pluck says how a string is struck.
type Pluck struct {
	// Hz is the pitch, LowestHz to HighestHz.
	Hz float64
	// For is how long the note is held, its fade included; 0 lets it ring
	// until it has fallen by 100 dB.
	For time.Duration
	// Release is the length of the fade at the end; 0 means 60 ms. Never more
	// than half of For.
	Release time.Duration
	// Velocity is how hard, above 0 up to 1; 0 means 0.7. A harder pluck is
	// louder and brighter.
	Velocity float64
	// Tone is where the string is plucked and heard.
	Tone Tone
}

// A Tone is the colour of the string: places along it, as a fraction of its
// sounding length from the bridge, above 0 up to 0.5. Zero means the default.
type Tone struct {
	Pick   float64 // 0 means 0.13: near the bridge is thin, the middle round
	Pickup float64 // 0 means 0.11
}

const (
	defaultRelease  = 60 * time.Millisecond
	defaultVelocity = 0.7
	defaultPick     = 0.13
	defaultPickup   = 0.11
	stringLevel     = 0.05 // K-weighted RMS of a full pluck, before a cue is levelled
	block           = 1024 // samples computed at a time: they stay in the nearest cache
)

// A String is a plucked string: an extended Karplus-Strong loop (Karplus and
// Strong 1983; Jaffe and Smith 1983; Smith, Physical Audio Signal Processing).
// It is a Voice. Strike it before streaming; a String may be struck again and
// then allocates nothing, save for a lower pitch than it ever had.
type String struct {
	loop
	gain      float32
	buf       []float32 // history, then the block being heard
	pos, end  int       // what of buf is still to be heard
	left      int       // samples until the end
	release   int       // length of the fade, samples
	weighting *weighting
	rate      int
}

// Strike plucks the string anew at rate samples a second (44100 or 48000),
// silencing what rang. It fails on a pitch, velocity, tone or rate out of range.
func (s *String) Strike(p Pluck, rate int) error {
	if err := checkRate(rate); err != nil {
		return err
	}
	if err := p.check(); err != nil {
		return err
	}
	if s.weighting == nil || s.rate != rate {
		s.rate, s.weighting = rate, newWeighting(rate)
	}
	if p.Velocity == 0 {
		p.Velocity = defaultVelocity
	}
	if p.Tone.Pick == 0 {
		p.Tone.Pick = defaultPick
	}
	if p.Tone.Pickup == 0 {
		p.Tone.Pickup = defaultPickup
	}
	decay := DecayTime(p.Hz)
	s.loop = design(p.Hz, float64(rate), decay, trebleTime(p.Hz))

	// Denormal numbers slow the loop threefold: at -100 dB it is over.
	s.left = int(decay * 100 / 60 * float64(rate))
	if p.For > 0 {
		s.left = min(s.left, samples(p.For, rate))
	}
	if p.Release == 0 {
		p.Release = defaultRelease
	}
	s.release = min(samples(p.Release, rate), s.left/2)

	s.excite(p)
	return nil
}

func (p Pluck) check() error {
	switch {
	case !(p.Hz >= LowestHz && p.Hz <= HighestHz):
		return fmt.Errorf("a string cannot sound %g Hz: give a pitch from %d to %d Hz", p.Hz, LowestHz, HighestHz)
	case p.For < 0 || p.Release < 0:
		return fmt.Errorf("a note cannot last %v with a fade of %v: give times of 0 or more", p.For, p.Release)
	case !(p.Velocity >= 0 && p.Velocity <= 1):
		return fmt.Errorf("velocity %g is out of range: give 0 to 1", p.Velocity)
	case !(p.Tone.Pick >= 0 && p.Tone.Pick <= 0.5) || !(p.Tone.Pickup >= 0 && p.Tone.Pickup <= 0.5):
		return fmt.Errorf("tone %+v is out of range: give places along the string from 0 to 0.5", p.Tone)
	}
	return nil
}

// excite writes the first period: what a pickup sees of a plucked ideal string,
// whose partials k are sin(k pi pick) sin(k pi pickup) / k. In time that is one
// pulse up and one down, odd about the start, so it begins at 0 and has no mean.
// Its edges are smoothed by a low-pass of 1/(1 + (f/soft)^4), which has a step
// response in closed form: nothing aliases and no random numbers are needed.
func (s *String) excite(p Pluck) {
	n := s.delay + taps
	if len(s.buf) < n+block {
		s.buf = make([]float32, n+block)
	}
	s.pos, s.end = 0, n

	soft := math.Max(900*math.Pow(4, p.Velocity), 1.5*p.Hz) // brightness by dynamics, Hz
	w0 := 2 * math.Pi * p.Hz / float64(s.rate)
	s.gain = float32(stringLevel * math.Pow(10, (p.Velocity-1)*18/20) / s.loudness(p, soft, w0))

	// Phases and edges in the units of smooth.
	scale := soft / p.Hz / math.Sqrt2 // per radian
	period, near, far := 2*math.Pi*scale, math.Pi*(p.Tone.Pick-p.Tone.Pickup)*scale, math.Pi*(p.Tone.Pick+p.Tone.Pickup)*scale
	images := math.Ceil(settled / period)

	// Partials die away within the first period as they will in every later
	// one, so that no seam is heard where the loop takes over.
	shrink := math.Exp(-math.Log(1000) / DecayTime(p.Hz) / float64(s.rate))
	level := 1.0
	for i := range s.buf[:n] {
		y := 1e-15 // not 0 between the pulses: numbers that creep up from 0 are slow
		for m := -images; m <= images; m++ {
			x := float64(i)*w0*scale - m*period
			y += smooth(x-near) - smooth(x-far) + smooth(x+near) - smooth(x+far)
		}
		s.buf[i] = float32(level * y)
		level *= shrink
	}
	s.buf[0] = 0
}

// loudness is the K-weighted RMS of the partials that excite gives the string.
func (s *String) loudness(p Pluck, soft, w0 float64) float64 {
	var power float64
	for k := 1.0; k*w0 < math.Pi && k*p.Hz < 4*soft; k++ {
		f := k * p.Hz / soft
		a := 4 / math.Pi * math.Sin(math.Pi*k*p.Tone.Pick) * math.Sin(math.Pi*k*p.Tone.Pickup) / k / (1 + f*f*f*f)
		power += a * a / 2 * s.weighting.power(k*w0)
	}
	return math.Sqrt(power)
}

// smooth is a step from 0 to 1 at x = 0 behind the low-pass of excite, which
// passes 2 pi soft radians a unit of sqrt 2.
func smooth(x float64) float64 {
	switch {
	case x > settled:
		return 1
	case x < -settled:
		return 0
	case x < 0:
		return 0.5 * math.Exp(x) * math.Cos(x)
	}
	return 1 - 0.5*math.Exp(-x)*math.Cos(x)
}

// settled is where smooth is within 1e-8 of its end.
const settled = 18

// Stream implements Voice.
func (s *String) Stream(dst []float32) int {
	n := 0
	for n < len(dst) && s.left > 0 {
		if s.pos == s.end {
			s.advance()
		}
		run := min(s.end-s.pos, len(dst)-n, s.left)
		if s.left > s.release {
			run = min(run, s.left-s.release)
			add(dst[n:n+run], s.buf[s.pos:s.pos+run], s.gain)
		} else {
			s.fade(dst[n:n+run], s.buf[s.pos:s.pos+run])
		}
		s.pos += run
		s.left -= run
		n += run
	}
	return n
}

// add mixes gain times src into dst, which are of one length.
func add(dst, src []float32, gain float32) {
	for i, v := range src[:len(dst)] {
		dst[i] += float32(gain * v)
	}
}

// fade mixes the end of the note under a raised cosine that reaches 0 at the
// very last sample.
func (s *String) fade(dst, src []float32) {
	step := math.Pi / float64(max(s.release-1, 1))
	sin, cos := math.Sincos(step * float64(s.release-s.left))
	dsin, dcos := math.Sincos(step)
	for i, v := range src {
		if s.left-i == 1 {
			return
		}
		dst[i] += s.gain * v * float32(0.5+0.5*cos)
		sin, cos = sin*dcos+cos*dsin, cos*dcos-sin*dsin
	}
}

// advance computes the next block.
func (s *String) advance() {
	keep := s.delay + taps
	copy(s.buf[:keep], s.buf[s.end-keep:s.end])
	filter(s.buf[:keep+block], keep, &s.h, s.delay)
	s.pos, s.end = keep, keep+block
}

// filterPlain runs the loop over buf[from:], a multiple of four samples, from
// the delay+taps-1 samples or more that stand before. The explicit conversions
// keep a compiler from fusing products with sums, so that every machine renders
// the same bits.
func filterPlain(buf []float32, from int, h *[taps]float32, delay int) {
	for n := from; n < len(buf); n++ {
		x := (*[taps]float32)(buf[n-delay-taps+1:])
		a := float32(float32(h[11]*x[0])+float32(h[10]*x[1])) + float32(float32(h[9]*x[2])+float32(h[8]*x[3]))
		b := float32(float32(h[7]*x[4])+float32(h[6]*x[5])) + float32(float32(h[5]*x[6])+float32(h[4]*x[7]))
		c := float32(float32(h[3]*x[8])+float32(h[2]*x[9])) + float32(float32(h[1]*x[10])+float32(h[0]*x[11]))
		buf[n] = float32(a+b) + c
	}
}

// samples turns a time into the nearest number of samples.
func samples(d time.Duration, rate int) int {
	return int(math.Round(d.Seconds() * float64(rate)))
}

func checkRate(rate int) error {
	if rate != 44100 && rate != 48000 {
		return fmt.Errorf("cannot render at %d samples a second: choose 44100 or 48000", rate)
	}
	return nil
}
