package synth

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/testdata/oracle"
)

func render(t testing.TB, s Score, o Options) Cue {
	t.Helper()
	cue, err := Render(s, o)
	if err != nil {
		t.Fatal(err)
	}
	return cue
}

// steepest is the largest step between neighbours.
func steepest(x []float32) float64 {
	var most float64
	for i := 1; i < len(x); i++ {
		most = max(most, math.Abs(float64(x[i])-float64(x[i-1])))
	}
	return most
}

// A click is a step that the string itself does not make. At the start, and
// where a held note is let go, there is none; where the fade is cut away there is. A
// guitar's own pluck is a little brighter than what rings on.
func TestNotesStartAndEndWithoutAClick(t *testing.T) {
	cut := 0.0
	for _, key := range keys() {
		for _, c := range []struct {
			perfect bool
			most    float64 // at the start, of the steady slope
		}{{true, 1.05}, {false, 1.5}} {
			note := Note(pitch(key, 440), 700*time.Millisecond)
			note[0].Perfect = c.perfect
			x := render(t, note, Options{}).Samples
			if x[0] != 0 || x[len(x)-1] != 0 {
				t.Errorf("key %d goes from %g to %g, want 0 to 0", key, x[0], x[len(x)-1])
			}
			period := int(48000/note[0].Hz) + 1
			steady := steepest(x[96 : 96+2*period])
			if r := steepest(x[:96]) / steady; r > c.most {
				t.Errorf("key %d, perfect %v, starts with a step of %.3f times the steady slope", key, c.perfect, r)
			}
			release := samples(defaultRelease, 48000)
			body := x[len(x)-release-2*period : len(x)-release]
			if r := steepest(x[len(x)-release-1:]) / steepest(body); r > 1.05 {
				t.Errorf("key %d ends with a step of %.3f times the steady slope", key, r)
			}
			end := steepest([]float32{x[len(x)-release-1], 0}) // as if cut there
			cut = max(cut, end/steepest(body))
		}
	}
	if cut < 1.5 {
		t.Errorf("a note without its fade ends with a step of only %.2f: this test sees nothing", cut)
	}
}

func TestOnsetsAreExactToTheSample(t *testing.T) {
	const bpm = 97
	score := Line(bpm, 110, 123.47, 0, 146.83)
	x := render(t, score, Options{Rate: 44100}).Samples
	for i, e := range score {
		at := samples(e.At, 44100)
		if want := int(math.Round(float64(i) * 60 / bpm * 44100)); at-want > 1 || want-at > 1 {
			t.Errorf("note %d starts at sample %d, want %d", i, at, want)
		}
		if i > 0 && slices.ContainsFunc(x[at-800:at+1], func(v float32) bool { return v != 0 }) {
			t.Errorf("there is no silence before note %d", i)
		}
		if sounds := x[at+1] != 0; sounds != (e.Hz > 0) {
			t.Errorf("note %d sounds one sample after its onset: %v", i, sounds)
		}
	}
	if end := score.length(); end != 3*Beat(bpm)+2*Beat(bpm) {
		t.Errorf("the line takes %v", end)
	}
}

func TestAStrumSpreadsItsStrings(t *testing.T) {
	s := Strum(time.Second, StrumSpread, 110, 220, 330)
	for i, e := range s {
		if e.At != time.Duration(i)*25*time.Millisecond || e.At+e.For != time.Second {
			t.Errorf("string %d sounds from %v to %v", i, e.At, e.At+e.For)
		}
	}
}

// A warmer guitar has less treble than the natural one, a brighter one more.
func TestTonesGoFromWarmToBright(t *testing.T) {
	for _, key := range []int{28, 40, 52, 64, 76} {
		var last float64
		for _, tone := range []Tone{Warm, Natural, Bright} {
			m := oracle.MeasureTimbre(render(t, Note(pitch(key, 440), time.Second), Options{Tone: tone}).Samples)
			if m.Centroid[0] < 1.15*last {
				t.Errorf("key %d: tone %d has its centroid at %.0f Hz, the one before at %.0f", key, tone, m.Centroid[0], last)
			}
			last = m.Centroid[0]
		}
	}
}

