package synth

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"surefret/testdata/oracle"
)

// At no frequency may a trip round a loop make anything louder.
func TestNothingGrowsInTheLoopsAtAnyPitch(t *testing.T) {
	for _, rate := range []float64{44100, 48000} {
		for hz := 1.0 * LowestHz; hz <= HighestHz; hz *= 1.003 {
			for _, p := range []Pluck{{Hz: hz}, {Hz: hz, Perfect: true}, {Hz: hz, Muted: true}} {
				for _, w := range p.laws() {
					l := design(w, rate)
					if l.delay+taps > longest {
						t.Errorf("%+v at %g: a loop of %d samples, the longest has %d", p, rate, l.delay+taps, longest)
					}
					if gain, at := l.loudest(); gain >= 1 {
						t.Errorf("%+v at %g: grows by %.5f a trip at %.0f Hz", p, rate, gain, at*rate/2/math.Pi)
					}
				}
			}
		}
	}
}

// loudest is the greatest gain of a trip, and where it is, in radians a sample.
func (l loop) loudest() (gain, at float64) {
	for w := 0.0; w <= math.Pi; w += math.Pi / 256 {
		var sum complex128
		for j, h := range l.h[:taps] {
			sum += complex(float64(h), 0) * cmplx.Rect(1, -float64(j)*w)
		}
		sum /= 1 - complex(float64(l.h[taps]), 0)*cmplx.Rect(1, -4*w)
		if g := cmplx.Abs(sum); g > gain {
			gain, at = g, w
		}
	}
	return gain, at
}

// Partials near 4 kHz die away as their own law says: on a bass they may last longer,
// and of the highest notes it speaks of higher ones.
func TestTrebleDiesAwayByItsLaw(t *testing.T) {
	for key := 40; key <= 80; key++ {
		w := Pluck{Hz: pitch(key, 440)}.laws()[0]
		k := math.Round(4000 / w.hz)
		z := design(w, 48000).pole(cmplx.Rect(0.9999, 2*math.Pi*k*w.hz*math.Sqrt(1+w.stiff*k*k)/48000))
		at := cmplx.Phase(z) * 48000 / (2 * math.Pi) / 4000 // where the partial is; losses go by its square
		if t60 := -math.Log(1000) / (math.Log(cmplx.Abs(z)) * 48000) * at * at; math.Abs(t60/w.treble-1) > 0.06*math.Max(1, w.hz/500) {
			t.Errorf("key %d: near %.0f Hz the T60 is %.3f s, the law says %.3f", key, 4000*at, t60, w.treble)
		}
	}
}

// Low partials are sharp by the law of a stiff string, to a tenth of what it says.
func TestLowPartialsAreSharpByTheLawOfStiffness(t *testing.T) {
	for _, key := range keys() {
		w := Pluck{Hz: pitch(key, 440)}.laws()[0]
		l := design(w, 48000)
		for k := 3.0; k*w.hz < 400; k++ {
			want := cents(k*w.hz*math.Sqrt((1+w.stiff*k*k)/(1+w.stiff)), k*w.hz)
			z := l.pole(cmplx.Rect(0.9999, 2*math.Pi*k*w.hz/48000))
			if got := cents(cmplx.Phase(z)*48000/(2*math.Pi), k*w.hz); math.Abs(got-want) > 0.1*want+0.05 {
				t.Errorf("key %d: partial %g is %.2f cents sharp, the law says %.2f", key, k, got, want)
			}
		}
	}
}

// The filter that sounds must be the equation that the loop was designed by, down
// to the shortest loop of the highest string, and to the bit the plain one.
func TestTheFilterIsTheEquationOfTheLoop(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, hz := range []float64{HighestHz, 1318.5, 440, 82.41, LowestHz} {
		l := design(Pluck{Hz: hz}.laws()[0], 44100)
		from := l.delay + taps
		got := make([]float32, from+block)
		for i := range from {
			got[i] = r.Float32() - 0.5
		}
		plain := slices.Clone(got)
		l.run(got, from)
		filterPlain(plain[from-4:], plain[from-l.delay-taps+1:], &l.h)
		if !slices.Equal(got, plain) {
			t.Errorf("%g Hz: the filter is not the plain one", hz)
		}
		for n := from; n < len(got); n++ {
			want := float64(l.h[taps]) * float64(got[n-4])
			for j, h := range l.h[:taps] {
				want += float64(h) * float64(got[n-l.delay-j])
			}
			if math.Abs(float64(got[n])-want) > 1e-6 {
				t.Fatalf("%g Hz: sample %d is %g, want %g", hz, n, got[n], want)
			}
		}
	}
}

