package synth

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

func tone(hz, dbfs float64, d time.Duration, rate int) []float32 {
	x := make([]float32, samples(d, rate))
	for i := range x {
		x[i] = float32(math.Pow(10, dbfs/20) * math.Sin(2*math.Pi*hz*float64(i)/float64(rate)))
	}
	return x
}

// ITU-R BS.1770-4, annex 1: a 997 Hz sine of 0 dB full scale in one channel reads
// -3.01 LKFS. EBU Tech 3341, test case 1, is a 1 kHz sine of -23 dBFS in two
// channels that reads -23.0; one of them alone reads 3.01 less.
func TestMeterReadsTheReferenceTones(t *testing.T) {
	for _, rate := range []int{44100, 48000} {
		if got := loudness(tone(997, 0, time.Second, rate), rate); math.Abs(got+3.01) > 0.01 {
			t.Errorf("997 Hz at %d: %.3f LUFS, want -3.01", rate, got)
		}
		if got := loudness(tone(1000, -23, time.Second, rate), rate); math.Abs(got+26.01) > 0.1 {
			t.Errorf("1 kHz at -23 dBFS and %d: %.3f LUFS, want -26.01", rate, got)
		}
	}
	if got := loudness(make([]float32, 1000), 48000); !math.IsInf(got, -1) {
		t.Errorf("silence: %g", got)
	}
}

// ITU-R BS.1770-4, annex 1, tables 1 and 2: the filters at 48 kHz.
func TestWeightingIsTheStandards(t *testing.T) {
	w := newWeighting(48000)
	for _, c := range []struct{ got, want float64 }{
		{w.shelf.b0, 1.53512485958697}, {w.shelf.b1, -2.69169618940638}, {w.shelf.b2, 1.19839281085285},
		{w.shelf.a1, -1.69065929318241}, {w.shelf.a2, 0.73248077421585},
		{w.high.b0, 1}, {w.high.b1, -2}, {w.high.b2, 1},
		{w.high.a1, -1.99004745483398}, {w.high.a2, 0.99007225036621},
	} {
		if math.Abs(c.got-c.want) > 1e-8 {
			t.Errorf("coefficient %.12f, want %.12f", c.got, c.want)
		}
	}
}

// The meter leaves out what cannot be the loudest: filtering everything must give
// the same.
func TestWhatTheMeterPassesOverIsNeverTheLoudest(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for i := range 100 {
		// A low tone, on which the filter takes long to settle, of a new height
		// every 700 ms, and a high one, which it lifts.
		x := make([]float32, 48000*(2+r.IntN(4)))
		var low, high float64
		for n := range x {
			if n%(7*4800) == 0 {
				low, high = math.Pow(10, -2*r.Float64()), math.Pow(10, -1-2*r.Float64())
			}
			s := float64(n) / 48000
			x[n] = float32(low*math.Sin(2*math.Pi*45*s) + high*math.Sin(2*math.Pi*5000*s))
		}
		w := newWeighting(48000)
		var steps [4]float64
		most := 0.0
		for part := range slices.Chunk(x, 4800) {
			copy(steps[:], steps[1:])
			steps[3] = w.energy(part)
			most = max(most, steps[0]+steps[1]+steps[2]+steps[3])
		}
		want := -0.691 + 10*math.Log10(most/19200)
		if got := loudness(x, 48000); math.Abs(got-want) > 1e-7 {
			t.Errorf("sound %d: %.9f LUFS, want %.9f", i, got, want)
		}
	}
}

// Random cues of every kind, 10,000 of them in CI.
func TestEveryCueHasOneLoudnessAndKeepsUnderThePeak(t *testing.T) {
	n := 400
	if ci() {
		n = 10000
	}
	r := rand.New(rand.NewPCG(7, 23))
	highest, off := math.Inf(-1), 0.0
	for i := range n {
		score, kind := randomScore(r)
		cue, err := Render(score, Options{Rate: []int{44100, 48000}[r.IntN(2)]})
		if err != nil {
			t.Fatal(err)
		}
		peak := math.Inf(-1)
		for _, v := range cue.Samples {
			peak = max(peak, 20*math.Log10(math.Abs(float64(v))))
		}
		loud := loudness(cue.Samples, cue.Rate)
		highest, off = max(highest, peak), max(off, math.Abs(loud-cueLoudness))
		if peak > cuePeak || math.Abs(loud-cueLoudness) > 0.1 {
			t.Errorf("cue %d, %s: %.2f LUFS, peak %.2f dBFS", i, kind, loud, peak)
		}
	}
	t.Logf("%d cues: highest peak %.2f dBFS, loudness within %.5f LU", n, highest, off)
}

func randomScore(r *rand.Rand) (Score, string) {
	key := func() float64 { return pitch(28+r.IntN(61), 432+14*r.Float64()) }
	length := 500*time.Millisecond + time.Duration(r.Int64N(int64(700*time.Millisecond)))
	switch r.IntN(12) {
	case 0, 1, 2:
		return Note(key(), length), "note"
	case 3:
		return Dyad(key(), key()), "dyad"
	case 4:
		hz := make([]float64, 4)
		for i := range hz {
			hz[i] = key()
		}
		bpm := 120 + 80*r.Float64()
		return CountIn(bpm, 2).Then(Line(bpm, hz...)), "line"
	}
	hz := make([]float64, 1+r.IntN(6))
	for i := range hz {
		hz[i] = pitch(40+5*i+r.IntN(20), 440)
	}
	spread := []time.Duration{0, 20, 25, 30}[r.IntN(4)] * time.Millisecond
	s := Strum(length, spread, hz...)
	for i := range s {
		s[i].Velocity = 0.3 + 0.7*r.Float64()
	}
	return s, "chord"
}

// A cue too short to reach the loudness is held by its peak instead.
func TestAShortCueIsHeldByItsPeak(t *testing.T) {
	cue, err := Render(CountIn(120, 1), Options{})
	if err != nil {
		t.Fatal(err)
	}
	var peak float64
	for _, v := range cue.Samples {
		peak = max(peak, math.Abs(float64(v)))
	}
	if got := 20 * math.Log10(peak); got > cuePeak || got < cuePeak-0.01 {
		t.Errorf("peak %.4f dBFS, want just under %g", got, cuePeak)
	}
}

// A small speaker gives little below 200 Hz. What carries the pitch there are
// partials 2 to 6: on the low strings none may lie far under the first.
func TestLowNotesKeepTheirLowerPartials(t *testing.T) {
	for key := 28; key <= 52; key++ {
		hz := pitch(key, 440)
		var s String
		if err := s.strike(Pluck{Hz: hz, For: time.Second}, 48000); err != nil {
			t.Fatal(err)
		}
		x := make([]float32, 48000)
		s.Stream(x)
		first := amplitude(x[:24000], 48000, hz, hz)
		for k := 2.0; k <= 6; k++ {
			if db := 20 * math.Log10(amplitude(x[:24000], 48000, k*hz, hz)/first); db < -12 {
				t.Errorf("key %d: partial %g lies %.1f dB under the first", key, k, -db)
			}
		}
	}
}

func TestGainIsInDecibelsAndNeverOverOne(t *testing.T) {
	for db, want := range map[float64]float64{0: 1, -6.0206: 0.5, DefaultVolume: 0.251189, 5: 1, -61: 0, math.Inf(-1): 0, math.NaN(): 0} {
		if got := Gain(db); math.Abs(got-want) > 1e-5 {
			t.Errorf("Gain(%g) = %g, want %g", db, got, want)
		}
	}
}
