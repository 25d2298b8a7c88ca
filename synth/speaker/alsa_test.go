//go:build linux && cgo && !silent

package speaker

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"surefret/synth"
	"surefret/synth/wav"
)

// These tests go through the real oto and the real ALSA library, in a child
// process: this very test binary, told by CHILD what to play. A preloaded
// library of ours (testdata/alsa/shim.c) stands in for the card, and ALSA's file
// plug-in keeps what would be heard.

func TestMain(m *testing.M) {
	if act := os.Getenv("SUREFRET_SPEAKER_CHILD"); act != "" {
		if err := children[act](); err != nil {
			fmt.Println("error", err)
		}
		return
	}
	os.Exit(m.Run())
}

var children = map[string]func() error{"melody": melody, "trouble": trouble, "idle": idling, "open": open, "click": clicking, "busy": busy}

// open opens what this machine has, or has not.
func open() error {
	Default().Open()
	return nil
}

// A walk with a rest, as it is played and looked for.
var walk = []float64{82.4069, 92.4986, 103.8262, 110}

func walkCue() (synth.Cue, error) {
	score := synth.CountIn(120, 2).Then(synth.Line(60, walk...))
	for i := range score {
		score[i].Perfect = true
	}
	return synth.Render(score, synth.Options{})
}

// melody plays a first sound, and the walk at full volume.
func melody() error {
	var s Speaker
	s.SetVolume(0)
	first, err := synth.Render(synth.Note(440, 300*time.Millisecond), synth.Options{})
	if err != nil {
		return err
	}
	cue, err := walkCue()
	if err != nil {
		return err
	}
	s.Play(first)
	for s.Status().State == Playing {
		time.Sleep(tick)
	}
	s.Play(cue)
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Minute)
	defer cancel()
	return s.Close(ctx)
}

// trouble plays one second, waits for what is said of it, and practises on.
func trouble() error {
	var s Speaker
	cue, err := synth.Render(synth.Note(196, time.Second), synth.Options{})
	if err != nil {
		return err
	}
	s.Play(cue)
	select {
	case said := <-s.Notices():
		fmt.Println("said", said)
	case <-over(&s):
		fmt.Println("said nothing")
	}
	s.Play(cue)
	s.Stop()
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Minute)
	defer cancel()
	return s.Close(ctx)
}

// over is closed when a speaker has played its cue to the end.
func over(s *Speaker) <-chan struct{} {
	done := make(chan struct{})
	go func() {
		for s.Status().State == Playing {
			time.Sleep(tick)
		}
		if s.Status().State == Idle {
			close(done)
		}
	}()
	return done
}

// A watched device tells when it was suspended and resumed.
type watched struct {
	Device
	Output
	suspended, resumed chan error
}

func (w *watched) Open() (Output, error) {
	out, err := w.Device.Open()
	w.Output = out
	return w, err
}

func (w *watched) Suspend() error {
	err := w.Output.Suspend()
	w.suspended <- err
	return err
}

func (w *watched) Resume() error {
	err := w.Output.Resume()
	w.resumed <- err
	return err
}

// idling lets the device be suspended and plays the same cue again.
func idling() error {
	w := &watched{Device: Default(), suspended: make(chan error, 1), resumed: make(chan error, 1)}
	s := Speaker{Device: w}
	cue, err := synth.Render(synth.Note(196, time.Second/2), synth.Options{})
	if err != nil {
		return err
	}
	s.Play(cue)
	fmt.Println("suspended", <-w.suspended)
	s.Play(cue)
	fmt.Println("resumed", <-w.resumed)
	<-over(&s)
	fmt.Println("state", s.Status().State)
	return nil
}

func shim(t testing.TB) string {
	t.Helper()
	gcc, err := exec.LookPath("gcc")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("gcc is missing: install gcc")
		}
		t.Skip("gcc is missing: install gcc to build the stand-in for a sound card")
	}
	path := filepath.Join(t.TempDir(), "shim.so")
	if out, err := exec.Command(gcc, "-O1", "-shared", "-fPIC", "-o", path, "../../testdata/alsa/shim.c", "-ldl").CombinedOutput(); err != nil {
		t.Fatalf("gcc: %v\n%s", err, out)
	}
	return path
}

// child runs an act on the stand-in with more of the environment, and returns
// what it said, line by line, by first word. It must leave standard error empty.
func child(t testing.TB, act string, env ...string) map[string]string {
	t.Helper()
	conf, err := filepath.Abs("../../testdata/alsa/file.conf")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, os.Args[0])
	cmd.Env = append(os.Environ(), "SUREFRET_SPEAKER_CHILD="+act, "ALSA_CONFIG_PATH="+conf, "LD_PRELOAD="+shim(t))
	cmd.Env = append(cmd.Env, env...)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s: %v\n%s%s", act, err, &stdout, &stderr)
	}
	if stderr.Len() > 0 {
		t.Errorf("%s wrote to standard error, which is the player's screen:\n%s", act, &stderr)
	}
	said := map[string]string{}
	for line := range strings.Lines(stdout.String()) {
		word, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
		said[word] = rest
	}
	if said["error"] != "" {
		t.Errorf("%s: %s", act, said["error"])
	}
	return said
}

