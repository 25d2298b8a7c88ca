package listen_test

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"surefret/synth/listen"
	"surefret/testdata/oracle"
)

// walks are scales up from the low strings, in eighths at 100: each note ends the one
// before (damped), or all of them ring on, each on a channel of its own.
func walks(count int, ring bool) []oracle.Plucked {
	const eighth = 300 * time.Millisecond
	steps := []int{0, 2, 4, 5, 7}
	var notes []oracle.Plucked
	at := 400 * time.Millisecond
	for w := range count {
		root := 40 + 5*w%17
		for i, up := range steps {
			n := oracle.Plucked{At: at, For: eighth - 10*time.Millisecond, Key: root + up, Velocity: 75 + 10*(i%3)}
			if ring {
				n.Channel, n.For = i, time.Duration(len(steps)-i)*eighth
			}
			notes = append(notes, n)
			at += eighth
		}
		at += time.Second
	}
	return notes
}

// TestWalkUps hears each note of a walk beside the one that is expected.
func TestWalkUps(t *testing.T) {
	count := 3
	if oracle.All() {
		count = 24
	}
	for _, ring := range []bool{false, true} {
		var mu sync.Mutex
		results := map[int]map[listen.Verdict]int{0: {}, -1: {}, 1: {}}
		t.Run(fmt.Sprint("ringing ", ring), func(t *testing.T) {
			for _, font := range oracle.Fonts {
				for _, program := range judged {
					t.Run(fmt.Sprint(font, program), func(t *testing.T) {
						t.Parallel()
						played := walks(count, ring)
						x := oracle.Guitars(t, font, program, !ring, played)
						for _, off := range []int{0, -1, 1} {
							for _, v := range hearWalk(t, x, played, off) {
								mu.Lock()
								results[off][v]++
								mu.Unlock()
							}
						}
					})
				}
			}
		})
		notes := 0
		for _, n := range results[0] {
			notes += n
		}
		share := func(n, of int) float64 { return 100 * float64(n) / float64(of) }
		right := share(results[0][listen.Right], notes)
		if least := map[bool]float64{false: 95, true: 90}[ring]; right < least {
			t.Errorf("ringing %v: %.1f %% of %d notes accepted, want %.0f", ring, right, notes, least)
		}
		if wrong := share(results[0][listen.Wrong], notes); wrong > 0.5 {
			t.Errorf("ringing %v: %.1f %% of right notes judged wrong", ring, wrong)
		}
		if off := share(results[-1][listen.Right]+results[1][listen.Right], 2*notes); off > 0.5 {
			t.Errorf("ringing %v: %.1f %% of notes a fret off accepted", ring, off)
		}
		t.Logf("| %s | %d | %.1f %% | %.1f %% | %.1f %% |", map[bool]string{false: "damped", true: "ringing"}[ring], notes,
			right, share(results[0][listen.Wrong], notes), share(results[-1][listen.Right]+results[1][listen.Right], 2*notes))
	}
}

// hearWalk judges each note against what is expected, off semitones from what is played.
func hearWalk(t *testing.T, x []float32, played []oracle.Plucked, off int) []listen.Verdict {
	l, err := listen.New(listen.Config{Rate: oracle.GuitarRate})
	if err != nil {
		t.Fatal(err)
	}
	verdicts := make([]listen.Verdict, len(played))
	next := 0
	for i := 0; i < len(x); i += 480 {
		for next+1 < len(played) && i >= sample(played[next+1].At-20*time.Millisecond) {
			next++
		}
		l.Expect(float64(played[next].Key + off))
		for _, e := range l.Write(x[i:min(i+480, len(x))]) {
			for k, n := range played {
				if late := e.At - n.At; late < -60*time.Millisecond || late > 150*time.Millisecond || verdicts[k] != listen.Undecided {
					continue
				}
				verdicts[k] = e.Judge(float64(n.Key+off), 0)
			}
		}
	}
	return verdicts
}
