package listen_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/synth"
	"surefret/synth/listen"
)

// scale is every third key of a guitar, of strings in exact tune (the synth's own are
// held to a hundredth of a cent by its tests).
func scale(t testing.TB, rate int) (keys []float64, x []float32) {
	t.Helper()
	x = make([]float32, rate/2)
	for key := 40; key <= 79; key += 3 {
		cue, err := synth.Render(synth.Note(440*math.Exp2(float64(key-69)/12), 700*time.Millisecond), synth.Options{Rate: rate})
		if err != nil {
			t.Fatal(err)
		}
		keys = append(keys, float64(key))
		x = append(x, cue.Samples...)
		x = append(x, make([]float32, rate/2)...)
	}
	return keys, x
}

// heardKeys are the settled ones.
func heardKeys(events []listen.Event) (keys []float64) {
	for _, e := range events {
		if e.Kind == listen.Settled {
			keys = append(keys, e.Key)
		}
	}
	return keys
}

func TestStringsInTuneAreHeardInTune(t *testing.T) {
	for _, rate := range []int{44100, 48000} {
		want, x := scale(t, rate)
		got := heardKeys(listenTo(t, listen.Config{Rate: rate}, x))
		if !slices.EqualFunc(got, want, func(a, b float64) bool { return math.Abs(a-b) < 0.05 }) {
			t.Errorf("at %d samples a second: heard %.2f, want %v within 5 cents", rate, got, want)
		}
	}
}

// With another reference the same sound has another key.
func TestTheReferenceCounts(t *testing.T) {
	want, x := scale(t, 48000)
	got := heardKeys(listenTo(t, listen.Config{Rate: 48000, Reference: 432}, x))
	for i, key := range got {
		if d := key - want[i]; math.Abs(d-12*math.Log2(440.0/432)) > 0.05 {
			t.Errorf("key %v is heard %.2f off", want[i], d)
		}
	}
	if len(got) != len(want) {
		t.Errorf("heard %d notes, want %d", len(got), len(want))
	}
}

func TestHowTheStreamIsCutChangesNothing(t *testing.T) {
	_, x := scale(t, 48000)
	var want []listen.Event
	for _, size := range []int{len(x), 480, 1, 48001} {
		l, err := listen.New(listen.Config{Rate: 48000})
		if err != nil {
			t.Fatal(err)
		}
		var got []listen.Event
		for piece := range slices.Chunk(x, size) {
			got = append(got, l.Write(piece)...)
		}
		if want == nil {
			want = got
		}
		if len(got) == 0 || !slices.Equal(got, want) {
			t.Errorf("in pieces of %d: %d events, and other ones than in one piece", size, len(got))
		}
	}
}

func TestNothingIsAllocatedWhileListening(t *testing.T) {
	_, x := scale(t, 48000)
	l, err := listen.New(listen.Config{Rate: 48000})
	if err != nil {
		t.Fatal(err)
	}
	pieces := slices.Collect(slices.Chunk(x, 480))
	events := 0
	if n := testing.AllocsPerRun(1, func() {
		for _, p := range pieces {
			events += len(l.Write(p))
		}
	}); n > 0 || events == 0 {
		t.Errorf("%v allocations in %d pieces with %d events", n, len(pieces), events)
	}
}

// A gap in the sound of a note looks like another pluck; nothing is said of it.
func TestAGapInARingingNoteIsNoPluck(t *testing.T) {
	cue, err := synth.Render(synth.Note(110, 3*time.Second), synth.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, gap := range []int{60, 80} { // ms
		x := append(make([]float32, 24000), cue.Samples...)
		clear(x[24000+48000 : 24000+48000+gap*48])
		var kinds []listen.Kind
		for _, e := range listenTo(t, listen.Config{Rate: 48000}, x) {
			kinds = append(kinds, e.Kind)
		}
		if want := []listen.Kind{listen.Onset, listen.Heard, listen.Settled, listen.Onset}; !slices.Equal(kinds, want) {
			t.Errorf("with a gap of %d ms: %v, want %v", gap, kinds, want)
		}
	}
}

// Two notes that are struck together, and expected, are told once, however long they ring
// and though something else is expected meanwhile.
func TestAGripIsToldOnceAStroke(t *testing.T) {
	low, err := synth.Render(synth.Note(110, time.Second), synth.Options{})
	if err != nil {
		t.Fatal(err)
	}
	high, err := synth.Render(synth.Note(277.18, time.Second), synth.Options{})
	if err != nil {
		t.Fatal(err)
	}
	x := make([]float32, 24000)
	for i, v := range low.Samples {
		x = append(x, 0.5*(v+high.Samples[min(i, len(high.Samples)-1)]))
	}
	l, err := listen.New(listen.Config{Rate: 48000})
	if err != nil {
		t.Fatal(err)
	}
	told, at := 0, 0
	for piece := range slices.Chunk(x, 480) {
		up := 0.0
		if at += len(piece); at > 24000+15000 && at < 24000+20000 { // 0.3 to 0.4 s after they were struck
			up = 1
		}
		l.ExpectGrip([]float64{45 + up, 61 + up})
		for _, e := range l.Write(piece) {
			if e.Kind == listen.Heard && e.Key == 45 {
				told++
			}
		}
	}
	if told != 1 {
		t.Errorf("told %d times, want once", told)
	}
}

func TestClippingIsSeen(t *testing.T) {
	l, err := listen.New(listen.Config{Rate: 48000})
	if err != nil {
		t.Fatal(err)
	}
	l.Write([]float32{0.5, 1, -1, 0.5, 0.99, 0})
	if l.Clipped() {
		t.Error("two samples at full scale are no clipping")
	}
	l.Write([]float32{1, 1})
	l.Write([]float32{1, 0})
	if !l.Clipped() || l.Clipped() {
		t.Error("three samples at full scale are clipping, told once")
	}
}

func TestWhatCannotBeListenedToIsRefused(t *testing.T) {
	for want, c := range map[string]listen.Config{
		"8000 to 192000": {Rate: 4000},
		"keys 50 to 40":  {Rate: 48000, Low: 50, High: 40},
		"12 to 108":      {Rate: 48000, Low: 40, High: 120},
	} {
		if _, err := listen.New(c); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q in it", err, want)
		}
	}
}

// A second of playing; the time a run takes is the share of a core.
func BenchmarkSecondOfNotes(b *testing.B) {
	_, x := scale(b, 48000)
	l, err := listen.New(listen.Config{Rate: 48000})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		from := i * 48000 % (len(x) - 48000)
		for piece := range slices.Chunk(x[from:from+48000], 480) {
			l.Write(piece)
		}
	}
}
