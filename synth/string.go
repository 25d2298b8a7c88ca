package synth

import (
	"fmt"
	"math"
	"time"
)

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
	// Muted is with the palm on the string: dull, and over in half a second.
	Muted bool
	// Perfect is a string as no guitar has one, to tune by: of no stiffness and
	// moving in one direction only, so that its partials are exact multiples.
	Perfect bool
	// Tone is the colour. In a [Score] it is that of the [Options].
	tone Tone
}

const (
	defaultRelease  = 60 * time.Millisecond
	defaultVelocity = 0.7
	block           = 1024 // samples computed at a time: they stay in the nearest cache
	longest         = 48000/LowestHz + taps
)

// A String is a plucked string of a clean electric guitar or bass: an extended
// Karplus-Strong loop for each of two polarisations, filled with what a pickup
// sees of the pluck (Jaffe and Smith 1983; Karjalainen, Valimaki and Tolonen 1998;
// Lindroos, Penttinen and Valimaki 2011). Strike it before
// streaming; a String may be struck again.
type String struct {
	loops     [2]loop
	bufs      [2][longest + block]float32 // history, then a block
	heard     [longest + block]float32    // what of it is heard, and the noises of the pick
	pos, end  int                         // what of heard is still to come
	scrape    [scraping]float32           // the pick on the string, heard once
	scraped   int                         // how much of it was
	body      knock
	left      int // samples until the end
	release   int // length of the fade, samples
	weighting weighting
	rate      int
}

// strike plucks the string anew at rate samples a second (44100 or 48000),
// silencing what rang. It fails on a pitch, time, velocity, tone or rate out of range.
func (s *String) strike(p Pluck, rate int) error {
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
	// Denormal numbers slow the loop threefold: at -100 dB it is over.
	s.left = samples(p.ring(), rate)
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
	case p.tone < 0 || int(p.tone) >= len(tones):
		return fmt.Errorf("there is no tone %d: give Natural, Warm or Bright", p.tone)
	}
	return nil
}

// Stream adds at most len(dst) samples to dst, mixing them into what is there, and
// returns how many it added. It returns fewer than len(dst) only when the string has
// faded, and 0 ever after, unless it is struck again. Stream does not keep dst,
// allocates nothing and never waits. Samples are mono, one float32 each, full
// scale 1. How a stream is cut into calls does not change a bit of it.
func (s *String) Stream(dst []float32) int {
	n := 0
	for n < len(dst) && s.left > 0 {
		if s.pos == s.end {
			s.advance()
		}
		run := min(s.end-s.pos, len(dst)-n, s.left)
		if s.left > s.release {
			run = min(run, s.left-s.release)
			add(dst[n:n+run], s.heard[s.pos:s.pos+run])
		} else {
			s.fade(dst[n:n+run], s.heard[s.pos:s.pos+run])
		}
		s.pos += run
		s.left -= run
		n += run
	}
	return n
}

// add mixes src into dst as far as both go, and returns how far.
func add(dst, src []float32) int {
	n := min(len(dst), len(src))
	dst = dst[:n]
	for i, v := range src[:n] {
		dst[i] += v
	}
	return n
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
	keep := max(s.loops[0].delay, s.loops[1].delay) + taps
	for i := range s.loops {
		buf := s.bufs[i][:keep+block]
		copy(buf[:keep], s.bufs[i][s.end-keep:s.end])
		s.loops[i].run(buf, keep)
	}
	s.hear(keep, keep+block)
}

// hear brings both polarisations together, from one place in the bufs to another,
// with the noises of the pick.
func (s *String) hear(from, to int) {
	s.pos, s.end = from, to
	out, a, b := s.heard[from:to], s.bufs[0][from:to], s.bufs[1][from:to]
	for i := range out {
		out[i] = a[i] + b[i]
	}
	s.scraped += add(out, s.scrape[s.scraped:])
	s.body.add(out)
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
