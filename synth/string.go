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
	spectrum  []float64
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

// excite writes the first period: the velocity of a plucked ideal string at
// the pickup, as a sum of sines below half the sampling rate. It starts at 0,
// aliases nothing, has no mean and needs no random numbers.
func (s *String) excite(p Pluck) {
	n := s.delay + taps
	if len(s.buf) < n+block {
		s.buf = make([]float32, n+block)
	}
	s.pos, s.end = 0, n

	w0 := 2 * math.Pi * p.Hz / float64(s.rate)
	soft := 900 * math.Pow(4, p.Velocity) // brightness by dynamics, Hz
	soft = math.Max(soft, 1.5*p.Hz)
	s.spectrum = s.spectrum[:0]
	var most, power float64
	for k := 1.0; k*w0 < 0.9*math.Pi; k++ {
		f := k * p.Hz / soft
		a := math.Sin(math.Pi*k*p.Tone.Pick) * math.Sin(math.Pi*k*p.Tone.Pickup) / k / (1 + f*f*f*f)
		most = math.Max(most, math.Abs(a))
		if k > 8 && 1/k/(1+f*f*f*f) < 1e-4*most {
			break // the rest lies 80 dB under the strongest partial
		}
		s.spectrum = append(s.spectrum, a)
		power += a * a / 2 * s.weighting.power(k*w0)
	}
	s.gain = float32(stringLevel * math.Pow(10, (p.Velocity-1)*18/20) / math.Sqrt(power))

	// Partials die away within the first period as they will in every later
	// one, so that no seam is heard where the loop takes over.
	shrink := math.Exp(-math.Log(1000) / DecayTime(p.Hz) / float64(s.rate))
	level := 1.0
	for i := 0; i < n; i += 4 {
		four := sines(s.spectrum, w0, i)
		for j := 0; j < 4 && i+j < n; j++ {
			s.buf[i+j] = float32(level * four[j])
			level *= shrink
		}
	}
	s.buf[0] = 0
}

// sines sums a[k-1] sin(k w n) over k for the four samples n = first..first+3,
// by Clenshaw's recurrence: four at once, since each alone would wait for its
// own last step.
func sines(a []float64, w float64, first int) [4]float64 {
	sin0, cos0 := math.Sincos(w * float64(first))
	sin1, cos1 := math.Sincos(w * float64(first+1))
	sin2, cos2 := math.Sincos(w * float64(first+2))
	sin3, cos3 := math.Sincos(w * float64(first+3))
	c0, c1, c2, c3 := 2*cos0, 2*cos1, 2*cos2, 2*cos3
	var p0, p1, p2, p3, q0, q1, q2, q3 float64
	for k := len(a) - 1; k >= 0; k-- {
		v := a[k]
		p0, q0 = c0*p0+(v-q0), p0
		p1, q1 = c1*p1+(v-q1), p1
		p2, q2 = c2*p2+(v-q2), p2
		p3, q3 = c3*p3+(v-q3), p3
	}
	return [4]float64{p0 * sin0, p1 * sin1, p2 * sin2, p3 * sin3}
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

// advance computes the next block. Four samples at a time share their loads;
// the explicit conversions keep a compiler from fusing products and sums, so
// that every machine renders the same bits.
func (s *String) advance() {
	keep := s.delay + taps
	copy(s.buf[:keep], s.buf[s.end-keep:s.end])
	buf := s.buf[:keep+block]
	h0, h1, h2, h3, h4, h5, h6, h7 := s.h[0], s.h[1], s.h[2], s.h[3], s.h[4], s.h[5], s.h[6], s.h[7]
	for n := keep; n < len(buf); n += 4 {
		x := (*[taps + 3]float32)(buf[n-keep+1:])
		y := (*[4]float32)(buf[n:])
		y0 := float32(float32(h0*x[7])+float32(h1*x[6])) + float32(float32(h2*x[5])+float32(h3*x[4]))
		y0 += float32(float32(h4*x[3])+float32(h5*x[2])) + float32(float32(h6*x[1])+float32(h7*x[0]))
		y1 := float32(float32(h0*x[8])+float32(h1*x[7])) + float32(float32(h2*x[6])+float32(h3*x[5]))
		y1 += float32(float32(h4*x[4])+float32(h5*x[3])) + float32(float32(h6*x[2])+float32(h7*x[1]))
		y2 := float32(float32(h0*x[9])+float32(h1*x[8])) + float32(float32(h2*x[7])+float32(h3*x[6]))
		y2 += float32(float32(h4*x[5])+float32(h5*x[4])) + float32(float32(h6*x[3])+float32(h7*x[2]))
		y3 := float32(float32(h0*x[10])+float32(h1*x[9])) + float32(float32(h2*x[8])+float32(h3*x[7]))
		y3 += float32(float32(h4*x[6])+float32(h5*x[5])) + float32(float32(h6*x[4])+float32(h7*x[3]))
		y[0], y[1], y[2], y[3] = y0, y1, y2, y3
	}
	s.pos, s.end = keep, len(buf)
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