// Of what this machine has, and of what ALSA loads beside it, as its plug-in for JACK,
// nothing is written to the player's screen.
func TestLibrariesOfSoundKeepTheirComplaints(t *testing.T) {
	cmd := exec.CommandContext(t.Context(), os.Args[0])
	cmd.Env = append(os.Environ(), "SUREFRET_SPEAKER_CHILD=open")
	if said, err := cmd.CombinedOutput(); err != nil || len(said) > 0 {
		t.Errorf("%v, and on the screen:\n%s", err, said)
	}
}

// captured reads what the file plug-in kept, both channels being the same.
func captured(t *testing.T, path string) []float32 {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	out := make([]float32, len(raw)/frame)
	for i := range out {
		left, right := binary.LittleEndian.Uint32(raw[frame*i:]), binary.LittleEndian.Uint32(raw[frame*i+4:])
		if left != right {
			t.Fatalf("frame %d differs left and right", i)
		}
		out[i] = math.Float32frombits(left)
	}
	return out
}

func TestThroughTheRealLibraryACueArrivesBitForBit(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "heard.raw")
	child(t, "melody", "ALSA_CAPTURE="+path)
	heard := captured(t, path)
	cue, err := walkCue()
	if err != nil {
		t.Fatal(err)
	}
	at := find(heard, cue.Samples)
	if at < 0 {
		t.Fatalf("the cue of %d samples is not in the %d that were heard", len(cue.Samples), len(heard))
	}
	differ := 0
	for i, v := range cue.Samples {
		if math.Float32bits(v) != math.Float32bits(heard[at+i]) && (v != 0 || heard[at+i] != 0) {
			differ++
		}
	}
	t.Logf("%d of %d samples differ", differ, len(cue.Samples))
	if differ > 0 {
		t.Errorf("%d samples of %d differ from the rendered ones", differ, len(cue.Samples))
	}
	pitchesInOrder(t, heard[at:at+len(cue.Samples)])
}

// find is where cue begins in heard, by its first loud stretch.
func find(heard, cue []float32) int {
	const probe = 64
	from := 0
	for cue[from] == 0 {
		from++
	}
	for at := from; at+len(cue)-from <= len(heard); at++ {
		i := 0
		for i < probe && heard[at+i] == cue[from+i] {
			i++
		}
		if i == probe {
			return at - from
		}
	}
	return -1
}

// pitchesInOrder asks aubio, an independent tracker, for the pitch in the middle
// of every beat after the count-in.
func pitchesInOrder(t *testing.T, heard []float32) {
	t.Helper()
	aubio, err := exec.LookPath("aubiopitch")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("aubiopitch is missing: install aubio-tools")
		}
		t.Log("aubiopitch is missing: install aubio-tools to check the pitches too")
		return
	}
	for i, want := range walk {
		path := filepath.Join(t.TempDir(), "note.wav")
		var file bytes.Buffer
		part := heard[(1+i)*Rate : (1+i)*Rate+Rate*95/100]
		if _, err := (wav.File{Samples: part, Rate: Rate}).WriteTo(&file); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, file.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(aubio, "-i", path, "-p", "mcomb", "-B", "8192", "-H", "2048", "-r", strconv.Itoa(Rate)).Output()
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSpace(string(out)), "\n")
		got, err := strconv.ParseFloat(strings.Fields(lines[len(lines)/2])[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		if off := 1200 * math.Log2(got/want); math.Abs(off) > 0.1 {
			t.Errorf("note %d is heard as %.3f Hz, %.2f cents from the asked %.3f", i+1, got, off, want)
		}
	}
}

// What is wrong below oto is told in one sentence, nothing reaches standard
// error, and practice goes on. How soon is held in fake time, by
// [TestTroubleIsToldOnceAndInTime].
func TestTroubleBelowTheLibraryIsToldAndPracticeGoesOn(t *testing.T) {
	for name, c := range map[string]struct {
		env  []string
		says string
	}{
		"no device":  {[]string{"ALSA_CONFIG_PATH=../../testdata/alsa/none.conf"}, "No sound device found"},
		"no library": {[]string{"ALSA_FAULT=absent"}, "No sound device found"},
		"busy":       {[]string{"ALSA_FAULT=busy"}, "another program holds"},
		"hung open":  {[]string{"ALSA_FAULT=hung-open"}, "does not answer"},
		"hung write": {[]string{"ALSA_FAULT=hung-write", "ALSA_AFTER=19200"}, "does not answer"},
		"lost":       {[]string{"ALSA_FAULT=lost", "ALSA_AFTER=19200"}, "was lost"},
		"underruns":  {[]string{"ALSA_FAULT=underrun"}, "nothing"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			if said := child(t, "trouble", c.env...); !strings.Contains(said["said"], c.says) {
				t.Errorf("said %q, want %q", said["said"], c.says)
			}
		})
	}
}

func TestThroughTheRealLibraryAnIdleDeviceIsSuspendedAndResumed(t *testing.T) {
	t.Parallel()
	said := child(t, "idle")
	if said["suspended"] != "<nil>" || said["resumed"] != "<nil>" || said["state"] != fmt.Sprint(Idle) {
		t.Errorf("said %q", said)
	}
}

// A program linked to libasound would not start where it is missing.
func TestTheProgramStartsWithoutTheLibrary(t *testing.T) {
	out, err := exec.Command("readelf", "-d", os.Args[0]).Output()
	if err != nil {
		t.Skip("readelf is missing: install binutils to see what the program is linked to")
	}
	if strings.Contains(string(out), "libasound") {
		t.Errorf("linked to libasound:\n%s", out)
	}
}
