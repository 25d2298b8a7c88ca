package listen

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// The pitch of McLeod and Wyvill: the first peak of the normalised square difference
// that is almost as high as the highest. Its height is how clear the pitch is.
const (
	almost     = 0.80
	leastClear = 0.80
)

type pitcher struct {
	size              int
	rate              float64
	shortest, longest int // periods looked at, in samples
	fft               *fourier.FFT
	padded            []float64
	bins              []complex128
	nsdf              []float64
}

func newPitcher(size int, rate, lowest, highest float64) pitcher {
	p := pitcher{size: size, rate: rate}
	p.longest = min(int(math.Ceil(rate/lowest))+2, size*3/4)
	p.shortest = max(2, int(rate/highest))
	n := 1
	for n < size+p.longest+1 {
		n *= 2
	}
	p.fft = fourier.NewFFT(n)
	p.padded = make([]float64, n)
	p.bins = make([]complex128, n/2+1)
	p.nsdf = make([]float64, p.longest+1)
	return p
}

// of returns the pitch of samples in hertz and how clear it is, 0 to 1; 0 hertz where
// there is none.
func (p *pitcher) of(samples []float32) (hertz, clear float64) {
	mean := 0.0
	for _, v := range samples {
		mean += float64(v)
	}
	mean /= float64(len(samples))
	power := 0.0
	for i, v := range samples {
		x := float64(v) - mean
		p.padded[i] = x
		power += x * x
	}
	if power == 0 {
		return 0, 0
	}
	clearTail := p.padded[len(samples):]
	for i := range clearTail {
		clearTail[i] = 0
	}
	both := 2 * power
	// The squares go with the samples, before these give way to the correlation.
	squares := p.nsdf
	for lag := 1; lag < len(squares); lag++ {
		front, back := p.padded[lag-1], p.padded[len(samples)-lag]
		both -= front*front + back*back
		squares[lag] = both
	}
	p.fft.Coefficients(p.bins, p.padded)
	for i, c := range p.bins {
		p.bins[i] = complex(real(c)*real(c)+imag(c)*imag(c), 0)
	}
	p.fft.Sequence(p.padded, p.bins)
	scale := 2 / float64(len(p.padded))
	p.nsdf[0] = 1
	for lag := 1; lag < len(p.nsdf); lag++ {
		if squares[lag] <= 1e-9*power {
			p.nsdf[lag] = 0
			continue
		}
		p.nsdf[lag] = scale * p.padded[lag] / squares[lag]
	}
	return p.peak()
}

// peak picks the period: of the highest points between the upward and the downward
// crossings of zero the first that is almost as high as the highest.
func (p *pitcher) peak() (hertz, clear float64) {
	best := 0.0
	p.each(func(lag int) bool {
		best = max(best, p.nsdf[lag])
		return true
	})
	if best <= 0 {
		return 0, 0
	}
	p.each(func(lag int) bool {
		if p.nsdf[lag] < almost*best {
			return true
		}
		at, height := parabola(p.nsdf[lag-1], p.nsdf[lag], p.nsdf[lag+1])
		hertz, clear = p.rate/(float64(lag)+at), min(height, 1)
		return false
	})
	return hertz, clear
}

// each calls f with the highest point of each hump, until f returns false.
func (p *pitcher) each(f func(lag int) bool) {
	n := p.nsdf
	lag := 1
	for lag < len(n) && n[lag] > 0 {
		lag++
	}
	for lag < len(n) {
		for lag < len(n) && n[lag] <= 0 {
			lag++
		}
		top := lag
		for lag < len(n) && n[lag] > 0 {
			if n[lag] > n[top] {
				top = lag
			}
			lag++
		}
		if top >= p.shortest && top < len(n)-1 && !f(top) {
			return
		}
	}
}

// parabola returns where the parabola through three points one apart is highest, from
// the middle one, and how high it is there.
func parabola(before, middle, after float64) (at, height float64) {
	bend := before - 2*middle + after
	if bend >= 0 {
		return 0, middle
	}
	at = 0.5 * (before - after) / bend
	return at, middle - 0.25*(before-after)*at
}