// A plucked ideal string seen by a pickup: Fletcher and Rossing, The Physics of
// Musical Instruments, chapter 2, gives sin(k pi pick)/k for the velocity of its
// partials (from memory); the pickup's place and its resonance, that of a coil and a
// capacitor, multiply them.
func TestAPluckHasThePartialsOfAnIdealString(t *testing.T) {
	for _, p := range []Pluck{
		{Hz: 82.41}, {Hz: 440}, {Hz: 1318.5}, {Hz: 196, Velocity: 0.2}, {Hz: 196, Velocity: 1},
		{Hz: 146.83, tone: Warm}, {Hz: 146.83, tone: Bright},
	} {
		var s String
		p.For, p.Perfect = time.Second, true
		if err := s.strike(p, 48000); err != nil {
			t.Fatal(err)
		}
		period := 48000 / p.Hz
		x := make([]float32, int(10*period)) // too short to die away much
		s.Stream(x)
		if p.Velocity == 0 {
			p.Velocity = defaultVelocity
		}
		v := tones[p.tone].voiced(p.Hz)
		sq := func(x float64) float64 { return x * x }
		law := func(k float64) float64 {
			f := k * p.Hz / max(wireAt(p.Hz).soft*math.Pow(4, p.Velocity-1), 1.5*p.Hz)
			r := math.Tan(math.Pi*k/period) / math.Tan(math.Pi*v.resonance/48000)
			coil := 1 / math.Hypot(1-r*r, r/v.peak)
			return math.Abs(math.Sin(k*math.Pi*v.pick)*math.Sin(k*math.Pi*v.pickup)) / k / (1 + f*f) / (1 + sq(k*p.Hz/11000)) / (1 + sq(k*p.Hz/14000)) * coil
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

// The second polarisation falls faster and the scrape of the pick is over at once:
// a guitar is brighter at first than a tenth of a second later, an ideal string is not.
// A muted one is duller still and over in half a second.
func TestTheTrebleOfAPluckFallsFirst(t *testing.T) {
	for _, key := range []int{40, 50, 59, 69} {
		sound := func(p Pluck) oracle.Timbre {
			var s String
			p.Hz = pitch(key, 440)
			if err := s.strike(p, oracle.GuitarRate); err != nil {
				t.Fatal(err)
			}
			x := make([]float32, oracle.GuitarRate/2)
			s.Stream(x)
			return oracle.MeasureTimbre(x)
		}
		guitar, perfect, muted := sound(Pluck{}), sound(Pluck{Perfect: true}), sound(Pluck{Muted: true})
		for b := 2; b < 4; b++ {
			falls := func(m oracle.Timbre) float64 { return m.Bands[0][b] - m.Bands[1][b] }
			if falls(guitar) < falls(perfect)+0.5 {
				t.Errorf("key %d: band %d falls by %.1f dB in a tenth of a second, that of an ideal string by %.1f", key, b+1, falls(guitar), falls(perfect))
			}
		}
		if muted.Centroid[0] > 0.8*guitar.Centroid[0] || muted.Fall[1] > 0.5 {
			t.Errorf("key %d: muted it has its centroid at %.0f Hz and falls in %.2f s, open at %.0f", key, muted.Centroid[0], muted.Fall[1], guitar.Centroid[0])
		}
	}
}

// The first trip round the loop is no exception to the law.
func TestAStringDiesAwayFromItsFirstSample(t *testing.T) {
	for _, key := range []int{56, 65, 74} { // several periods to the loop
		hz := pitch(key, 440)
		p := Pluck{Hz: hz, For: time.Second, Perfect: true}
		l := design(p.laws()[0], 48000)
		var s String
		if err := s.strike(p, 48000); err != nil {
			t.Fatal(err)
		}
		x := make([]float32, 4800)
		s.Stream(x)
		window := int(math.Round(48000 / hz))
		last := l.delay - window
		last -= last % window
		got := math.Sqrt(energy(x[last:last+window]) / energy(x[:window]))
		want := math.Exp(-math.Log(1000) * float64(last) / 48000 / decayTime(hz))
		if math.Abs(got-want) > 0.3*(1-want) {
			t.Errorf("key %d has fallen to %.5f after %d samples, the law says %.5f", key, got, last, want)
		}
	}
}

// Loudness follows velocity, 18 dB from the softest to the hardest.
func TestAHarderPluckIsLouderByItsVelocity(t *testing.T) {
	loud := func(velocity float64) float64 {
		var s String
		if err := s.strike(Pluck{Hz: 196, For: time.Second, Velocity: velocity}, 48000); err != nil {
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
		if err := s.strike(Pluck{Hz: 440, For: d}, 48000); err != nil {
			t.Fatal(err)
		}
		s.Stream(x)
	}
	if !slices.Equal(short[:960], long[:960]) || slices.Equal(short[960:1000], long[960:1000]) {
		t.Error("the fade does not begin in the middle of 40 ms")
	}
}
