//go:build !windows

package screen

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/creack/pty"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
)

// A ticking clock is that of a sound which began at a time.
type ticking time.Time

func (t ticking) At() time.Duration { return time.Since(time.Time(t)) }
func (ticking) Lost() time.Duration { return 0 }

// BenchmarkTheMarkFollowsTheClick measures at a pseudo-terminal how far from each beat of a
// run its number is marked, before it or after: the bar is 20 ms at the 99th percentile.
func BenchmarkTheMarkFollowsTheClick(b *testing.B) {
	var late []time.Duration
	for b.Loop() {
		late = append(late, timesOf(b)...)
	}
	slices.Sort(late)
	b.ReportMetric(late[0].Seconds()*1000, "first-ms")
	b.ReportMetric(late[len(late)/2].Seconds()*1000, "median-ms")
	b.ReportMetric(late[len(late)-1].Seconds()*1000, "last-ms")
	for i := range late {
		late[i] = late[i].Abs()
	}
	slices.Sort(late)
	b.ReportMetric(late[int(0.99*float64(len(late)-1))].Seconds()*1000, "off-p99-ms")
}

// timesOf runs eight bars at 240 beats a minute and returns how late each beat was marked.
func timesOf(b *testing.B) (late []time.Duration) {
	master, tty, err := pty.Open()
	if err != nil {
		b.Skipf("no pseudo-terminal: %v", err)
	}
	defer master.Close()
	if err := pty.Setsize(tty, &pty.Winsize{Cols: 80, Rows: 24}); err != nil {
		b.Fatal(err)
	}
	song := gig.Song{Title: "Tin Umbrella", Learned: "G", Called: "Ab", Sections: []gig.Section{{Name: "verse", Chords: "| 1 | 6- | 4 | 5 | 1 | 6- | 4 | 5 |"}}}
	pl, err := practice.Open(b.Context(), &practicetest.Log{Repertoire: []gig.Song{song}}, time.Now)
	if err != nil {
		b.Fatal(err)
	}
	run, err := rehearse.Of(song, pl.Setup().Neck, 240)
	if err != nil {
		b.Fatal(err)
	}
	began := time.Now()
	ctx, stop := context.WithCancel(b.Context())
	ended := make(chan error)
	go func() {
		_, err := Rehearse(ctx, RehearseOptions{
			Title: song.Title, Run: run, Neck: pl.Setup().Neck, In: tty, Out: tty, Stop: func() {}, Louder: func() {},
			Begin: func(r rehearse.Run, part bool) *practice.Rehearsal { return pl.BeginRehearsal(song, r, part) },
			Play: func(r rehearse.Run, _ Backing) (Clock, time.Duration) {
				began = time.Now()
				return ticking(began), r.Time(r.Bars[0].Length)
			},
		})
		ended <- err
	}()
	beats := 4 * (len(run.Bars) + 1)
	buf := make([]byte, 1<<16)
	for beat := 1; beat < beats; {
		n, err := master.Read(buf)
		at := time.Now()
		if err != nil {
			b.Fatal(err)
		}
		if bytes.Contains(buf[:n], fmt.Appendf(nil, "[%d]", beat%4+1)) {
			if beat > 4 { // the count-in has the start of the program in it
				late = append(late, at.Sub(began)-run.Time(float64(beat)))
			}
			beat++
		}
	}
	stop()
	<-ended
	tty.Close()
	return late
}
