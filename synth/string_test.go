package synth

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// At no frequency may a trip round the loop make anything louder.
func TestNothingGrowsInTheLoopAtAnyPitch(t *testing.T) {
	for _, rate := range []float64{44100, 48000} {
		for hz := 1.0 * LowestHz; hz <= HighestHz; hz *= 1.003 {
			l := design(hz, rate, DecayTime(hz), trebleTime(hz))
			if l.delay+taps > longest {
				t.Errorf("%.1f Hz at %g: a loop of %d samples, the longest has %d", hz, rate, l.delay+taps, longest)
			}
			for w := 0.0; w <= math.Pi; w += math.Pi / 256 {
				var gain complex128
				for j, h := range l.h {
					gain += complex(float64(h), 0) * cmplx.Rect(1, -float64(j)*w)
				}
				if cmplx.Abs(gain) >= 1 {
					t.Errorf("%.1f Hz at %g: grows by %.5f a trip at %.0f Hz", hz, rate, cmplx.Abs(gain), w*rate/2/math.Pi)
					break
				}
			}
		}
	}
}

// Partials near 4 kHz die away as their own law says.
func TestTrebleDiesAwayByItsLaw(t *testing.T) {
	for _, key := range keys() {
		hz := pitch(key, 440)
		k := math.Round(4000 / hz)
		if k < 2.5 {
			continue // the law speaks of higher ones there
		}
		l := design(hz, 48000, DecayTime(hz), trebleTime(hz))
		z := l.pole(cmplx.Rect(0.9999, 2*math.Pi*k*hz/48000))
		if t60 := -math.Log(1000) / (math.Log(cmplx.Abs(z)) * 48000); math.Abs(t60/trebleTime(hz)-1) > 0.06*math.Max(1, hz/100) {
			t.Errorf("key %d: partial %g, at %.0f Hz, has a T60 of %.3f s, the law says %.3f", key, k, k*hz, t60, trebleTime(hz))
		}
	}
}

// The unrolled filter must be the equation that the loop was designed by, down
// to the shortest loop of the highest string.
func TestTheFilterIsTheEquationOfTheLoop(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, hz := range []float64{HighestHz, 1318.5, 440, 82.41, LowestHz} {
		l := design(hz, 44100, DecayTime(hz), trebleTime(hz))
		got := make([]float32, l.delay+taps+block)
		want := make([]float64, len(got))
		for i := range l.delay + taps {
			got[i] = r.Float32() - 0.5
			want[i] = float64(got[i])
		}
		filter(got, l.delay+taps, l)
		for n := l.delay + taps; n < len(got); n++ {
			for j, h := range l.h {
				want[n] += float64(h) * want[n-l.delay-j]
			}
			if math.Abs(float64(got[n])-want[n]) > 1e-6 {
				t.Fatalf("%g Hz: sample %d is %g, want %g", hz, n, got[n], want[n])
			}
		}
	}
}

// A plucked ideal string seen by a pickup: Fletcher and Rossing, The Physics of
// Musical Instruments, chapter 2, gives sin(k pi pick)/k for the velocity of its
// partials (from memory); the pickup and the low-pass multiply them.
func TestAPluckHasThePartialsOfAnIdealString(t *testing.T) {
	for _, p := range []Pluck{
		{Hz: 82.41}, {Hz: 440}, {Hz: 1318.5}, {Hz: 196, Velocity: 0.2}, {Hz: 196, Velocity: 1},
		{Hz: 146.83, Tone: Tone{Pick: 0.3, Pickup: 0.06}}, {Hz: 146.83, Tone: Tone{Pick: 0.05, Pickup: 0.5}},
	} {
		var s String
		p.For = time.Second
		if err := s.Strike(p, 48000); err != nil {
			t.Fatal(err)
		}
		period := 48000 / p.Hz
		x := make([]float32, int(10*period)) // too short to die away much
		s.Stream(x)
		law := func(k float64) float64 {
			velocity, pick, pickup := p.Velocity, p.Tone.Pick, p.Tone.Pickup
			if velocity == 0 {
				velocity = defaultVelocity
			}
			if pick == 0 {
				pick, pickup = defaultPick, defaultPickup
			}
			f := k * p.Hz / max(900*math.Pow(4, velocity), 1.5*p.Hz)
			return math.Abs(math.Sin(k*math.Pi*pick)*math.Sin(k*math.Pi*pickup)) / k / (1 + f*f*f*f)
		}
		first := amplitude(x, 48000, p.Hz, p.Hz)
		for k := 2.0; k <= 12 && k*p.Hz < 8000; k++ {
			want := law(k) / law(1)
			if got := amplitude(x, 48000, k*p.Hz, p.Hz) / first; math.Abs(got-want) > 0.03*want+0.002 {
				t.Errorf("%+v: partial %g is %.4f of the first, want %.4f", p, k, got, want)
			}
		}
	}
}

// The first trip round the loop is no exception to the law.
func TestAStringDiesAwayFromItsFirstSample(t *testing.T) {
	for _, key := range []int{56, 65, 74} { // several periods to the loop
		hz := pitch(key, 440)
		l := design(hz, 48000, DecayTime(hz), trebleTime(hz))
		var s String
		if err := s.Strike(Pluck{Hz: hz, For: time.Second}, 48000); err != nil {
			t.Fatal(err)
		}
		x := make([]float32, 4800)
		s.Stream(x)
		window := int(math.Round(48000 / hz))
		last := l.delay - window
		last -= last % window
		got := math.Sqrt(energy(x[last:last+window]) / energy(x[:window]))
		want := math.Exp(-math.Log(1000) * float64(last) / 48000 / DecayTime(hz))
		if math.Abs(got-want) > 0.3*(1-want) {
			t.Errorf("key %d has fallen to %.5f after %d samples, the law says %.5f", key, got, last, want)
		}
	}
}

// Loudness follows velocity, 18 dB from the softest to the hardest.
func TestAHarderPluckIsLouderByItsVelocity(t *testing.T) {
	loud := func(velocity float64) float64 {
		var s String
		if err := s.Strike(Pluck{Hz: 196, For: time.Second, Velocity: velocity}, 48000); err != nil {
			t.Fatal(err)
		}
		x := make([]float32, 48000)
		s.Stream(x)
		return loudness(x, 48000)
	}
	for _, v := range []float64{0.2, 0.5, 0.7} {
		if got, want := loud(1)-loud(v), 18*(1-v); math.Abs(got-want) > 0.5 {
			t.Errorf("velocity 1 is %.2f dB louder than %g, want %.2f", got, v, want)
		}
	}
}

// A fade takes at most half of the note.
func TestTheFadeOfAShortNoteIsHalfOfIt(t *testing.T) {
	short, long := make([]float32, 1920), make([]float32, 1920)
	var s String
	for d, x := range map[time.Duration][]float32{40 * time.Millisecond: short, time.Second: long} {
		if err := s.Strike(Pluck{Hz: 440, For: d}, 48000); err != nil {
			t.Fatal(err)
		}
		s.Stream(x)
	}
	if !slices.Equal(short[:960], long[:960]) || slices.Equal(short[960:1000], long[960:1000]) {
		t.Error("the fade does not begin in the middle of 40 ms")
	}
}
