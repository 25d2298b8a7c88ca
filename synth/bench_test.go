package synth

import (
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"
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
			dst := make([]float32, samples(length, DefaultRate))
			var s String
			b.ReportAllocs()
			s.Strike(Pluck{Hz: n.hz, For: length}, DefaultRate)
			best := time.Hour
			for b.Loop() {
				start := time.Now()
				s.Strike(Pluck{Hz: n.hz, For: length}, DefaultRate)
				for i := 0; i < len(dst); i += 480 {
					s.Stream(dst[i : i+480])
				}
				best = min(best, time.Since(start))
			}
			b.ReportMetric(length.Seconds()/best.Seconds(), "x-real-time")
			b.ReportMetric(float64(best.Nanoseconds())/float64(len(dst)), "ns/sample")
			b.ReportMetric(best.Seconds()/copyTime(dst).Seconds(), "x-copy")
		})
	}
}

func BenchmarkSixStringChord(b *testing.B) {
	score := Strum(4*time.Second, StrumSpread, 82.41, 110, 146.83, 196, 246.94, 329.63)
	b.ReportAllocs()
	best := time.Hour
	for b.Loop() {
		start := time.Now()
		if _, err := Render(score, Options{}); err != nil {
			b.Fatal(err)
		}
		best = min(best, time.Since(start))
	}
	b.ReportMetric(best.Seconds()*1000, "ms/chord")
	b.ReportMetric(4/best.Seconds(), "x-real-time")
}

// copyTime is what it takes to copy the samples once, the machine's bandwidth.
func copyTime(src []float32) time.Duration {
	dst := make([]float32, len(src))
	best := time.Hour
	for range 20 {
		start := time.Now()
		copy(dst, src)
		best = min(best, time.Since(start))
	}
	return best
}

// The same six notes, 60 s of each, by sox and by us in one run. A voice second
// must cost us at most a fifth.
func BenchmarkBesideSox(b *testing.B) {
	sox := tool(b, "sox", "sox")
	notes := []float64{82.41, 110, 146.83, 196, 246.94, 329.63}
	dst := make([]float32, 3*DefaultRate)
	var s String
	ours, theirs := time.Hour, time.Hour
	for b.Loop() {
		start := time.Now()
		for _, hz := range notes {
			for range 20 { // three seconds each, as they are played
				if err := s.Strike(Pluck{Hz: hz, For: 3 * time.Second}, DefaultRate); err != nil {
					b.Fatal(err)
				}
				s.Stream(dst)
			}
		}
		ours = min(ours, time.Since(start))
		start = time.Now()
		for _, hz := range notes {
			cmd := exec.Command(sox, "-n", "-r", "48000", "-t", "f32", os.DevNull, "synth", "60", "pluck", strconv.FormatFloat(hz, 'f', 2, 64))
			if err := cmd.Run(); err != nil {
				b.Fatalf("sox: %v", err)
			}
		}
		theirs = min(theirs, time.Since(start))
	}
	b.ReportMetric(360/ours.Seconds(), "x-real-time")
	b.ReportMetric(360/theirs.Seconds(), "x-real-time-sox")
	b.ReportMetric(theirs.Seconds()/ours.Seconds(), "x-faster")
	if theirs < 5*ours {
		b.Errorf("sox takes %v, we %v: want at least five times faster", theirs, ours)
	}
}
