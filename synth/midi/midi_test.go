package midi_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"surefret/synth/midi"
	"surefret/testdata/oracle"
)

// The whole file, byte for byte, by the rules of Standard MIDI Files 1.0: two
// notes a beat apart at 120 beats a minute.
func TestFileIsTheBytesOfTheStandard(t *testing.T) {
	f := midi.File{Events: []midi.Event{
		{At: 500 * time.Millisecond, For: 250 * time.Millisecond, Key: 40, Velocity: 100},
		{For: 500 * time.Millisecond, Key: 28},
	}}
	var got bytes.Buffer
	n, err := f.WriteTo(&got)
	if err != nil || n != int64(got.Len()) {
		t.Fatalf("wrote %d of %d bytes, %v", n, got.Len(), err)
	}
	want := "MThd\x00\x00\x00\x06\x00\x00\x00\x01\x03\xC0" +
		"MTrk\x00\x00\x00\x20" +
		"\x00\xFF\x51\x03\x07\xA1\x20" + // 500,000 microseconds a beat
		"\x00\xC0\x19" +
		"\x00\x90\x1C\x50" +
		"\x87\x40\x80\x1C\x40" + // 960 ticks
		"\x00\x90\x28\x64" +
		"\x83\x60\x80\x28\x40" + // 480 ticks
		"\x00\xFF\x2F\x00"
	if got.String() != want {
		t.Errorf("got  % x\nwant % x", got.String(), want)
	}
}

// The examples of variable-length quantities in Standard MIDI Files 1.0, seen
// through the time of the first note. At 62.5 beats a minute a tick is 1 ms.
func TestDeltaTimesAreTheStandardsExamples(t *testing.T) {
	for ticks, want := range map[int64]string{
		0x00: "\x00", 0x40: "\x40", 0x7F: "\x7F",
		0x80: "\x81\x00", 0x2000: "\xC0\x00", 0x3FFF: "\xFF\x7F",
		0x4000: "\x81\x80\x00", 0x100000: "\xC0\x80\x00", 0x1FFFFF: "\xFF\xFF\x7F",
		0x200000: "\x81\x80\x80\x00", 0x8000000: "\xC0\x80\x80\x00",
	} {
		var got bytes.Buffer
		at := time.Duration(ticks) * time.Millisecond
		f := midi.File{Tempo: 62.5, Events: []midi.Event{{At: at, For: time.Second, Key: 60}}}
		if _, err := f.WriteTo(&got); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(got.String(), "\x00\xC0\x19"+want+"\x90\x3C") {
			t.Errorf("%#x ticks: want % x before the note-on in % x", ticks, want, got.String())
		}
	}
}

// General MIDI 1 and ISO 16: A4 is 440 Hz and key 69.
func TestKeyIsTheNearestOne(t *testing.T) {
	for _, c := range []struct {
		hz, a4 float64
		key    int
		cents  float64
	}{
		{440, 440, 69, 0}, {261.6256, 440, 60, 0}, {82.4069, 440, 40, 0}, {432, 432, 69, 0},
		{446, 440, 69, 23.4}, {329.6276, 440, 64, 0},
	} {
		key, cents := midi.Key(c.hz, c.a4)
		if key != c.key || math.Abs(cents-c.cents) > 0.05 {
			t.Errorf("%g Hz at A4 = %g: key %d %+.2f cents, want %d %+.2f", c.hz, c.a4, key, cents, c.key, c.cents)
		}
	}
}

func TestAKeyStruckAgainIsLetGoFirst(t *testing.T) {
	f := midi.File{Tempo: 60, Events: []midi.Event{
		{For: 3 * time.Second, Key: 60},
		{At: time.Second, For: time.Second, Key: 60},
	}}
	var got bytes.Buffer
	if _, err := f.WriteTo(&got); err != nil {
		t.Fatal(err)
	}
	want := "\x00\x90\x3C\x50\x87\x40\x80\x3C\x40\x00\x90\x3C\x50\x87\x40\x80\x3C\x40\x00\xFF\x2F"
	if !strings.Contains(got.String(), want) {
		t.Errorf("got % x, want % x in it", got.String(), want)
	}
}

