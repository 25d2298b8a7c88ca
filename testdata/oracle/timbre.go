package oracle

import (
	"math"
	"testing"
	"time"

	"gonum.org/v1/gonum/dsp/fourier"
)

// Edges of the five bands of a Timbre, in hertz.
var Edges = [...]float64{80, 500, 1500, 3000, 6000, 12000}

// A Timbre is what is measured of one plucked note.
type Timbre struct {
	// Centroid is the mean frequency by power, in hertz, of the first 50 ms and
	// of 100 to 200 ms.
	Centroid [2]float64
	// Bands are the energies of the five bands in these two windows, in dB under
	// their sum: notes of every level are compared at the same one.
	Bands [2][5]float64
	// Fall is the time in seconds in which each band falls by 60 dB, as the
	// first 400 ms have it. It is 0 where that says nothing: the band rises, or
	// lies 60 dB under the sum and is the recording's noise.
	Fall [5]float64
}

// MeasureTimbre measures a note at GuitarRate, of 400 ms at least. It begins where
// it first has a fiftieth of its peak.
func MeasureTimbre(x []float32) Timbre {
	var peak float32
	for _, v := range x {
		peak = max(peak, v, -v)
	}
	for max(x[0], -x[0]) < peak/50 {
		x = x[1:]
	}
	const ms = GuitarRate / 1000
	var m Timbre
	for i, window := range [][]float32{x[:50*ms], x[100*ms : 200*ms]} {
		power, width := spectrum(window)
		var sum, moment float64
		for k, p := range power {
			if f := float64(k) * width; f >= 20 && f < 16000 {
				sum, moment = sum+p, moment+p*f
			}
		}
		m.Centroid[i] = moment / sum
		m.Bands[i], _ = bands(window)
	}
	const step, frames = 10 * ms, 36
	var slope [5]float64
	var square float64
	for i := range frames {
		level, sum := bands(x[i*step : i*step+50*ms])
		at := (float64(i) - (frames-1)/2.) * step / GuitarRate
		square += at * at
		for b, v := range level {
			slope[b] += at * (v + sum)
		}
	}
	for b := range slope {
		if slope[b] < 0 && m.Bands[0][b] > -60 {
			m.Fall[b] = -60 * square / slope[b]
		}
	}
	return m.rounded()
}

// rounded keeps what a table needs.
func (m Timbre) rounded() Timbre {
	for i := range m.Centroid {
		m.Centroid[i] = math.Round(m.Centroid[i])
		for b, v := range m.Bands[i] {
			m.Bands[i][b] = math.Round(10*v) / 10
		}
	}
	for b, v := range m.Fall {
		m.Fall[b] = math.Round(100*v) / 100
	}
	return m
}

// bands are the levels of the five bands under their sum, and the sum, in dB.
func bands(x []float32) (under [5]float64, sum float64) {
	power, width := spectrum(x)
	for b := range under {
		for k := int(Edges[b] / width); k < int(Edges[b+1]/width); k++ {
			under[b] += power[k]
		}
		sum += under[b]
	}
	for b, v := range under {
		under[b] = 10 * math.Log10(v/sum)
	}
	return under, 10 * math.Log10(sum)
}

// spectrum is the power of x under a Hann window, one value each so many hertz.
func spectrum(x []float32) (power []float64, width float64) {
	in := make([]float64, transform.Len())
	for i, v := range x {
		in[i] = float64(v) * (0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(len(x))))
	}
	for _, c := range transform.Coefficients(nil, in) {
		power = append(power, real(c)*real(c)+imag(c)*imag(c))
	}
	return power, GuitarRate / float64(transform.Len())
}

var transform = fourier.NewFFT(8192)

// The notes that are measured: E2 to E5.
const (
	LowestTimbre  = 40
	HighestTimbre = 76
)

// RecordedTimbres measures the notes from LowestTimbre to HighestTimbre of the
// steel, jazz and clean guitars of FluidR3, at velocity 100: a row of three a note.
func RecordedTimbres(t testing.TB) [][3]Timbre {
	t.Helper()
	const apart = 3 * time.Second
	var notes []Plucked
	for key := LowestTimbre; key <= HighestTimbre; key++ {
		at := 400*time.Millisecond + time.Duration(len(notes))*apart
		notes = append(notes, Plucked{At: at, For: time.Second, Key: key, Velocity: 100})
	}
	rows := make([][3]Timbre, len(notes))
	for g, program := range []int{SteelGuitar, JazzGuitar, CleanGuitar} {
		x := Guitars(t, Fonts[0], program, false, notes)
		for i, n := range notes {
			from := int(n.At.Seconds() * GuitarRate)
			rows[i][g] = MeasureTimbre(x[from : from+GuitarRate])
		}
	}
	return rows
}
