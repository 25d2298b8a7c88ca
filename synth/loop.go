package synth

import (
	"math"
	"math/cmplx"
)

// taps is the length of the loop filter: three taps of loss convolved with ten
// of fractional delay. With six of delay the tenth partial of the top fret lies
// a cent off, with ten a third of that.
const taps = 12

// A loop is the string itself: y[n] = sum over j of h[j] * y[n-delay-j].
//
// The filter h is a symmetric three-tap loss, whose delay is one sample at
// every frequency, convolved with a ten-tap Lagrange interpolator (Laakso,
// Valimaki, Karjalainen and Laine, "Splitting the unit delay", 1996).
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
	period := rate / hz
	delay := math.Floor(period) - 5
	w0 := 2 * math.Pi / period
	fade := math.Log(1000) / rate // per sample, for a T60 of one second
	pole := cmplx.Rect(math.Exp(-fade/decay), w0)
	back := 1 / pole
	around := cmplx.Exp(-complex(delay, 0) * cmplx.Log(pole))

	// High strings have their second partial above 4 kHz: there the second
	// anchor moves up with them.
	w1 := 2 * math.Pi * math.Max(4000, 2.5*hz) / rate
	want1 := math.Exp(-fade / treble * period)

	frac, gain, loss := period-1-delay, 1.0, 0.0
	var lag [taps - 2]float64
	for range 4 {
		lag = lagrange(frac)
		gain1 := want1 / (gain * cmplx.Abs(polynomial(lag[:], cmplx.Rect(1, -w1))))
		loss = math.Max(0, (1-gain1)/(1-math.Cos(w1)))
		// The loop must lose energy at 0 Hz too, where loss does nothing.
		if most := (1 - math.Exp(-fade/decay*period)/0.99999) / (1 - math.Cos(w0)); loss > most {
			loss = math.Max(0, most)
		}
		damp := back * (complex(1-loss, 0) + complex(loss/2, 0)*(pole+back))
		trip := damp * polynomial(lag[:], back) * around
		gain = 1 / cmplx.Abs(trip)
		frac += cmplx.Phase(trip) / w0
	}

	var l loop
	l.delay = int(delay)
	for i, v := range lag {
		l.h[i] += float32(gain * v * loss / 2)
		l.h[i+1] += float32(gain * v * (1 - loss))
		l.h[i+2] += float32(gain * v * loss / 2)
	}
	return l
}

// lagrange gives the ten-tap interpolator whose delay is d samples, best for d
// in 4..5.
func lagrange(d float64) [taps - 2]float64 {
	var h [taps - 2]float64
	for k := range h {
		h[k] = 1
		for i := range h {
			if i != k {
				h[k] *= (d - float64(i)) / float64(k-i)
			}
		}
	}
	return h
}

// polynomial evaluates h[0] + h[1] z + h[2] z^2 + ...
func polynomial(h []float64, z complex128) complex128 {
	var sum complex128
	for i := len(h) - 1; i >= 0; i-- {
		sum = sum*z + complex(h[i], 0)
	}
	return sum
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
