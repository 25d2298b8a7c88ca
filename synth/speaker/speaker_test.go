package speaker

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"surefret/synth"
)

func note(t testing.TB, d time.Duration) synth.Cue {
	t.Helper()
	cue, err := synth.Render(synth.Note(196, d), synth.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return cue
}

// steepest is the largest step between neighbours.
func steepest(x []float32) (most float32) {
	for i := 1; i < len(x); i++ {
		most = max(most, x[i]-x[i-1], x[i-1]-x[i])
	}
	return most
}

// on runs a test of a Speaker on a fake device in a bubble of fake time.
func on(t *testing.T, f *fake, test func(t *testing.T, s *Speaker)) {
	synctest.Test(t, func(t *testing.T) {
		s := &Speaker{Device: f}
		f.openHang = make(chan struct{})
		test(t, s)
		ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
		defer cancel()
		if err := s.Close(ctx); err != nil {
			t.Errorf("close: %v", err)
		}
		f.end()
	})
}

func TestTheZeroSpeakerIsReady(t *testing.T) {
	var s Speaker
	if st := s.Status(); st.State != Idle || st.reason != "" || s.Volume() != synth.DefaultVolume {
		t.Errorf("got %+v at %g dB", st, s.Volume())
	}
	s.SetVolume(+10)
	if s.Volume() != synth.LoudestVolume {
		t.Errorf("volume %g dB, want at most %g", s.Volume(), synth.LoudestVolume)
	}
	if err := s.Close(t.Context()); err != nil {
		t.Error(err)
	}
}

func TestACueAtAnotherRateIsRefused(t *testing.T) {
	var s Speaker
	if err := s.Play(synth.Cue{Rate: 44100}); err == nil || !strings.Contains(err.Error(), "render it at 48000") {
		t.Errorf("got %v", err)
	}
}

func TestCuesAreHeardSampleBySampleAfterTheFirstHasRisen(t *testing.T) {
	f := &fake{}
	on(t, f, func(t *testing.T, s *Speaker) {
		s.SetVolume(0)
		s.Play(synth.Cue{Samples: make([]float32, 480), Rate: Rate}) // silence is not a first sound
		time.Sleep(time.Second)
		cue := note(t, 500*time.Millisecond)
		for i := range 2 {
			f.do(func() { f.heard = nil })
			before := time.Now()
			if err := s.Play(cue); err != nil || time.Since(before) != 0 {
				t.Fatalf("Play took %v, %v", time.Since(before), err)
			}
			if s.Status().State != Playing {
				t.Errorf("status %+v while playing", s.Status())
			}
			time.Sleep(time.Second)
			if s.Status().State != Idle {
				t.Errorf("status %+v after the cue", s.Status())
			}
			from := 0
			for from < len(f.heard) && f.heard[from] == 0 {
				from++
			}
			start := f.heard[max(from-2, 0):]
			switch peak := steepest(start[:960]) / steepest(cue.Samples[:960]); {
			case i == 0 && peak > 0.2:
				t.Errorf("the first sound of a run starts at %.2f of its height", peak)
			case i == 1 && peak != 1:
				t.Errorf("the second sound starts at %.2f of its height", peak)
			}
			if i == 1 {
				for n, v := range cue.Samples[1:] {
					if f.heard[from+n] != v {
						t.Fatalf("sample %d is %g, want %g", n+1, f.heard[from+n], v)
					}
				}
			}
		}
	})
}

func TestStoppingAndReplacingMakeNoClick(t *testing.T) {
	f := &fake{}
	on(t, f, func(t *testing.T, s *Speaker) {
		cue := note(t, 3*time.Second)
		steady := steepest(cue.Samples[4800:24000]) * float32(synth.Gain(s.Volume()))
		s.Play(cue)
		time.Sleep(time.Second)
		s.Stop()
		time.Sleep(fadeTime)
		if got := steepest(f.heard); got > 1.05*steady {
			t.Errorf("stopping makes a step of %.2f times the steady slope", got/steady)
		}
		if loud := f.heard[len(f.heard)-2000:]; steepest(loud) != 0 {
			t.Error("it sounds on after Stop")
		}
		if s.Status().State != Idle {
			t.Errorf("status %+v after Stop", s.Status())
		}
		// A plucked string is near 0 for most of its period: cut a plain tone, and
		// at every phase of the device's period.
		tone := make([]float32, 3*Rate)
		for i := range tone {
			tone[i] = float32(0.2 * math.Sin(2*math.Pi*196*float64(i)/Rate))
		}
		cue = synth.Cue{Samples: tone, Rate: Rate}
		steady = steepest(tone) * float32(synth.Gain(s.Volume()))
		for i := range 40 {
			s.Play(cue)
			time.Sleep(500*time.Millisecond + time.Duration(i)*(fakePeriod+3*time.Millisecond))
			f.do(func() { f.heard = f.heard[len(f.heard)-1:] })
			if i%2 == 0 {
				s.Stop()
			} else {
				s.Play(synth.Cue{Samples: make([]float32, 48000), Rate: Rate})
			}
			time.Sleep(500 * time.Millisecond)
			if got := steepest(f.heard); got > 1.05*steady {
				t.Errorf("cut %d makes a step of %.2f times the steady slope", i, got/steady)
			}
		}
		if f.opens != 1 {
			t.Errorf("the device was opened %d times", f.opens)
		}
	})
}

// Bounds on how soon trouble is told, in the time of the bubble.
func TestTroubleIsToldOnceAndInTime(t *testing.T) {
	const length = 5 * time.Second
	for name, c := range map[string]struct {
		device *fake
		after  func(f *fake) // once a second of the cue has sounded
		within time.Duration
		says   string
	}{
		"no device":  {&fake{openErr: errors.New("No such file or directory")}, nil, 50 * time.Millisecond, "No sound device found"},
		"busy":       {&fake{openErr: errors.New("Device or resource busy")}, nil, 50 * time.Millisecond, "another program holds"},
		"hung open":  {&fake{hangs: true}, nil, 2 * time.Second, "does not answer"},
		"lost":       {&fake{}, func(f *fake) { f.err = errUnplugged }, 100 * time.Millisecond, "was lost"},
		"player":     {&fake{}, func(f *fake) { f.players[0].err = errUnplugged }, 100 * time.Millisecond, "was lost"},
		"hung write": {&fake{}, func(f *fake) { f.stuck = true }, stallLimit + 100*time.Millisecond, "does not answer"},
	} {
		t.Run(name, func(t *testing.T) {
			on(t, c.device, func(t *testing.T, s *Speaker) {
				s.Play(note(t, length))
				if c.after != nil {
					time.Sleep(time.Second)
					c.device.do(func() { c.after(c.device) })
				}
				start := time.Now()
				said := <-s.Notices()
				if took := time.Since(start); took > c.within {
					t.Errorf("told after %v, want within %v", took, c.within)
				}
				if !strings.Contains(said, c.says) || strings.Count(said, ".") != 1 || strings.Contains(said, "\n") {
					t.Errorf("said %q, want one sentence with %q", said, c.says)
				}
				for range 3 { // practice goes on
					if err := s.Play(note(t, time.Second)); err != nil {
						t.Error(err)
					}
					time.Sleep(time.Second)
				}
				select {
				case again := <-s.Notices():
					t.Errorf("said again: %q", again)
				default:
				}
				if st := s.Status(); st.State != Silent || st.reason != said {
					t.Errorf("status %+v", st)
				}
				if c.device.opens != 1 {
					t.Errorf("the device was tried %d times unasked", c.device.opens)
				}
				for _, p := range c.device.players {
					if !p.closed {
						t.Error("a sound on it is left open")
					}
				}
			})
		})
	}
}

// Another cue takes the place of one where that is: without a step, and no sample is lost.
func TestACueIsExchangedWhereItIs(t *testing.T) {
	level := func(v float32) synth.Cue {
		return synth.Cue{Samples: slices.Repeat([]float32{v}, 2*Rate), Rate: Rate}
	}
	f := &fake{}
	on(t, f, func(t *testing.T, s *Speaker) {
		s.Play(level(0.2))
		time.Sleep(time.Second)
		s.Exchange(level(0.4))
		time.Sleep(2 * time.Second)
		sounding := slices.DeleteFunc(slices.Clone(f.heard), func(v float32) bool { return v == 0 })
		if got := len(sounding); got < 2*Rate-Rate/100 || got > 2*Rate {
			t.Errorf("%d samples sound, want %d", got, 2*Rate)
		}
		if last, first := sounding[len(sounding)-1], sounding[Rate/2]; last < 1.99*first {
			t.Errorf("it ends at %g, and was at %g", last, first)
		}
		if step := steepest(sounding[Rate/2:]); step > 0.001 {
			t.Errorf("a step of %g", step)
		}
	})
}

// PulseAudio's output without a card was seen to take nothing for 2 s when it begins, and
// plays on then.
func TestADeviceThatBeginsLateIsWaitedFor(t *testing.T) {
	f := &fake{}
	f.onPlay = func() { f.do(func() { f.stuck = true }) }
	on(t, f, func(t *testing.T, s *Speaker) {
		s.Play(note(t, time.Second))
		time.Sleep(2 * time.Second)
		f.do(func() { f.stuck = false })
		time.Sleep(500 * time.Millisecond)
		if heard, ok := s.Heard(); !ok || heard == 0 {
			t.Errorf("%v were heard: %+v", heard, s.Status())
		}
	})
}

func TestAnIdleDeviceIsSuspendedAndWokenByTheNextCue(t *testing.T) {
	f := &fake{}
	on(t, f, func(t *testing.T, s *Speaker) {
		s.Play(note(t, time.Second))
		time.Sleep(2 * time.Second)
		if f.suspended {
			t.Error("suspended too soon")
		}
		time.Sleep(idleLimit)
		if !f.suspended {
			t.Error("an idle device runs on")
		}
		s.Play(note(t, time.Second))
		time.Sleep(200 * time.Millisecond)
		if f.suspended || s.Status().State != Playing {
			t.Error("the next cue does not wake it")
		}
		time.Sleep(2 * time.Second)
		if f.suspended {
			t.Error("after the next cue it is suspended too soon")
		}
		time.Sleep(idleLimit)
		if !f.suspended {
			t.Error("after the next cue it runs on")
		}
	})
}

func TestACueOrderedAsAnotherEndsIsPlaying(t *testing.T) {
	f := &fake{}
	on(t, f, func(t *testing.T, s *Speaker) {
		cue := note(t, time.Second)
		again := false
		f.onClose = func() {
			if !again {
				again = true
				s.Play(cue)
			}
		}
		f.onPlay = func() {
			if st := s.Status(); st.State != Playing {
				t.Errorf("status %+v, and a cue is ordered", st)
			}
		}
		s.Play(cue)
		time.Sleep(3 * time.Second)
		if !again || s.Status().State != Idle {
			t.Errorf("played again %v, status %+v", again, s.Status())
		}
	})
}

func TestACueStoppedBeforeItBeganIsNotHeard(t *testing.T) {
	f := &fake{}
	on(t, f, func(t *testing.T, s *Speaker) {
		f.onPlay = func() { // while the first begins, a second is ordered and called off
			f.onPlay = nil
			s.Play(note(t, time.Second))
			s.Stop()
		}
		s.Play(note(t, time.Second))
		time.Sleep(fadeTime)
		if s.Status().State != Idle || len(f.players) != 1 {
			t.Errorf("status %+v, %d sounds were played", s.Status(), len(f.players))
		}
	})
}

func TestVolumeReachesTheSoundThatPlays(t *testing.T) {
	f := &fake{}
	on(t, f, func(t *testing.T, s *Speaker) {
		s.Play(note(t, 4*time.Second))
		time.Sleep(time.Second)
		s.SetVolume(math.Inf(-1))
		time.Sleep(100 * time.Millisecond)
		f.do(func() { f.heard = nil })
		time.Sleep(500 * time.Millisecond)
		if steepest(f.heard) != 0 {
			t.Error("it is heard at no volume")
		}
	})
}

func TestCloseLetsTheTailEndButNoLonger(t *testing.T) {
	for name, c := range map[string]struct {
		cue         synth.Cue
		limit       time.Duration
		least, most time.Duration
		err         error
	}{
		"cue":         {note(t, 2*time.Second), 10 * time.Second, 2 * time.Second, 2300 * time.Millisecond, nil},
		"out of time": {note(t, 8*time.Second), time.Second, time.Second, 1100 * time.Millisecond, context.DeadlineExceeded},
		"loop":        {synth.Cue{Samples: note(t, time.Second).Samples, Rate: Rate, Loop: true}, 10 * time.Second, 0, fadeTime, nil},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				f := &fake{}
				s := &Speaker{Device: f}
				s.Play(c.cue)
				ctx, cancel := context.WithTimeout(t.Context(), c.limit)
				defer cancel()
				start := time.Now()
				err := s.Close(ctx)
				if took := time.Since(start); took < c.least || took > c.most || !errors.Is(err, c.err) {
					t.Errorf("closed after %v with %v, want %v to %v and %v", took, err, c.least, c.most, c.err)
				}
				if s.Play(c.cue); s.Status().State == Playing {
					t.Error("a closed speaker plays")
				}
				f.end()
			})
		})
	}
}

