package synth

import (
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"surefret/testdata/oracle"
)

// Each benchmark prints how many times faster than it sounds a voice is made,
// start included, and beside it what copying the same samples costs, which no
// synth can beat. The custom figures are of the best iteration, since others
// share the machine; ns/op is the mean as ever.
func BenchmarkVoice(b *testing.B) {
	for _, n := range []struct {
		name string
		hz   float64
	}{{"B0", 30.87}, {"B1", 61.74}, {"E2", 82.41}, {"E3", 164.81}, {"E4", 329.63}, {"E5", 659.26}, {"E6", 1318.51}} {
		b.Run(n.name, func(b *testing.B) {
			const length = 3 * time.Second
			dst := make([]float32, samples(length, defaultRate))
			var s String
			b.ReportAllocs()
			s.strike(Pluck{Hz: n.hz, For: length}, defaultRate)
			least := time.Hour
			for b.Loop() {
				start := time.Now()
				s.strike(Pluck{Hz: n.hz, For: length}, defaultRate)
				for i := 0; i < len(dst); i += 480 {
					s.Stream(dst[i : i+480])
				}
				least = min(least, time.Since(start))
			}
			b.ReportMetric(length.Seconds()/least.Seconds(), "x-real-time")
			b.ReportMetric(float64(least.Nanoseconds())/float64(len(dst)), "ns/sample")
			b.ReportMetric(least.Seconds()/copyTime(dst).Seconds(), "x-copy")
		})
	}
}

func BenchmarkSixStringChord(b *testing.B) {
	score := Strum(4*time.Second, StrumSpread, 82.41, 110, 146.83, 196, 246.94, 329.63)
	b.ReportAllocs()
	least := time.Hour
	for b.Loop() {
		start := time.Now()
		if _, err := Render(score, Options{}); err != nil {
			b.Fatal(err)
		}
		least = min(least, time.Since(start))
	}
	b.ReportMetric(least.Seconds()*1000, "ms/chord")
	b.ReportMetric(4/least.Seconds(), "x-real-time")
}

// copyTime is what it takes to copy the samples once, the machine's bandwidth.
func copyTime(src []float32) time.Duration {
	dst := make([]float32, len(src))
	return best(20, func() error { copy(dst, src); return nil })
}

// The same six notes by sox and by us in one run: a voice second must cost us at
// most a fifth. Each is the best of several tries, since others share the machine.
func BenchmarkBesideSox(b *testing.B) {
	sox := oracle.Program(b, "sox")
	notes := []float64{82.41, 110, 146.83, 196, 246.94, 329.63}
	const length = 20 // seconds of each
	dst := make([]float32, defaultRate)
	var s String
	var ours, theirs time.Duration
	for b.Loop() {
		ours, theirs = 0, 0
		for _, hz := range notes {
			ours += length * best(60, func() error { // one second each, start included
				err := s.strike(Pluck{Hz: hz, For: time.Second}, defaultRate)
				s.Stream(dst)
				return err
			})
			theirs += best(4, func() error {
				return exec.Command(sox, "-n", "-r", "48000", "-t", "f32", os.DevNull,
					"synth", strconv.Itoa(length), "pluck", strconv.FormatFloat(hz, 'f', 2, 64)).Run()
			})
		}
	}
	seconds := float64(length * len(notes))
	b.ReportMetric(seconds/ours.Seconds(), "x-real-time")
	b.ReportMetric(seconds/theirs.Seconds(), "x-real-time-sox")
	b.ReportMetric(theirs.Seconds()/ours.Seconds(), "x-faster")
	if theirs < 5*ours {
		b.Errorf("sox takes %v, we %v: want at least five times faster", theirs, ours)
	}
}

// best is the shortest that f takes in some tries; a failure takes for ever.
func best(tries int, f func() error) time.Duration {
	least := time.Hour
	for range tries {
		start := time.Now()
		if f() == nil {
			least = min(least, time.Since(start))
		}
	}
	return least
}
