package synth

import (
	"math"
	"slices"
	"time"
)

// loudness is how loud the loudest 400 ms of mono samples are, in LUFS, by the
// K-weighted blocks of ITU-R BS.1770-4, one each 100 ms (the highest momentary
// loudness of EBU Tech 3341); shorter sounds are measured as if silence
// followed. Silence gives -Inf. A mono cue counts as one channel: played from
// both speakers of a pair it measures 3.01 LU more.
//
// The loudest block rather than the gated mean of the standard: a plucked note
// dies away, and how long it is left to ring must not change how hard it starts.
func loudness(mono []float32, rate int) float64 {
	step := samples(100*time.Millisecond, rate)
	steps := slices.Collect(slices.Chunk(mono, step))

	// No block can be louder than its own samples and those of the step before,
	// beyond which the filter remembers nothing, all lifted as the highest tones
	// are: where that is less than was found already nothing is filtered. Most
	// of a string's dying away is passed over so.
	bound := make([]float64, len(steps)+4) // of the block that ends with each step
	for i, s := range steps {
		e := energy(s) * highestLift
		for j := range 5 {
			bound[i+j] += e
		}
	}
	w, passed := newWeighting(rate), false
	var last [4]float64
	var most float64
	for i, s := range steps {
		last[i%4] = 0
		if slices.Max(bound[i:i+4]) <= most { // of the blocks with this step in them
			passed = true
			continue
		}
		if passed {
			w, passed = newWeighting(rate), false
			w.energy(steps[i-1])
		}
		last[i%4] = w.energy(s)
		most = max(most, last[0]+last[1]+last[2]+last[3])
	}
	return -0.691 + 10*math.Log10(most/float64(4*step))
}

// energy is the sum of the squares.
func energy(mono []float32) float64 {
	var sum [4]float32 // in float32 and four at a time: a bound need not be exact
	for ; len(mono) >= 4; mono = mono[4:] {
		sum[0] += mono[0] * mono[0]
		sum[1] += mono[1] * mono[1]
		sum[2] += mono[2] * mono[2]
		sum[3] += mono[3] * mono[3]
	}
	for i, v := range mono {
		sum[i] += v * v
	}
	return float64(sum[0]+sum[1]) + float64(sum[2]+sum[3])
}

// weighting is the K filter: a shelf for the head, a high-pass for the ear.
type weighting struct{ shelf, high biquad }

type biquad struct{ b0, b1, b2, a1, a2, s1, s2 float64 }

// highestLift is more than the power that the filter gives any tone: the shelf
// is 4.0 dB high.
const highestLift = 2.52

// newWeighting makes the filter for any rate from the analogue prototype that
// the standard's 48 kHz coefficients are samples of.
func newWeighting(rate int) weighting {
	var w weighting
	k := math.Tan(math.Pi * 1681.974450955533 / float64(rate))
	q := 0.7071752369554196
	vh := math.Pow(10, 3.999843853973347/20)
	vb := math.Pow(vh, 0.4996667741545416)
	a0 := 1 + k/q + k*k
	w.shelf = biquad{
		b0: (vh + vb*k/q + k*k) / a0, b1: 2 * (k*k - vh) / a0, b2: (vh - vb*k/q + k*k) / a0,
		a1: 2 * (k*k - 1) / a0, a2: (1 - k/q + k*k) / a0,
	}
	k = math.Tan(math.Pi * 38.13547087602444 / float64(rate))
	q = 0.5003270373238773
	a0 = 1 + k/q + k*k
	w.high = biquad{b0: 1, b1: -2, b2: 1, a1: 2 * (k*k - 1) / a0, a2: (1 - k/q + k*k) / a0}
	return w
}

// energy is the sum of the squares of the weighted samples, in sequence with
// those of earlier calls.
func (w *weighting) energy(mono []float32) float64 {
	s, h := w.shelf, w.high
	var sum float64
	for _, v := range mono {
		x := float64(v)
		y := s.b0*x + s.s1
		s.s1 = s.b1*x + s.s2 - s.a1*y // y last: the next step waits for it
		s.s2 = s.b2*x - s.a2*y
		z := y + h.s1
		h.s1 = h.s2 - 2*y - h.a1*z
		h.s2 = y - h.a2*z
		sum += z * z
	}
	w.shelf, w.high = s, h
	return sum
}

// power is the square of the filter's gain at w radians a sample.
func (k *weighting) power(w float64) float64 {
	c1 := math.Cos(w)
	c2 := 2*c1*c1 - 1
	return k.shelf.power(c1, c2) * k.high.power(c1, c2)
}

func (q *biquad) power(c1, c2 float64) float64 {
	num := q.b0*q.b0 + q.b1*q.b1 + q.b2*q.b2 + 2*(q.b0*q.b1+q.b1*q.b2)*c1 + 2*q.b0*q.b2*c2
	den := 1 + q.a1*q.a1 + q.a2*q.a2 + 2*(q.a1+q.a1*q.a2)*c1 + 2*q.a2*c2
	return num / den
}
