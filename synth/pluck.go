package synth

import "math"

// The scrape of the pick on the string.
const (
	scraping    = 1024 // samples
	scrapeLevel = 0.9  // of the string
	scrapeFall  = 3.5  // in that time, in nepers
)

// The knock of the pick on the body.
const (
	knockHz    = 143
	knockTime  = 0.5  // seconds to fall by 60 dB
	knockLevel = 0.05 // of the string
)

const (
	stringLevel = 0.05 // K-weighted RMS of a full pluck, before a cue is levelled
	lead        = 256  // samples in which the pickup's filter settles
	quiet       = 0.1  // of a period, before the wave first comes to the pickup
)

// excite fills the loops with what a pickup sees of a plucked ideal string, whose
// partials k are sin(k pi pick) sin(k pi pickup) / k. In time that is one pulse
// up and one down a period, odd about its start, so it begins at 0 and has no
// mean. A lowpass, whose step response has a closed form, makes its edges smooth: nothing
// aliases. The pickup's resonance is put in here as well, which commutes with the
// loops (Karjalainen, Valimaki and Tolonen).
func (s *String) excite(p Pluck) {
	v, rate := tones[p.tone].voiced(p.Hz), float64(s.rate)
	laws := p.laws()
	for i := range s.loops {
		s.loops[i] = design(laws[i], rate)
	}
	end := max(s.loops[0].delay, s.loops[1].delay) + taps

	soft := max(wireAt(p.Hz).soft*math.Pow(4, p.Velocity-1), 1.5*p.Hz)
	if p.Muted {
		soft = max(soft/3, 1.5*p.Hz)
	}
	pickup := resonator(v.resonance, v.peak, rate)
	level := stringLevel * math.Pow(10, (p.Velocity-1)*18/20)
	low := lowpassOf(soft, rate)
	height := level / s.loudness(p.Hz, v, low, &pickup)

	start := s.bufs[0][:lead+end]
	clear(start)
	period := rate / p.Hz
	near, far := (v.pick-v.pickup)*period/2, (v.pick+v.pickup)*period/2
	reach := settled/low[0] + far
	zero := float64(lead) - pickup.lag() + min(far+quiet*period, period/2)
	for n := math.Floor(-(zero + reach) / period); zero+n*period-reach < float64(len(start)); n++ {
		at := zero + n*period
		low.pulse(start, at+near, at+far, height)
		low.pulse(start, at-far, at-near, -height)
	}
	s.scraped, s.body = scraping, knock{}
	if !p.Perfect {
		s.scratch(level*scrapeLevel, pickup)
		s.body.strike(level*knockLevel, rate)
	}
	pickup.filter(start)
	copy(start, start[lead:])

	// Partials die away within the loop as they will on every later trip, so
	// that no seam is heard where it closes.
	start = start[:end]
	share := [2]float64{1 - second, second}
	for i := len(s.loops) - 1; i >= 0; i-- {
		shrink, level := math.Exp(-math.Log(1000)/laws[i].decay/rate), share[i]
		for j, v := range start {
			s.bufs[i][j] = float32(level * (float64(v) + 1e-15)) // not 0: numbers that creep up from there are slow
			level *= shrink
		}
		s.bufs[i][0] = 0
	}
	s.hear(0, end)
}

// scratch makes the noise of the pick: as loud as level, up and down within
// scraping samples, through the pickup. It is the same each time.
func (s *String) scratch(level float64, pickup biquad) {
	s.scraped = 0
	seed, last := uint32(1), 0.0
	for i := range s.scrape {
		seed = seed*1664525 + 1013904223 // Knuth and Lewis; Numerical Recipes
		white := float64(int32(seed)) / (1 << 31)
		x := float64(i) / scraping
		s.scrape[i] = float32(level * (white - 0.5*last) * math.Min(1, 10*x) * (1 - x) * (1 - x) * math.Exp(-scrapeFall*x))
		last = white
	}
	s.scrape[0] = 0
	pickup.filter(s.scrape[:])
}

// A knock is a tone that dies away at once: what the body makes of the pick.
type knock struct {
	last, before, turn, loss float64
	left                     int // samples
}

func (k *knock) strike(level, rate float64) {
	r := math.Exp(-math.Log(1000) / knockTime / rate)
	sin, cos := math.Sincos(2 * math.Pi * knockHz / rate)
	*k = knock{last: level * sin, turn: 2 * r * cos, loss: r * r, left: int(knockTime * rate)}
}

