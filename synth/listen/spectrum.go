package listen

import (
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/dsp/fourier"
)

// A peak of a spectrum.
type peak struct {
	hertz  float64
	weight float64 // its amplitude to the power of 0.4: the loud do not drown the soft
}

const (
	witnessTime = 170 * time.Millisecond
	aboveFloor  = 4.0    // times the floor around it: 12 dB
	belowTop    = 0.0056 // of the loudest: -45 dB
	block       = 32     // bins that share a floor
	rise        = 1.19   // times what rang before: a string left alone never gets louder
	mostPeaks   = 96
	mostPartial = 12
)

// A spectrum finds the peaks of a stretch of samples.
type spectrum struct {
	size, n int
	rate    float64
	fft     *fourier.FFT
	window  []float64
	seq     []float64
	bins    []complex128
	mag     []float64
	before  []float64 // mag before the note was plucked
	sorted  []float64
	peaks   []peak
	total   float64 // weight of all peaks
}

func newSpectrum(size int, rate float64) spectrum {
	n := 1
	for n < size {
		n *= 2
	}
	return spectrum{
		size: size, n: n, rate: rate, fft: fourier.NewFFT(n), window: hann(size), seq: make([]float64, n),
		bins: make([]complex128, n/2+1), mag: make([]float64, n/2+1), before: make([]float64, n/2+1), sorted: make([]float64, 0, 2*block), peaks: make([]peak, 0, mostPeaks),
	}
}

// transform fills mag.
func (s *spectrum) transform(samples []float32) {
	clear(s.seq)
	for i, v := range samples {
		s.seq[i] = float64(v) * s.window[i]
	}
	s.fft.Coefficients(s.bins, s.seq)
	for i, c := range s.bins {
		s.mag[i] = math.Sqrt(real(c)*real(c) + imag(c)*imag(c))
	}
}

// remember keeps what sounds before a note is plucked, nil for nothing.
func (s *spectrum) remember(samples []float32) {
	s.transform(samples)
	copy(s.before, s.mag)
}

// look finds the peaks of samples, but for those that rang before as loud.
func (s *spectrum) look(samples []float32) {
	s.transform(samples)
	s.find(1)
}

// lookFor finds the peaks of samples in which a grip is looked for.
func (s *spectrum) lookFor(g grip, samples []float32) {
	s.transform(samples)
	s.find(s.ringsOn(g))
}

// find finds the peaks, but for those that ring on: so much is left of what rang before.
func (s *spectrum) find(left float64) {
	top := slices.Max(s.mag)
	s.peaks, s.total = s.peaks[:0], 0
	for from := 0; from+block <= len(s.mag); from += block {
		lo, hi := max(0, from-block/2), min(len(s.mag), from+block+block/2)
		s.sorted = append(s.sorted[:0], s.mag[lo:hi]...)
		slices.Sort(s.sorted)
		least := max(aboveFloor*s.sorted[len(s.sorted)*2/5], belowTop*top)
		for i := max(from, 2); i < min(from+block, len(s.mag)-2); i++ {
			m := s.mag[i]
			if m < least || m < s.mag[i-1] || m <= s.mag[i+1] || len(s.peaks) == mostPeaks {
				continue
			}
			if m < rise*left*max(s.before[i-1], s.before[i], s.before[i+1]) {
				continue
			}
			at, _ := parabola(math.Log(s.mag[i-1]+1e-15), math.Log(m), math.Log(s.mag[i+1]+1e-15))
			s.peaks = append(s.peaks, peak{(float64(i) + at) * s.rate / float64(s.n), math.Pow(m, 0.4)})
			s.total += s.peaks[len(s.peaks)-1].weight
		}
	}
}

// fit says how well one note of this pitch explains the peaks: the share of their
// weight that are its partials, and half the share of its partials that are there.
func (s *spectrum) fit(hertz float64) float64 {
	if s.total == 0 {
		return 0
	}
	bin := s.rate / float64(s.n)
	explained := 0.0
	var there [mostPartial + 1]bool
	for _, p := range s.peaks {
		n := math.Round(p.hertz / hertz)
		if n < 1 || math.Abs(p.hertz-n*hertz) > max(0.35*bin, tolerance*n*hertz) {
			continue
		}
		explained += p.weight
		if n <= mostPartial {
			there[int(n)] = true
		}
	}
	have, want := 0.0, 0.0
	for n := 1; n <= mostPartial && float64(n)*hertz < 0.4*s.rate; n++ {
		w := 1 / math.Sqrt(float64(n))
		want += w
		if there[n] {
			have += w
		}
	}
	return explained/s.total + 0.75*have/want
}

const tolerance = 0.02 // of a partial's pitch: 35 cents

// own reports whether a peak is one that the note an octave above would not have: its
// fundamental or its third partial.
func (s *spectrum) own(hertz float64) bool {
	bin := s.rate / float64(s.n)
	return slices.ContainsFunc(s.peaks, func(p peak) bool {
		n := math.Round(p.hertz / hertz)
		return (n == 1 || n == 3) && math.Abs(p.hertz-n*hertz) <= max(0.35*bin, tolerance*n*hertz)
	})
}

// How much more the partials of an octave have to rise than those of the note below that
// are not among them, in dB, and the bounds of what one of them counts.
const (
	octaveRise = 2
	mostFall   = -12
	mostRise   = 24
)

// octave reports whether it may be the octave of a note that rings on that was plucked, and
// not that note again: all its partials are the other's too, but only these rise, and not
// all alike.
func (s *spectrum) octave(low float64) bool {
	bin, least := s.rate/float64(s.n), belowTop*slices.Max(s.mag)
	risen := func(partials ...float64) (mean float64, ok bool) {
		n := 0.0
		for _, k := range partials {
			at := int(math.Round(k * low / bin))
			if at+3 > len(s.mag) {
				continue
			}
			now, before := slices.Max(s.mag[at-2:at+3]), slices.Max(s.before[at-2:at+3])
			if max(now, before) >= least {
				mean += max(mostFall, min(mostRise, 20*math.Log10((now+1e-9)/(before+1e-9))))
				n++
			}
		}
		return mean / max(n, 1), n > 0
	}
	upper, heard := risen(2, 6, 10)
	rest, _ := risen(1, 3, 5, 7)
	return heard && upper >= rest+octaveRise
}

// prefers reports whether the spectrum prefers this pitch over every other that is a
// whole number of semitones away, between the lowest and the highest.
func (s *spectrum) prefers(hertz, lowest, highest float64) bool {
	own := s.fit(hertz)
	if own < 0.7 {
		return false
	}
	for _, way := range []float64{-1, 1} {
		for k := 1.0; ; k++ {
			other := hertz * math.Exp2(way*k/12)
			if other < lowest || other > highest {
				break
			}
			if s.fit(other) > own {
				return false
			}
		}
	}
	return true
}
