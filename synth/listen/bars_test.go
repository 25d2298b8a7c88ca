package listen_test

import (
	"fmt"
	"math"
	"slices"
	"sync"
	"testing"
	"time"

	"surefret/synth/listen"
	"surefret/testdata/oracle"
)

// heard is what came of the notes of one condition.
type heard struct {
	notes, right, wrong int // wrong: a right note judged so
	taken               int // notes of which another than what was played was accepted
	times, onsets       []float64
}

// bars of one condition, as the issue of this package set them before it was written:
// shares of 1, and milliseconds.
type bars struct {
	wrong, taken, right float64
	median, most        float64
	earliest, latest    float64
	noAcceptance        bool
}

var conditions = []struct {
	name  string
	bars  bars
	whole bool // only where all is run
	make  func(t *testing.T, font string, program int, x []float32, notes []oracle.Plucked) []float32
}{
	{"clean", bars{taken: 0.003, right: 0.98, median: 150, most: 260, earliest: -10, latest: 12}, false, func(_ *testing.T, _ string, _ int, x []float32, _ []oracle.Plucked) []float32 {
		return x
	}},
	{"noise 10 dB", bars{taken: 0.01, right: 0.94, median: 160, most: 320, earliest: -15, latest: 15}, false, func(_ *testing.T, _ string, _ int, x []float32, notes []oracle.Plucked) []float32 {
		return noisy(x, notes, 10)
	}},
	{"laptop", bars{taken: 0.01, right: 0.94, median: 160, most: 320, earliest: -15, latest: 15}, false, func(_ *testing.T, _ string, _ int, x []float32, notes []oracle.Plucked) []float32 {
		return laptop(x, notes)
	}},
	{"ringing", bars{wrong: 0.01, noAcceptance: true}, false, ringing},
	{"ringing, noise 10 dB", bars{wrong: 0.02, noAcceptance: true}, true, func(t *testing.T, font string, program int, x []float32, notes []oracle.Plucked) []float32 {
		return noisy(ringing(t, font, program, x, notes), notes, 10)
	}},
}

// TestSingleNotes holds notes of six recorded guitars to the bars: a tenth of the
// places, or all of them where oracle.All asks for them.
func TestSingleNotes(t *testing.T) {
	every := 10
	if oracle.All() {
		every = 1
	}
	results := make([]heard, len(conditions))
	var mu sync.Mutex
	t.Run("sets", func(t *testing.T) {
		for f, font := range oracle.Fonts {
			for p, program := range judged {
				t.Run(fmt.Sprint(font, program), func(t *testing.T) {
					t.Parallel()
					notes := places(every, uint64(3*f+p))
					x := oracle.Guitars(t, font, program, true, notes)
					for i, c := range conditions {
						if c.whole && !oracle.All() {
							continue
						}
						var h heard
						h.hear(t, c.make(t, font, program, x, notes), notes)
						mu.Lock()
						results[i].add(h)
						mu.Unlock()
					}
				})
			}
		}
	})
	for i, c := range conditions {
		if results[i].notes > 0 {
			results[i].judge(t, c.name, c.bars)
		}
	}
}

func (h *heard) add(o heard) {
	h.notes, h.right, h.wrong, h.taken = h.notes+o.notes, h.right+o.right, h.wrong+o.wrong, h.taken+o.taken
	h.times, h.onsets = append(h.times, o.times...), append(h.onsets, o.onsets...)
}

// hear judges each note against what was played, and sees whether another would have
// been accepted in its place.
func (h *heard) hear(t *testing.T, x []float32, notes []oracle.Plucked) {
	events := listenTo(t, listen.Config{Rate: oracle.GuitarRate}, x)
	for _, n := range notes {
		h.notes++
		verdict, taken, onset := listen.Undecided, false, false
		for _, e := range events {
			late := e.At - n.At
			if late < -50*time.Millisecond || late > 650*time.Millisecond {
				continue
			}
			if e.Kind == listen.Onset && !onset {
				onset = true
				h.onsets = append(h.onsets, ms(late))
			}
			v := e.Judge(float64(n.Key), n.Cents/100)
			taken = taken || e.Kind == listen.Heard && v != listen.Right
			if v != listen.Undecided && verdict == listen.Undecided {
				verdict = v
				if v == listen.Right {
					h.right++
					h.times = append(h.times, ms(e.Known-n.At))
				}
			}
		}
		if verdict == listen.Wrong {
			h.wrong++
			t.Logf("key %d at velocity %d is judged wrong", n.Key, n.Velocity)
		}
		if taken {
			h.taken++
		}
	}
}

// judge holds what was heard to the bars, and prints the row for BARS.md.
func (h *heard) judge(t *testing.T, name string, b bars) {
	share := func(n int) float64 { return float64(n) / float64(h.notes) }
	t.Logf("| %s | %d | %d | %.1f %% | %.1f %% | %.0f / %.0f | %.0f to %.0f |", name, h.notes, h.wrong, 100*share(h.taken), 100*share(h.right),
		percentile(h.times, 50), percentile(h.times, 95), percentile(h.onsets, 5), percentile(h.onsets, 95))
	if share(h.wrong) > b.wrong {
		t.Errorf("%s: %d of %d right notes judged wrong", name, h.wrong, h.notes)
	}
	if b.noAcceptance {
		return
	}
	if share(h.taken) > b.taken {
		t.Errorf("%s: another note accepted for %d of %d", name, h.taken, h.notes)
	}
	if share(h.right) < b.right {
		t.Errorf("%s: %d of %d right notes accepted", name, h.right, h.notes)
	}
	if percentile(h.times, 50) > b.median || percentile(h.times, 95) > b.most {
		t.Errorf("%s: told after %.0f and %.0f ms", name, percentile(h.times, 50), percentile(h.times, 95))
	}
	if percentile(h.onsets, 5) < b.earliest || percentile(h.onsets, 95) > b.latest {
		t.Errorf("%s: onsets from %.0f to %.0f ms", name, percentile(h.onsets, 5), percentile(h.onsets, 95))
	}
}

// listenTo hears a whole recording, in pieces as a device has them.
func listenTo(t testing.TB, c listen.Config, x []float32) []listen.Event {
	t.Helper()
	l, err := listen.New(c)
	if err != nil {
		t.Fatal(err)
	}
	var events []listen.Event
	for piece := range slices.Chunk(x, c.Rate/100) {
		events = append(events, l.Write(piece)...)
	}
	return events
}

func ms(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// percentile of values, which it sorts.
func percentile(values []float64, p int) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	slices.Sort(values)
	return values[(len(values)-1)*p/100]
}
