//go:build !windows

package main

import (
	"bytes"
	"context"
	"encoding/binary"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"

	"surefret/cmd/surefret/console"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/settings"
	"surefret/store"
	"surefret/synth"
	"surefret/synth/speaker"
)

// An ear is a sound device that keeps what is played on it: the volume and the
// first second of each sound that is no silence.
type ear struct {
	mu     sync.Mutex
	sounds []heard
	plays  chan time.Time // when each was played
}

type heard struct {
	volume  float64
	samples []float32
}

func newEar() *ear { return &ear{plays: make(chan time.Time, 1000)} }

func (e *ear) Open() (speaker.Output, error) { return e, nil }

func (e *ear) Play(src io.Reader, volume float64) speaker.Player {
	at := time.Now()
	raw := make([]byte, 8*speaker.Rate)
	n, _ := io.ReadFull(src, raw)
	h := heard{volume, make([]float32, n/8)}
	loud := false
	for i := range h.samples {
		h.samples[i] = math.Float32frombits(binary.LittleEndian.Uint32(raw[8*i:]))
		loud = loud || h.samples[i] != 0
	}
	if loud {
		e.mu.Lock()
		e.sounds = append(e.sounds, h)
		e.mu.Unlock()
		e.plays <- at
	}
	return over{}
}

func (*ear) Suspend() error         { return nil }
func (*ear) Resume() error          { return nil }
func (*ear) Err() error             { return nil }
func (*ear) Latency() time.Duration { return 0 }

// over is a sound that is over at once.
type over struct{}

func (over) SetVolume(float64)       {}
func (over) IsPlaying() bool         { return false }
func (over) UnplayedBufferSize() int { return 0 }
func (over) Err() error              { return nil }
func (over) Close() error            { return nil }

// listening is a program whose sounds an ear hears, on the practice at path.
func listening(path string) (p *program, e *ear, out, errs *bytes.Buffer) {
	e, out, errs = newEar(), new(bytes.Buffer), new(bytes.Buffer)
	env := map[string]string{"SUREFRET_DB": path, "TERM": "xterm-256color", "LANG": "C.UTF-8"}
	return &program{Console: console.Console{In: strings.NewReader(""), Out: out, Err: errs, Getenv: func(key string) string { return env[key] }}, device: e}, e, out, errs
}

// saved makes a practice whose settings are saved, changed by with.
func saved(t testing.TB, with func(*settings.Settings)) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "surefret.db")
	db, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	s := settings.Default()
	with(&s)
	if err := db.SaveSettings(t.Context(), s.ToMap()); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

func asTheyAre(*settings.Settings) {}

// said counts the cautions in what a program said, however it was folded.
func said(text string) int {
	return strings.Count(strings.Join(strings.Fields(text), " "), synth.Caution)
}

// The first sound of a run, in practice too, is at the volume that was set, -12
// dB at first, and rises over a fifth of a second.
func TestTheFirstSoundIsSoftAndRises(t *testing.T) {
	for name, c := range map[string]struct {
		path string
		args string
		want float64 // dB
	}{
		"play, nothing set":     {filepath.Join(t.TempDir(), "new.db"), "play note A4", -12},
		"practice, nothing set": {filepath.Join(t.TempDir(), "new.db"), "practice --line --drill ear", -12},
		"play, set":             {saved(t, func(s *settings.Settings) { s.Volume = -20 }), "play note A4", -20},
		"practice, set":         {saved(t, func(s *settings.Settings) { s.Volume = 0 }), "practice --line --drill ear", 0},
		"over full scale":       {saved(t, func(s *settings.Settings) { s.Volume = 6 }), "play note A4", -12},
	} {
		p, e, _, errs := listening(c.path)
		if code := p.run(t.Context(), strings.Fields(c.args)); code != exitDone {
			t.Fatalf("%s: exit code %d, %s", name, code, errs)
		}
		if len(e.sounds) == 0 {
			t.Fatalf("%s: nothing is heard", name)
		}
		h := e.sounds[0]
		if got := 20 * math.Log10(h.volume); math.Abs(got-c.want) > 0.001 {
			t.Errorf("%s: played at %.2f dB, want %g", name, got, c.want)
		}
		peak := func(x []float32) (most float64) {
			for _, v := range x {
				most = max(most, math.Abs(float64(v)))
			}
			return most
		}
		whole := peak(h.samples[9600:19200])
		if start, middle := peak(h.samples[:480])/whole, peak(h.samples[4560:5040])/whole; start > 0.2 || middle < 0.3 || middle > 0.8 {
			t.Errorf("%s: starts at %.2f of its height and has %.2f after 0.1 s", name, start, middle)
		}
	}
}

