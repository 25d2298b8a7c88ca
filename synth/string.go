package synth

import (
	"fmt"
	"math"
	"math/cmplx"
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
	longest         = 48000/LowestHz + taps
)

// A String is a plucked string: an extended Karplus-Strong loop (Karplus and
// Strong 1983; Jaffe and Smith 1983; Smith, Physical Audio Signal Processing).
// It is a Voice. Strike it before streaming; a String may be struck again.
type String struct {
	loop
	buf       [longest + block]float32 // history, then the block being heard
	pos, end  int                      // what of buf is still to be heard
	left      int                      // samples until the end
	release   int                      // length of the fade, samples
	weighting weighting
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
	if s.rate != rate {
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

// excite fills the loop with what a pickup sees of a plucked ideal string, whose
// partials k are sin(k pi pick) sin(k pi pickup) / k. In time that is one pulse
// up and one down a period, odd about its start, so it begins at 0 and has no
// mean. Its edges are smoothed by a low-pass of 1/(1 + (f/soft)^4), whose step
// response has a closed form: nothing aliases and no random numbers are needed.
func (s *String) excite(p Pluck) {
	s.pos, s.end = 0, s.delay+taps
	start := s.buf[:s.end]
	clear(start)

	soft := math.Max(900*math.Pow(4, p.Velocity), 1.5*p.Hz) // brightness by dynamics, Hz
	turn := math.Sqrt2 * math.Pi * soft / float64(s.rate)   // of the edges, radians a sample
	reach := settled / turn
	period := float64(s.rate) / p.Hz
	near, far := (p.Tone.Pick-p.Tone.Pickup)*period/2, (p.Tone.Pick+p.Tone.Pickup)*period/2
	height := stringLevel * math.Pow(10, (p.Velocity-1)*18/20) / s.loudness(p, soft, 2*math.Pi/period)
	for at := -period * math.Ceil((reach+far)/period); at < float64(len(start))+reach+far; at += period {
		pulse(start, at+near, at+far, turn, height)
		pulse(start, at-far, at-near, turn, -height)
	}

	// Partials die away within the loop as they will on every later trip, so
	// that no seam is heard where it closes.
	shrink := math.Exp(-math.Log(1000) / DecayTime(p.Hz) / float64(s.rate))
	level := 1.0
	for i, v := range start {
		start[i] = float32(level * (float64(v) + 1e-15)) // not 0: numbers that creep up from there are slow
		level *= shrink
	}
	start[0] = 0
}

// pulse adds height to dst from one time to another, in samples, with smooth
// edges that turn by some radians a sample.
func pulse(dst []float32, from, to, turn, height float64) {
	for i := sampleAt(from); i < min(sampleAt(to), len(dst)); i++ {
		dst[i] += float32(height)
	}
	edge(dst, from, turn, height)
	edge(dst, to, turn, -height)
}

// edge adds to a step of some height what makes it smooth: half of it times
// e^-|x| cos x, more before the step and less after.
func edge(dst []float32, at, turn, height float64) {
	next := cmplx.Exp(complex(-turn, -turn))
	ring := func(x float64) complex128 { return complex(height/2, 0) * cmplx.Exp(complex(-x*turn, -x*turn)) }
	i := sampleAt(at)
	v := ring(float64(i) - at)
	for ; i < min(sampleAt(at+settled/turn), len(dst)); i++ {
		dst[i] -= float32(real(v))
		v *= next
	}
	i = min(sampleAt(at), len(dst)) - 1
	v = ring(at - float64(i))
	for ; i >= sampleAt(at-settled/turn); i-- {
		dst[i] += float32(real(v))
		v *= next
	}
}

// settled is where an edge is within 1e-8 of its end, in radians.
const settled = 18

// sampleAt is the first sample at a time or after it.
func sampleAt(at float64) int { return max(0, int(math.Ceil(at))) }

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
			add(dst[n:n+run], s.buf[s.pos:s.pos+run])
		} else {
			s.fade(dst[n:n+run], s.buf[s.pos:s.pos+run])
		}
		s.pos += run
		s.left -= run
		n += run
	}
	return n
}

// add mixes src into dst, which are of one length.
func add(dst, src []float32) {
	for i, v := range src[:len(dst)] {
		dst[i] += v
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
		dst[i] += v * float32(0.5+0.5*cos)
		sin, cos = sin*dcos+cos*dsin, cos*dcos-sin*dsin
	}
}

// advance computes the next block.
func (s *String) advance() {
	keep := s.delay + taps
	copy(s.buf[:keep], s.buf[s.end-keep:s.end])
	filter(s.buf[:keep+block], keep, s.loop)
	s.pos, s.end = keep, keep+block
}

// filter runs the loop over buf[from:], a multiple of four samples, from the
// delay+taps-1 samples or more that stand before. The two outermost taps are
// opposites; four samples a round keep what they share in registers.
func filter(buf []float32, from int, l loop) {
	dst := buf[from:]
	src := buf[from-l.delay-taps+1:][:len(dst)+taps-1]
	h0, h1, h2, h3 := l.h[0], l.h[1], l.h[2], l.h[3]
	a, b, c, d := src[0], src[1], src[2], src[3]
	for i := 0; i+4 <= len(dst); i += 4 {
		x, y := (*[4]float32)(src[i+4:]), (*[4]float32)(dst[i:])
		e, f, g, h := x[0], x[1], x[2], x[3]
		y[0] = (h0*(e-a) + h3*b) + (h2*c + h1*d)
		y[1] = (h0*(f-b) + h3*c) + (h2*d + h1*e)
		y[2] = (h0*(g-c) + h3*d) + (h2*e + h1*f)
		y[3] = (h0*(h-d) + h3*e) + (h2*f + h1*g)
		a, b, c, d = e, f, g, h
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
