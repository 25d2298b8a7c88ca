package listen_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"surefret/testdata/oracle"
)

// The sets that the thresholds were fixed on were steel, clean and jazz guitar, finger
// and picked bass of the first font. These are others, but for one.
var judged = []int{oracle.NylonGuitar, oracle.MutedGuitar, oracle.CleanGuitar}

const apart = time.Second

// openStrings are the keys of a guitar's strings, E2 to E4.
var openStrings = []int{40, 45, 50, 55, 59, 64}

// places plucks every place up to fret 15 softly and hard, each string a few cents
// off; or every n-th of these.
func places(every int, seed uint64) []oracle.Plucked {
	r := rand.New(rand.NewPCG(1, seed))
	var notes []oracle.Plucked
	i := int(seed) % every
	for str, open := range openStrings {
		cents := math.Round(20*r.Float64() - 10)
		for fret := range 16 {
			for _, velocity := range []int{60, 105} {
				if i++; i%every == 0 {
					notes = append(notes, oracle.Plucked{
						At: 400*time.Millisecond + time.Duration(len(notes))*apart, For: 600 * time.Millisecond,
						Key: open + fret, Cents: cents, Velocity: velocity, Channel: str,
					})
				}
			}
		}
	}
	return notes
}

func sample(at time.Duration) int { return int(at.Seconds() * oracle.GuitarRate) }

// power is the mean square of the first 400 ms of a note.
func power(x []float32, at time.Duration) float64 {
	sum, part := 1e-12, x[sample(at):sample(at+400*time.Millisecond)]
	for _, v := range part {
		sum += float64(v) * float64(v)
	}
	return sum / float64(len(part))
}

// noisy adds white noise that lies db below each note.
func noisy(x []float32, notes []oracle.Plucked, db float64) []float32 {
	r := rand.New(rand.NewPCG(7, 7))
	y := make([]float32, len(x))
	next, loud := 0, 0.0
	for i := range x {
		if next < len(notes) && i >= sample(notes[next].At-400*time.Millisecond) {
			loud = math.Sqrt(power(x, notes[next].At)) * math.Pow(10, -db/20)
			next++
		}
		y[i] = x[i] + float32(loud*r.NormFloat64())
	}
	return y
}

// laptop is what a laptop's microphone leaves of it: a high-pass at 200 Hz of order 4
// (Butterworth, as the Audio EQ Cookbook has it), a small room's echoes, noise 25 dB
// below.
func laptop(x []float32, notes []oracle.Plucked) []float32 {
	y := make([]float64, len(x))
	for i, v := range x {
		y[i] = float64(v)
	}
	sin, cos := math.Sincos(2 * math.Pi * 200 / oracle.GuitarRate)
	for _, q := range []float64{0.5412, 1.3066} {
		alpha := sin / (2 * q)
		var x1, x2, y1, y2 float64
		for i, v := range y {
			out := ((1+cos)/2*(v-2*x1+x2) + 2*cos*y1 - (1-alpha)*y2) / (1 + alpha)
			x2, x1, y2, y1 = x1, v, y1, out
			y[i] = out
		}
	}
	out := make([]float32, len(x))
	for i, v := range y {
		out[i] = float32(v)
	}
	r := rand.New(rand.NewPCG(5, 5))
	for range 40 {
		late := 3 + 150*r.Float64() // ms
		gain := 0.25 * math.Exp(-late/60) * (2*r.Float64() - 1)
		d := int(late * oracle.GuitarRate / 1000)
		for i := d; i < len(out); i++ {
			out[i] += float32(gain * y[i-d])
		}
	}
	return noisy(out, notes, 25)
}

// ringing has another open string plucked before each note and ringing on, 15 dB
// softer than the note.
func ringing(t *testing.T, font string, program int, x []float32, notes []oracle.Plucked) []float32 {
	r := rand.New(rand.NewPCG(3, 3))
	var rung []oracle.Plucked
	for _, n := range notes {
		str := (n.Channel + 1 + r.IntN(len(openStrings)-1)) % len(openStrings)
		rung = append(rung, oracle.Plucked{At: n.At - 280*time.Millisecond, For: 900 * time.Millisecond, Key: openStrings[str], Velocity: 90, Channel: str})
	}
	z := oracle.Guitars(t, font, program, false, rung)
	y := make([]float32, len(x))
	copy(y, x)
	for i, n := range notes {
		gain := float32(math.Sqrt(power(x, n.At)/power(z, n.At)) * math.Pow(10, -15.0/20))
		from := sample(rung[i].At - 10*time.Millisecond)
		for k := from; k < min(from+sample(apart), len(z), len(y)); k++ {
			y[k] += gain * z[k]
		}
	}
	return y
}
