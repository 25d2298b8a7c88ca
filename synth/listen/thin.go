package listen

import "math"

// A thinner lets every step-th sample through, after a filter that keeps what is
// above half the new rate from folding down.
type thinner struct {
	step  int
	taps  []float32
	past  []float32 // the last len(taps) samples, twice, so that a window is one slice
	at    int
	count int
}

// reach is the length of the filter to either side, in samples that come out.
const reach = 10

func newThinner(step int) thinner {
	t := thinner{step: step}
	if step == 1 {
		return t
	}
	half := reach * step
	sum := 0.0
	taps := make([]float64, 2*half+1)
	for i := range taps {
		x := float64(i-half) / float64(step) * 0.88 // of half the new rate
		v := 1.0
		if x != 0 {
			v = math.Sin(math.Pi*x) / (math.Pi * x)
		}
		v *= 0.5 + 0.5*math.Cos(math.Pi*float64(i-half)/float64(half+1))
		taps[i], sum = v, sum+v
	}
	for _, v := range taps {
		t.taps = append(t.taps, float32(v/sum))
	}
	t.past = make([]float32, 2*len(taps))
	return t
}

// thin appends what is left of samples to dst, which has room.
func (t *thinner) thin(dst, samples []float32) []float32 {
	if t.step == 1 {
		return append(dst, samples...)
	}
	n := len(t.taps)
	for _, v := range samples {
		t.past[t.at], t.past[t.at+n] = v, v
		if t.at++; t.at == n {
			t.at = 0
		}
		if t.count++; t.count < t.step {
			continue
		}
		t.count = 0
		var sum float32
		window := t.past[t.at : t.at+n]
		for i, tap := range t.taps {
			sum += tap * window[i]
		}
		dst = append(dst, sum)
	}
	return dst
}
