package listen

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// The onset function of Boeck and Widmer: how much louder, on a logarithmic scale,
// each part of the spectrum is than the loudest of its neighbours two frames ago.
const (
	fluxBack   = 2     // frames
	fluxAround = 3     // frames to either side that are lower
	fluxMean   = 20    // frames before that it stands out from
	fluxStep   = 12.0  // what it has to stand out by
	fluxRatio  = 1.0   // and by how many times the mean
	fluxApart  = 10    // frames between two onsets
	fluxScale  = 3000  // magnitudes are compressed as log(1 + fluxScale m)
	fluxLate   = 0.022 // seconds by which the peak comes after the pluck
)

type fluxer struct {
	size   int
	fft    *fourier.FFT
	window []float64
	seq    []float64
	bins   []complex128
	past   [fluxBack + 1][]float64 // log magnitudes of the last frames
	values [64]float64             // the last values, in a ring
	count  int
	lastOn int
}

func newFluxer() fluxer {
	size := 256
	f := fluxer{size: size, fft: fourier.NewFFT(size), seq: make([]float64, size), bins: make([]complex128, size/2+1), lastOn: -1000}
	f.window = hann(size)
	for i := range f.past {
		f.past[i] = make([]float64, size/2+1)
	}
	return f
}

func hann(n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = (1 - math.Cos(2*math.Pi*(float64(i)+0.5)/float64(n))) / float64(n)
	}
	return w
}

// next takes the frame that ends now and returns how many frames ago something was
// struck, 0 for not.
func (f *fluxer) next(samples []float32) int {
	for i, v := range samples {
		f.seq[i] = float64(v) * f.window[i]
	}
	f.fft.Coefficients(f.bins, f.seq)
	now := f.past[f.count%len(f.past)]
	old := f.past[(f.count+1)%len(f.past)]
	sum := 0.0
	for i, c := range f.bins {
		now[i] = math.Log1p(fluxScale * math.Sqrt(real(c)*real(c)+imag(c)*imag(c)))
	}
	for i := 1; i < len(now)-1; i++ {
		if d := now[i] - max(old[i-1], old[i], old[i+1]); d > 0 {
			sum += d
		}
	}
	f.values[f.count%len(f.values)] = sum
	f.count++
	return f.pick()
}

func (f *fluxer) value(ago int) float64 {
	if ago >= f.count {
		return 0
	}
	return f.values[(f.count-1-ago)%len(f.values)]
}

func (f *fluxer) pick() int {
	v := f.value(fluxAround)
	mean := 0.0
	for ago := range 2*fluxAround + 1 {
		if f.value(ago) > v {
			return 0
		}
	}
	for ago := fluxAround + 1; ago <= fluxAround+fluxMean; ago++ {
		mean += f.value(ago) / fluxMean
	}
	if at := f.count - fluxAround; v >= fluxStep+fluxRatio*mean && at-f.lastOn >= fluxApart {
		f.lastOn = at
		return fluxAround
	}
	return 0
}