func TestALoopGoesOnUntilStopped(t *testing.T) {
	f := &fake{}
	on(t, f, func(t *testing.T, s *Speaker) {
		cue, err := synth.Drone(synth.Options{}, 77.78, 116.54)
		if err != nil {
			t.Fatal(err)
		}
		s.Play(note(t, time.Second)) // the first sound, which rises whatever it is
		time.Sleep(2 * time.Second)
		f.do(func() { f.heard = nil })
		s.Play(cue)
		time.Sleep(30 * time.Second)
		if s.Status().State != Playing {
			t.Errorf("status %+v", s.Status())
		}
		from := slices.IndexFunc(f.heard, func(v float32) bool { return v != 0 })
		if start, later := steepest(f.heard[from:from+960]), steepest(f.heard[from+9600:from+19200]); start > later/4 {
			t.Errorf("a loop starts at %.2f of its height", start/later)
		}
		if got, want := steepest(f.heard), 1.05*steepest(cue.Samples)*float32(synth.Gain(s.Volume())); got > want {
			t.Errorf("a step of %g, want at most %g", got, want)
		}
	})
}

// Whoever draws what sounds goes by it: it follows the time since the device began,
// less its latency, by a period of the device and a look of ours at the most.
func TestHowMuchOfACueWasHeard(t *testing.T) {
	f := &fake{}
	on(t, f, func(t *testing.T, s *Speaker) {
		if _, ok := s.Heard(); ok {
			t.Error("something was heard before the first cue")
		}
		for range 2 {
			s.Play(note(t, 3*time.Second))
			if d, ok := s.Heard(); ok {
				t.Errorf("%v was heard of a cue that has not begun", d)
			}
			for i := range 28 {
				time.Sleep(100 * time.Millisecond)
				want := time.Duration(i+1)*100*time.Millisecond - f.Latency()
				if d, ok := s.Heard(); !ok || d > want+fakePeriod || d < want-2*fakePeriod-tick { // a period of this very instant may count
					t.Fatalf("%v was heard, %v, want %v or a little less", d, ok, want)
				}
			}
		}
		time.Sleep(2 * time.Second)
		if _, ok := s.Heard(); ok {
			t.Error("something is heard after the cue")
		}
	})
}

func ExampleSpeaker() {
	s := Speaker{Device: new(fake)} // leave Device out for the machine's own
	cue, err := synth.Render(synth.Note(110, 50*time.Millisecond), synth.Options{})
	if err != nil {
		fmt.Println(err)
	}
	if err := s.Play(cue); err != nil { // at once
		fmt.Println(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Hour)
	defer cancel()
	fmt.Println(s.Close(ctx))
	// Output: <nil>
}
