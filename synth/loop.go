package synth

import (
	"math"
	"math/cmplx"
)

// taps is the length of the loop filter.
const taps = 5

// A loop is the string itself: y[n] = sum over j of h[j] * y[n-delay-j].
//
// A delay line holds a whole number of samples and a period does not. Instead
// of a long interpolating filter the loop has several periods in it, as many as
// come near enough a whole number for five taps to place the rest.
type loop struct {
	delay int
	h     [taps]float32
}

// design solves the loop for a string of hz hertz at rate samples a second
// whose first partial falls by 60 dB in decay seconds and whose partials near
// 4 kHz do so in treble seconds.
//
// The textbook formula tunes the phase delay on the unit circle. Here the pole
// of the first partial itself, z0 = r0 e^(j w0), is made an exact root of the
// loop's equation, so that pitch and decay are both right at once.
func design(hz, rate, decay, treble float64) loop {
	length, rest := trip(rate / hz)
	w0 := 2 * math.Pi * hz / rate
	fade := math.Log(1000) / rate // per sample, for a T60 of one second
	pole := cmplx.Rect(math.Exp(-fade/decay), w0)
	around := cmplx.Exp(complex(length, 0) * cmplx.Log(pole))

	// Between the first partial and 4 kHz the others fall into place. High
	// strings have their second partial above that: there the anchor moves up
	// with them. The lowest bass strings may not lose as much in one long trip:
	// what lies at half the rate would grow.
	w1 := 2 * math.Pi * math.Max(4000, 2.5*hz) / rate
	least := cmplx.Abs(around) - 0.95*(math.Cos(w0)-math.Cos(w1))
	gain := math.Max(math.Exp(-fade/treble*length), least/math.Cos(rest*w1))

	// The filter at z is centre + even (z + 1/z)/2 + odd (z - 1/z)/2 + tilt (z^2 - 1/z^2)/2.
	// It must be gain e^(j rest w1) at the anchor, which leaves two unknowns, even
	// and tilt, for the real and the imaginary part of filter(pole) = pole^length.
	re, im := gain*math.Cos(rest*w1), gain*math.Sin(rest*w1)/math.Sin(w1)
	sine := (pole - 1/pole) / 2
	byEven := (pole+1/pole)/2 - complex(math.Cos(w1), 0)
	byTilt := (pole*pole-1/(pole*pole))/2 - complex(2*math.Cos(w1), 0)*sine
	want := around - complex(re, 0) - complex(im, 0)*sine
	even := cross(want, byTilt) / cross(byEven, byTilt)
	tilt := cross(byEven, want) / cross(byEven, byTilt)
	centre, odd := re-even*math.Cos(w1), im-2*tilt*math.Cos(w1)

	l := loop{delay: int(length) - taps/2}
	for i, v := range [taps]float64{tilt / 2, (even + odd) / 2, centre, (even - odd) / 2, -tilt / 2} {
		l.h[i] = float32(v)
	}
	return l
}

// cross is the area between two vectors in the complex plane.
func cross(a, b complex128) float64 { return real(a)*imag(b) - imag(a)*real(b) }

// trip is the length of the loop in samples, a whole number, and by how much it
// is longer than the periods in it: at most 0.03 %, or the least that there is
// up to a thousand samples.
func trip(period float64) (length, rest float64) {
	length = math.Round(period)
	rest = length - period
	for n := 2.0; math.Abs(rest) > 3e-4*length && n*period < 1000; n++ {
		l := math.Round(n * period)
		if r := l - n*period; math.Abs(r)*length < math.Abs(rest)*l {
			length, rest = l, r
		}
	}
	return length, rest
}

// DecayTime is the law of the strings: the time in seconds in which the first
// partial of a string sounding hz hertz falls by 60 dB.
//
// It runs between anchors measured on sampled steel-string and clean electric
// guitars (low E2 between 9.6 and 20.6 s, E4 about 7 s, E6 3.4 to 4.3 s) and
// sustain that falls steadily with the fret, as published measurements of
// electric guitars show (Fleischer; Pate). It falls as pitch rises.
func DecayTime(hz float64) float64 { return 9 * math.Pow(hz/82.41, -0.37) }

// trebleTime is the same time for partials near 4 kHz.
func trebleTime(hz float64) float64 { return math.Min(0.6*DecayTime(hz), 2) }