// add mixes the knock into dst.
func (k *knock) add(dst []float32) {
	dst = dst[:min(len(dst), k.left)]
	k.left -= len(dst)
	last, before := k.last, k.before
	for i := range dst {
		dst[i] += float32(before)
		last, before = k.turn*last-k.loss*before, last
	}
	k.last, k.before = last, before
}

// A lowpass is the product of 1/(1 + (f/p)^2) over its poles p, in
// radians a sample: the first is the pluck's own, the others keep what lies above
// half the rate from folding down.
type lowpass [3]float64

// lowpassOf is that of a pluck whose treble is soft, in hertz.
func lowpassOf(soft, rate float64) (s lowpass) {
	for i, hz := range [...]float64{soft, 11000, 14000} {
		s[i] = 2 * math.Pi * hz / rate
	}
	return s
}

// at is the gain at w radians a sample.
func (s lowpass) at(w float64) float64 {
	gain := 1.0
	for _, p := range s {
		gain /= 1 + w*w/(p*p)
	}
	return gain
}

// pulse adds height to dst from one time to another, in samples, with edges that
// the low-pass makes smooth.
func (s lowpass) pulse(dst []float32, from, to, height float64) {
	for i := sampleAt(from); i < min(sampleAt(to), len(dst)); i++ {
		dst[i] += float32(height)
	}
	for i, p := range s { // in partial fractions
		share := height
		for j, q := range s {
			if j != i {
				share *= q * q / (q*q - p*p)
			}
		}
		edge(dst, from, p, share)
		edge(dst, to, p, -share)
	}
}

// edge adds to a step of some height what makes it smooth by one pole: half of it
// times e^-|x|, more before the step and less after.
func edge(dst []float32, at, pole, height float64) {
	next := math.Exp(-pole)
	i := sampleAt(at)
	v := height / 2 * math.Exp((at-float64(i))*pole)
	for ; i < min(sampleAt(at+settled/pole), len(dst)); i++ {
		dst[i] -= float32(v)
		v *= next
	}
	i = min(sampleAt(at), len(dst)) - 1
	v = height / 2 * math.Exp((float64(i)-at)*pole)
	for ; i >= sampleAt(at-settled/pole); i-- {
		dst[i] += float32(v)
		v *= next
	}
}

// settled is where an edge is within 1e-8 of its end, in radians.
const settled = 18

// sampleAt is the first sample at a time or after it.
func sampleAt(at float64) int { return max(0, int(math.Ceil(at))) }

// resonator is a low-pass that resonates (Bristow-Johnson, Cookbook formulae for
// audio equalizer biquad filter coefficients).
func resonator(hz, peak, rate float64) biquad {
	sin, cos := math.Sincos(2 * math.Pi * hz / rate)
	alpha := sin / 2 / peak
	a0 := 1 + alpha
	b := (1 - cos) / a0
	return biquad{b0: b / 2, b1: b, b2: b / 2, a1: -2 * cos / a0, a2: (1 - alpha) / a0}
}

// lag is the delay of low tones, in samples.
func (q *biquad) lag() float64 {
	return (q.b1+2*q.b2)/(q.b0+q.b1+q.b2) - (q.a1+2*q.a2)/(1+q.a1+q.a2)
}

// filter runs over x, in sequence with earlier calls.
func (q *biquad) filter(x []float32) {
	for i, v := range x {
		in := float64(v)
		y := q.b0*in + q.s1
		q.s1 = q.b1*in + q.s2 - q.a1*y
		q.s2 = q.b2*in - q.a2*y
		x[i] = float32(y)
	}
}

// loudness is the K-weighted RMS of the partials that excite gives the string.
func (s *String) loudness(hz float64, v voicing, soft lowpass, pickup *biquad) float64 {
	var power float64
	w0 := 2 * math.Pi * hz / float64(s.rate)
	for k := 1.0; k*w0 < math.Pi && k*w0 < 4*soft[0]; k++ {
		a := 4 / math.Pi * math.Sin(math.Pi*k*v.pick) * math.Sin(math.Pi*k*v.pickup) / k * soft.at(k*w0)
		c1 := math.Cos(k * w0)
		power += a * a / 2 * s.weighting.power(k*w0) * pickup.power(c1, 2*c1*c1-1)
	}
	return math.Sqrt(power)
}