// What to mind with sound is said before the first that is ever heard, once,
// whichever way it comes, and stands on the help pages.
func TestTheCautionIsSaidBeforeTheFirstSoundAndOnce(t *testing.T) {
	const practice = "practice --line --drill ear"
	for name, runs := range map[string][]struct {
		args string
		says int
	}{
		"play":                      {{"play note A4", 1}, {"play note A4", 0}, {"play drone E --wav " + filepath.Join(t.TempDir(), "a.wav"), 0}},
		"practice":                  {{practice, 1}, {practice, 0}},
		"play, then practice":       {{"play tuning", 1}, {practice, 0}},
		"practice, then play":       {{practice, 1}, {"play note A4", 0}},
		"silence first":             {{"practice --line --mute", 0}, {"play note A4 --wav " + filepath.Join(t.TempDir(), "b.wav"), 0}, {practice, 1}},
		"help":                      {{"play --help", 1}, {"play note --help", 1}, {"play part --help", 1}, {"play drone --help", 1}, {"practice --help", 1}},
		"practice that asks no ear": {{"practice --line --drill note --strings 6", 1}, {practice, 0}},
	} {
		path := saved(t, asTheyAre)
		for i, r := range runs {
			p, _, out, errs := listening(path)
			if code := p.run(t.Context(), strings.Fields(r.args)); code != exitDone {
				t.Errorf("%s, run %d: exit code %d, %s", name, i+1, code, errs)
			}
			text := errs.String()
			if strings.Contains(r.args, "--help") {
				text = out.String()
			} else if said(out.String()) > 0 {
				t.Errorf("%s, run %d: the caution is among the data:\n%s", name, i+1, out)
			}
			if got := said(text); got != r.says {
				t.Errorf("%s, run %d: the caution is said %d times, want %d:\n%s", name, i+1, got, r.says, text)
			}
		}
	}
	path := saved(t, func(s *settings.Settings) { s.Sound = false })
	p, _, _, errs := listening(path)
	if p.run(t.Context(), strings.Fields("practice --line")); said(errs.String()) > 0 {
		t.Errorf("with the sound off it says %s", errs)
	}
}

// A terminal that a practice runs on, with what it shows.
type played struct {
	*ear
	t      testing.TB
	keys   io.Writer
	mu     sync.Mutex
	screen bytes.Buffer
	more   chan struct{}
}

var usual = pty.Winsize{Cols: 80, Rows: 24}

// onTerminal practises on a pseudo-terminal while act presses keys.
func onTerminal(t testing.TB, path string, size pty.Winsize, args string, act func(*played)) {
	t.Helper()
	master, tty, err := pty.Open()
	if err != nil {
		t.Skipf("no pseudo-terminal: %v", err)
	}
	defer master.Close()
	if err := pty.Setsize(tty, &size); err != nil {
		t.Fatal(err)
	}
	p, e, _, errs := listening(path)
	p.In, p.Out = tty, tty
	s := watch(t, master)
	s.ear = e
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	ended := make(chan int)
	go func() { ended <- p.run(ctx, strings.Fields(args)) }()
	act(s)
	io.WriteString(master, "\x03")
	if code := <-ended; code != exitSignaled+int(syscall.SIGINT) {
		t.Errorf("exit code %d after ctrl-c, %s", code, errs)
	}
	tty.Close()
}

// watch keeps what a terminal shows.
func watch(t testing.TB, master *os.File) *played {
	s := &played{t: t, keys: master, more: make(chan struct{}, 1)}
	go func() {
		buf := make([]byte, 1<<16)
		for {
			n, err := master.Read(buf)
			s.mu.Lock()
			s.screen.Write(buf[:n])
			s.mu.Unlock()
			select {
			case s.more <- struct{}{}:
			default:
			}
			if err != nil {
				return
			}
		}
	}()
	return s
}

// types presses keys, and forgets what was shown before.
func (s *played) types(keys string) {
	s.mu.Lock()
	s.screen.Reset()
	s.mu.Unlock()
	io.WriteString(s.keys, keys)
}

// shows waits until text is painted. The deadline is only there for a program
// that hangs.
func (s *played) shows(text string) { s.t.Helper(); s.presses("", text) }

// presses presses a key until text is painted: one that comes too soon to be meant is
// not taken, and an Esc with another key behind it is read as one key.
func (s *played) presses(key, text string) {
	s.t.Helper()
	deadline := time.After(10 * time.Minute)
	again := time.NewTicker(300 * time.Millisecond)
	defer again.Stop()
	for {
		s.mu.Lock()
		found := bytes.Contains(s.screen.Bytes(), []byte(text))
		s.mu.Unlock()
		if found {
			return
		}
		select {
		case <-again.C:
			io.WriteString(s.keys, key)
		case <-s.more:
		case <-deadline:
			s.t.Fatalf("never showed %q: %q", text, s.screen.String())
		}
	}
}

// hears presses a key, waits until a sound is played, and tells how long it took.
func (s *played) hears(key string) time.Duration {
	s.t.Helper()
	start := time.Now()
	io.WriteString(s.keys, key)
	select {
	case at := <-s.plays:
		return at.Sub(start)
	case <-time.After(10 * time.Minute):
		s.t.Fatalf("the key %q sounds nothing", key)
	}
	return 0
}

func TestAKeyOnTheTerminalIsHeard(t *testing.T) {
	path := saved(t, asTheyAre)
	smallest := pty.Winsize{Cols: screen.FewestColumns, Rows: screen.FewestRows}
	onTerminal(t, path, smallest, "practice --drill ear", func(s *played) {
		s.hears("") // the question itself
		s.shows("Start with the volume low")
		s.shows("audiologist.")
		s.hears("\t")
		s.hears("\t")
	})
	onTerminal(t, path, usual, "practice --drill ear", func(s *played) {
		s.hears("")
		s.shows("question 1")
		s.hears("\t")
		if strings.Contains(s.screen.String(), "Start with the volume low") {
			t.Error("the caution is said again")
		}
	})
}

// BenchmarkKeyToPlay measures at the pseudo-terminal from the write of a key to
// the call of the device's Play with the sound that it asks for, which is
// rendered anew each time.
func BenchmarkKeyToPlay(b *testing.B) {
	var all []time.Duration
	onTerminal(b, saved(b, asTheyAre), usual, "practice --drill ear", func(s *played) {
		s.hears("")
		s.shows("question 1")
		for b.Loop() {
			all = append(all, s.hears("\t"))
		}
	})
	slices.Sort(all)
	for name, q := range map[string]float64{"p50-ms": 0.5, "p99-ms": 0.99, "least-ms": 0} {
		b.ReportMetric(all[int(q*float64(len(all)-1))].Seconds()*1000, name)
	}
}