func TestTheFirstBeatIsAccented(t *testing.T) {
	x := render(t, CountIn(120, 2), Options{}).Samples
	crossings := func(x []float32) (n int) {
		for i := 1; i < len(x); i++ {
			if x[i-1] < 0 && x[i] >= 0 {
				n++
			}
		}
		return n
	}
	first, second := x[:288], x[24000:24288]
	if slices.Max(first) < 1.3*slices.Max(second) || crossings(first) <= crossings(second) {
		t.Errorf("the first beat peaks at %.3f with %d waves, the second at %.3f with %d", slices.Max(first), crossings(first), slices.Max(second), crossings(second))
	}
}

func TestScoresJoinWithoutChangingTheirParts(t *testing.T) {
	a, b := Note(110, time.Second), Rest(time.Second)
	c := a.Then(b).Then(Note(220, time.Second)).with(Note(330, 500*time.Millisecond))
	if a[0].At != 0 || b[0].At != 0 || c.length() != 3*time.Second || c[2].At != 2*time.Second || c[3].At != 0 {
		t.Errorf("got %v of %v", c, c.length())
	}
	if n := CountIn(60, 4); len(n) != 4 || n[0].Sound != Accent || n[3].Sound != Click || n.length() != 4*time.Second {
		t.Errorf("a bar of four counts as %v", n)
	}
	if got := Beat(0); got != 3*time.Second {
		t.Errorf("a beat at tempo 0 is %v, want that of %d", got, SlowestTempo)
	}
}

func TestAStreamIsTheSameHoweverItIsCut(t *testing.T) {
	p := Pluck{Hz: 196, For: 300 * time.Millisecond}
	var whole, cut String
	if err := whole.strike(p, 48000); err != nil {
		t.Fatal(err)
	}
	want := make([]float32, 20000)
	if n := whole.Stream(want); n != 14400 {
		t.Errorf("a note of 300 ms streams %d samples, want 14400", n)
	}
	if whole.Stream(want) != 0 {
		t.Error("a voice that has ended sounds again")
	}
	if err := cut.strike(p, 48000); err != nil {
		t.Fatal(err)
	}
	got := make([]float32, 20000)
	size := 1
	for from := 0; from < len(got); size = size*7%1901 + 1 {
		to := min(from+size, len(got))
		cut.Stream(got[from:to])
		from = to
	}
	if !slices.Equal(got, want) {
		t.Error("the samples depend on how the stream is cut")
	}
}

func TestAStrikeAndItsStreamAllocateNothing(t *testing.T) {
	var s String
	dst := make([]float32, 480)
	strike := func() {
		for _, hz := range []float64{HighestHz, 82.41, LowestHz} {
			if err := s.strike(Pluck{Hz: hz}, 48000); err != nil {
				t.Fatal(err)
			}
			s.Stream(dst)
		}
	}
	if n := testing.AllocsPerRun(100, strike); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

// Ringing on, a string reaches numbers so small that the machine slows down.
func TestAVoiceEndsBeforeItsNumbersGetTooSmall(t *testing.T) {
	for _, hz := range []float64{LowestHz, 82.41, 659.26, HighestHz} {
		var s String
		if err := s.strike(Pluck{Hz: hz, Velocity: 0.1}, 48000); err != nil {
			t.Fatal(err)
		}
		x := make([]float32, 48000*60)
		n := s.Stream(x)
		if n == len(x) {
			t.Errorf("%g Hz rings for ever", hz)
		}
		small := 0
		for _, v := range x[:n-samples(defaultRelease, 48000)] {
			if v != 0 && math.Abs(float64(v)) < 0x1p-126 {
				small++
			}
		}
		if small > 0 {
			t.Errorf("%g Hz: %d of %d samples are denormal", hz, small, n)
		}
		if hz < 80 {
			continue
		}
		first, last := amplitude(x[:4800], 48000, hz, hz), amplitude(x[n-9600:n-4800], 48000, hz, hz)
		if db := 20 * math.Log10(last/first); db < -110 || db > -85 {
			t.Errorf("%g Hz ends %.0f dB under its start, want about -100", hz, db)
		}
	}
}

func TestBadScoresAreSaidInOneSentence(t *testing.T) {
	for want, r := range map[string]struct {
		score Score
		rate  int
	}{
		"cannot sound 5 Hz":          {score: Note(5, time.Second)},
		"cannot sound NaN Hz":        {score: Note(math.NaN(), time.Second)},
		"cannot sound 0 Hz":          {score: Score{{}}},
		"cannot last -1s":            {score: Note(110, -time.Second)},
		"event 2 of the score":       {score: Rest(0).Then(Note(5, 0))},
		"choose 44100 or 48000":      {rate: 22050},
		"velocity 2 is out of range": {score: Score{{Pluck: Pluck{Hz: 110, Velocity: 2}}}},
		"there is no tone 3":         {score: Score{{Pluck: Pluck{Hz: 110, tone: 3}}}},
		"cannot start at -1s":        {score: Score{{At: -time.Second}}},
		"is too long to render":      {score: Rest(time.Hour)},
		"click or rest cannot last":  {score: Rest(-1)},
	} {
		_, err := Render(r.score, Options{Rate: r.rate})
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("got %v, want one sentence with %q", err, want)
		}
	}
	if cue := render(t, nil, Options{}); len(cue.Samples) != 0 || cue.Rate != defaultRate {
		t.Errorf("an empty score renders %v", cue)
	}
}