// Ends are rounded as times are, not as lengths, so that notes end where the next
// begin; and no note is shorter than a tick. At 62.5 beats a minute a tick is 1 ms.
func TestEndsAreRoundedToTheTick(t *testing.T) {
	for end, e := range map[string]midi.Event{
		"\x02\x80\x3C": {At: 1400 * time.Microsecond, For: 1400 * time.Microsecond, Key: 60}, // 1.4 to 2.8 ms: tick 1 to 3
		"\x01\x80\x3C": {At: 5 * time.Millisecond, Key: 60},
	} {
		var got bytes.Buffer
		if _, err := (midi.File{Tempo: 62.5, Events: []midi.Event{e}}).WriteTo(&got); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(got.String(), "\x90\x3C\x50"+end) {
			t.Errorf("%v for %v: want % x after the note-on in % x", e.At, e.For, end, got.String())
		}
	}
}

// mftext (Debian's abcmidi) reads back what was written.
func TestAnotherProgramReadsTheFile(t *testing.T) {
	f := midi.File{Tempo: 72, Events: []midi.Event{
		{For: 833333 * time.Microsecond, Key: midi.HiWoodBlock, Channel: midi.Drums},
		{At: 833333 * time.Microsecond, For: time.Second, Key: 40},
		{At: 2 * 833333 * time.Microsecond, For: time.Second, Key: 47},
	}}
	got := text(t, f)
	want := []string{"0 on 76", "960 off 76", "960 on 40", "1920 on 47", "2112 off 40", "3072 off 47"}
	if strings.Join(got, ", ") != strings.Join(want, ", ") {
		t.Errorf("got %q, want %q", got, want)
	}
}

// text lists the notes of f as mftext tells them: tick, on or off, key.
func text(t *testing.T, f midi.File) []string {
	t.Helper()
	mftext := oracle.Program(t, "mftext")
	path := filepath.Join(t.TempDir(), "a.mid")
	out, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.WriteTo(out); err != nil {
		t.Fatal(err)
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	said, err := exec.Command(mftext, path).CombinedOutput()
	if err != nil {
		t.Fatalf("mftext: %v\n%s", err, said)
	}
	var notes []string
	for _, m := range regexp.MustCompile(`Time=(\d+)  Note (on|off), chan=\d+ pitch=(\d+)`).FindAllStringSubmatch(string(said), -1) {
		notes = append(notes, strings.Join(m[1:], " "))
	}
	return notes
}

func TestBadEventsAreSaidInOneSentence(t *testing.T) {
	for want, f := range map[string]midi.File{
		"key 128 is out of range":        {Events: []midi.Event{{Key: 128}}},
		"velocity 200 is out of range":   {Events: []midi.Event{{Velocity: 200}}},
		"channel 16 is out of range":     {Events: []midi.Event{{Channel: 16}}},
		"cannot start at -1ns":           {Events: []midi.Event{{At: -1}}},
		"too late for the format":        {Events: []midi.Event{{At: 1000 * time.Hour}}},
		"a tempo of 1 is out of range":   {Tempo: 1},
		"a tempo of NaN is out of range": {Tempo: math.NaN()},
		"there is no program 128":        {Program: 128},
	} {
		_, err := f.WriteTo(new(bytes.Buffer))
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("got %v, want one sentence with %q", err, want)
		}
	}
	full := errors.New("full")
	if _, err := (midi.File{}).WriteTo(writer(func([]byte) (int, error) { return 0, full })); !errors.Is(err, full) {
		t.Errorf("got %v, want the writer's error", err)
	}
}

type writer func([]byte) (int, error)

func (w writer) Write(p []byte) (int, error) { return w(p) }

func ExampleFile_WriteTo() {
	var out bytes.Buffer
	f := midi.File{Tempo: 72, Events: []midi.Event{{For: time.Second, Key: 40}}}
	n, err := f.WriteTo(&out)
	fmt.Println(n, err)
	// Output: 45 <nil>
}
