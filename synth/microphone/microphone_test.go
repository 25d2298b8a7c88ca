package microphone

import (
	"context"
	"errors"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"
)

// fake is a sound system whose device gives ten milliseconds at a time.
type fake struct {
	inputs    []Input
	openErr   error
	hangs     bool          // Open never returns
	slow      time.Duration // until the first samples
	zero      bool
	dies      time.Duration // after which no more samples come; 0 is never
	hangsShut bool
	open      atomic.Int32 // devices that are
	hung      chan struct{}
}

func (f *fake) Inputs() ([]Input, error) {
	if f.inputs == nil {
		return []Input{{"Interface", true}, {"Monitor of Speakers", false}, {"Built-in Audio", false}}, nil
	}
	return f.inputs, nil
}

func (f *fake) Open(_ string, heard func([]float32)) (Device, error) {
	if f.hangs {
		<-f.hung
	}
	if f.openErr != nil {
		return nil, f.openErr
	}
	d := &fakeDevice{f: f, stop: make(chan struct{}), stopped: make(chan struct{})}
	f.open.Add(1)
	go d.run(heard)
	return d, nil
}

type fakeDevice struct {
	f             *fake
	stop, stopped chan struct{}
}

func (d *fakeDevice) run(heard func([]float32)) {
	defer close(d.stopped)
	time.Sleep(d.f.slow)
	block := make([]float32, rate/100)
	for i := range block {
		if !d.f.zero {
			block[i] = 0.1
		}
	}
	for at := time.Duration(0); ; at += 10 * time.Millisecond {
		select {
		case <-d.stop:
			return
		case <-time.After(10 * time.Millisecond):
		}
		if d.f.dies == 0 || at < d.f.dies {
			heard(block)
		}
	}
}

func (d *fakeDevice) Close() {
	if d.f.hangsShut {
		<-d.f.hung
	}
	close(d.stop)
	<-d.stopped
	d.f.open.Add(-1)
}

func TestTroubleIsToldInOneSentenceAndInTime(t *testing.T) {
	for name, c := range map[string]struct {
		f      *fake
		within time.Duration
		want   error
	}{
		"no device": {&fake{openErr: ErrNone}, 10 * time.Millisecond, ErrNone},
		"no inputs": {&fake{inputs: []Input{}}, 10 * time.Millisecond, ErrNone},
		"hung open": {&fake{hangs: true}, 2 * time.Second, errStuck},
		"no sample": {&fake{slow: time.Hour}, 3200 * time.Millisecond, errLost},
		"refused":   {&fake{zero: true}, 2200 * time.Millisecond, errMute},
		"lost":      {&fake{dies: 5 * time.Second}, 6 * time.Second, errLost},
		"killed":    {&fake{dies: 5 * time.Second, hangsShut: true}, 6 * time.Second, errLost},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				c.f.hung = make(chan struct{})
				start := time.Now()
				m, err := Open(t.Context(), c.f, "")
				for err == nil {
					_, err = m.Next(t.Context())
				}
				if m != nil && m.Waiting() == 0 { // nobody would ask for why
					t.Error("it failed, and nothing is waiting")
				}
				if took := time.Since(start); !errors.Is(err, c.want) || took > c.within || strings.Contains(err.Error(), "\n") {
					t.Errorf("after %v: %v, want %v within %v", took, err, c.want, c.within)
				}
				start = time.Now()
				if m != nil {
					m.Close()
				}
				if took := time.Since(start); took > closeLimit {
					t.Errorf("closing took %v", took)
				}
				close(c.f.hung) // lets what hangs end, or this test never would
				time.Sleep(2 * time.Hour)
			})
		})
	}
}

func TestSamplesComeInOrderAndAFullRingDropsTheOldest(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := &fake{}
		m, err := Open(t.Context(), f, "interface")
		if err != nil {
			t.Fatal(err)
		}
		time.Sleep(10 * time.Second)
		if n := m.Waiting(); n != ringTime*rate {
			t.Errorf("%d samples wait, want four seconds of them", n)
		}
		total := 0
		for m.Waiting() > 0 {
			x, err := m.Next(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			total += len(x)
		}
		if total < ringTime*rate {
			t.Errorf("took %d samples", total)
		}
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		for err == nil {
			_, err = m.Next(ctx)
		}
		if !errors.Is(err, context.Canceled) {
			t.Error(err)
		}
		m.Close()
	})
}

func TestNothingIsLeftOfAThousandOpens(t *testing.T) {
	synctest.Test(t, func(t *testing.T) { // it fails where a goroutine is left at its end
		f := &fake{}
		for range 1000 {
			m, err := Open(t.Context(), f, "")
			if err != nil {
				t.Fatal(err)
			}
			m.Close()
			m.Close()
		}
		if n := f.open.Load(); n != 0 {
			t.Errorf("%d devices are left open", n)
		}
	})
}

func TestInputsAreChosenByName(t *testing.T) {
	inputs, err := Inputs(&fake{})
	if err != nil || slices.ContainsFunc(inputs, func(in Input) bool { return strings.HasPrefix(in.Name, "Monitor") }) {
		t.Errorf("%v, %v: a monitor hears the program itself", inputs, err)
	}
	for name, want := range map[string]string{"": "", "built": "Built-in Audio", "Interface": "Interface"} {
		if got, err := choose(inputs, name); err != nil || got != want {
			t.Errorf("%q chooses %q, %v", name, got, err)
		}
	}
	for _, name := range []string{"i", "radio"} {
		if _, err := choose(inputs, name); !errors.Is(err, ErrUnnamed) || !strings.Contains(err.Error(), `"Built-in Audio"`) {
			t.Errorf("%q: %v, want the names there are", name, err)
		}
	}
}
