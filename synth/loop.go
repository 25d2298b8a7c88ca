package synth

import (
	"math"
	"math/cmplx"
)

const (
	shape = 5         // taps that place pitch and loss
	taps  = shape + 4 // and those of the stiffness
)

// A loop is one polarisation of the string:
//
//	y[n] = sum over j < taps of h[j] * y[n-delay-j] + h[taps] * y[n-4]
//
// A delay line holds a whole number of samples and a period does not. Instead
// of a long interpolating filter the loop has several periods in it, as many as
// come near enough a whole number for a few taps to place the rest.
type loop struct {
	delay int
	h     [taps + 1]float32
}

// A law is what a string does: the pitch of its first partial in hertz, the time
// in seconds in which that falls by 60 dB, that for partials near 4 kHz, and
// the stiffness B by which partial k is sharp: sqrt(1 + B k^2), relatively
// (Fletcher and Rossing, The Physics of Musical Instruments, chapter 2).
type law struct{ hz, decay, treble, stiff float64 }

// design solves the loop for a law at rate samples a second.
//
// The textbook formula tunes the phase delay on the unit circle. Here the pole
// of the first partial itself, z0 = r0 e^(j w0), is made an exact root of the
// loop's equation, so that pitch and decay are both right at once.
func design(s law, rate float64) loop {
	w0 := 2 * math.Pi * s.hz / rate
	length, rest, stiff := s.trip(rate / s.hz)
	fade := math.Log(1000) / rate // per sample, for a T60 of one second
	pole := cmplx.Rect(math.Exp(-fade/s.decay), w0)
	around := cmplx.Exp(complex(length, 0)*cmplx.Log(pole)) / stiff.at(pole)

	// Between the first partial and 4 kHz the others fall into place. High
	// strings have their second partial above that: there the anchor moves up
	// with them. Not all losses can be had: the line through both would make what
	// lies at half the rate grow, or what lies at 0.
	w1 := 2 * math.Pi * math.Max(4000, 2.5*s.hz) / rate
	most := cmplx.Abs(around)
	steepest := min((most+0.9)/2, 0.9*(1-most)/(1-math.Cos(w0)))
	least := most - steepest*(math.Cos(w0)-math.Cos(w1))
	gain := math.Max(math.Exp(-fade/s.treble*length), least/math.Cos(rest*w1))

	// The filter at z is centre + even (z + 1/z)/2 + odd (z - 1/z)/2 + tilt (z^2 - 1/z^2)/2.
	// It must be gain e^(j rest w1) at the anchor, which leaves two unknowns, even
	// and tilt, for the real and the imaginary part of filter(pole) = around.
	re, im := gain*math.Cos(rest*w1), gain*math.Sin(rest*w1)/math.Sin(w1)
	sine := (pole - 1/pole) / 2
	byEven := (pole+1/pole)/2 - complex(math.Cos(w1), 0)
	byTilt := (pole*pole-1/(pole*pole))/2 - complex(2*math.Cos(w1), 0)*sine
	want := around - complex(re, 0) - complex(im, 0)*sine
	even := cross(want, byTilt) / cross(byEven, byTilt)
	tilt := cross(byEven, want) / cross(byEven, byTilt)
	centre, odd := re-even*math.Cos(w1), im-2*tilt*math.Cos(w1)

	l := loop{delay: int(length) - shape/2}
	return stiff.join(l, [shape]float64{tilt / 2, (even + odd) / 2, centre, (even - odd) / 2, -tilt / 2})
}

// cross is the area between two vectors in the complex plane.
func cross(a, b complex128) float64 { return real(a)*imag(b) - imag(a)*real(b) }

// trip is the length of the loop in samples, a whole number, by how much it
// is longer than the periods in it less the delay of the stiffness, and that
// stiffness. The rest is at most 0.03 %, or the least that there is up to a
// thousand samples.
func (s law) trip(period float64) (length, rest float64, stiff allpass) {
	for n := 1.0; n == 1 || math.Abs(rest) > 3e-4*length && n*period < 1000; n++ {
		a := stiffness(n*s.stiff, 2*math.Pi/period)
		exact := n*period - a.delay(2*math.Pi/period)
		l := math.Round(exact)
		if r := l - exact; n == 1 || math.Abs(r)*length < math.Abs(rest)*l {
			length, rest, stiff = l, r, a
		}
	}
	return length, rest, stiff
}

// An allpass is (z^-1 - p) / (1 - p z^-1), which delays high tones less than low
// ones, as a stiff string does (Jaffe and Smith 1983). 0 is none at all, not even
// its one sample.
type allpass float64

// stiffness is the allpass that bends a trip as stiffness b does at w0 radians a
// sample: low partials k come pi b k^3 radians early. With d its delay at 0 that
// is (d^3 - d) w^3 / 12, from tan(phase/2) = d tan(w/2).
func stiffness(b, w0 float64) allpass {
	if b == 0 {
		return 0
	}
	want := 12 * math.Pi * b / (w0 * w0 * w0)
	d := 1 + want/2
	for range 40 {
		d -= (d*d*d - d - want) / (3*d*d - 1)
	}
	return allpass((d - 1) / (d + 1))
}

// delay is that of the phase at w, in samples.
func (p allpass) delay(w float64) float64 {
	if p == 0 {
		return 0
	}
	d := float64((1 + p) / (1 - p))
	return 2 * math.Atan(d*math.Tan(w/2)) / w
}

// at is the allpass at z.
func (p allpass) at(z complex128) complex128 {
	if p == 0 {
		return 1
	}
	c := complex(float64(p), 0)
	return (1/z - c) / (1 - c/z)
}

// join puts the allpass behind the other taps. Its step back of one sample is
// made one of four, by (1 + p z^-1)(1 + p^2 z^-2) above and below, so that four
// samples can be worked out at once.
func (p allpass) join(l loop, shape [shape]float64) loop {
	a := float64(p)
	rest := []float64{1}
	if p != 0 {
		rest = []float64{-a, 1 - a*a, a * (1 - a*a), a * a * (1 - a*a), a * a * a}
	}
	var h [taps]float64
	for i, v := range shape {
		for j, r := range rest {
			h[i+j] += v * r
		}
	}
	for i, v := range h {
		l.h[i] = float32(v)
	}
	l.h[taps] = float32(a * a * a * a)
	return l
}