func TestEveryDroneFitsItsLoop(t *testing.T) {
	for key := 30; key < 60; key++ {
		hz := []float64{pitch(key, 440), pitch(key+7, 440)}
		n := seamless(hz, 48000)
		if n < 4*48000 || n >= 8*48000 {
			t.Errorf("key %d: a loop of %d samples, want 4 to 8 s", key, n)
		}
		for _, f := range hz {
			cycles := f * float64(n) / 48000
			if bent := cents(math.Round(cycles), cycles); math.Abs(bent) > 0.01 {
				t.Errorf("key %d: %.2f Hz is bent by %.4f cents", key, f, bent)
			}
		}
	}
}

func TestADroneRepeatsWithoutASeam(t *testing.T) {
	for _, key := range []int{33, 39, 40, 46, 52} {
		root, fifth := pitch(key, 440), pitch(key+7, 440)
		cue, err := Drone(Options{}, root, fifth)
		if err != nil {
			t.Fatal(err)
		}
		x := cue.Samples
		if !cue.Loop || cue.Duration() < 4*time.Second || cue.Duration() > 8*time.Second {
			t.Errorf("key %d: a loop %v of %v", key, cue.Loop, cue.Duration())
		}
		if math.Abs(float64(x[0])) > 1e-6 {
			t.Errorf("key %d: the loop begins at %g", key, x[0])
		}
		seam := math.Abs(float64(x[0]) - float64(x[len(x)-1]))
		if seam > 1.05*steepest(x) {
			t.Errorf("key %d: a step of %g at the seam, %g elsewhere", key, seam, steepest(x))
		}
		long := cue.Unroll(10 * time.Second)
		if len(long.Samples) != 480000 || long.Samples[0] != 0 || long.Samples[479999] != 0 {
			t.Errorf("key %d: unrolled to %d samples", key, len(long.Samples))
		}
		for _, hz := range []float64{root, fifth} { // across the seam
			f, _ := partial(long.Samples[24000:456000], 48000, hz, root/2)
			if math.Abs(cents(f, hz)) > 0.01 {
				t.Errorf("key %d: %.2f Hz sounds %.4f cents off", key, hz, cents(f, hz))
			}
		}
		if l := loudness(x, 48000); math.Abs(l-cueLoudness) > 0.1 {
			t.Errorf("key %d: %.2f LUFS", key, l)
		}
	}
	if _, err := Drone(Options{}); err == nil {
		t.Error("a drone of nothing was made")
	}
	if _, err := Drone(Options{}, 5); err == nil {
		t.Error("a drone of 5 Hz was made")
	}
}

func ExampleRender() {
	// One bar of clicks at 72 beats a minute, then a walk from E up to A.
	score := CountIn(72, 4).Then(Line(72, 82.41, 92.50, 103.83, 110))
	cue, err := Render(score, Options{})
	fmt.Println(cue.Duration().Round(time.Millisecond), err)
	fmt.Printf("%.1f LUFS\n", loudness(cue.Samples, cue.Rate))
	// Output:
	// 7.5s <nil>
	// -23.0 LUFS
}

func ExampleString() {
	var s String // one voice, struck twice
	sound := make([]float32, 48000)
	for i, hz := range []float64{329.63, 246.94} {
		if err := s.strike(Pluck{Hz: hz, For: 400 * time.Millisecond}, 48000); err != nil {
			fmt.Println(err)
		}
		fmt.Println(s.Stream(sound[i*24000:]))
	}
	// Output:
	// 19200
	// 19200
}
