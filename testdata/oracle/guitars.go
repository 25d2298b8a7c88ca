package oracle

import (
	"cmp"
	"encoding/binary"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// GuitarRate is how many samples a second Guitars renders.
const GuitarRate = 48000

// Fonts are the recorded instruments that Guitars plays, by Debian's names.
var Fonts = []string{"FluidR3_GM.sf2", "TimGM6mb.sf2"}

// Programs of the General MIDI list, counted from 0.
const (
	NylonGuitar = 24
	SteelGuitar = 25
	JazzGuitar  = 26
	CleanGuitar = 27
	MutedGuitar = 28
	FingerBass  = 33
	PickBass    = 34
)

// A Plucked is one note of a recorded instrument.
type Plucked struct {
	At, For  time.Duration
	Key      int     // MIDI number
	Cents    float64 // by which its string is sharp
	Velocity int     // 1 to 127
	Channel  int     // what is on one channel is damped together, 0 to 8
}

// Guitars renders notes dry with fluidsynth, as one channel at GuitarRate. Each
// channel is silenced shortly before its next note if damped.
func Guitars(t testing.TB, font string, program int, damped bool, notes []Plucked) []float32 {
	t.Helper()
	fluidsynth := Program(t, "fluidsynth")
	dir := t.TempDir()
	midi, raw := filepath.Join(dir, "a.mid"), filepath.Join(dir, "a.raw")
	if err := os.WriteFile(midi, midiFile(program, damped, notes), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(fluidsynth, "-ni", "-q", "-g", "0.6", "-R", "0", "-C", "0", "-o", "synth.dynamic-sample-loading=1",
		"-r", "48000", "-T", "raw", "-O", "s16", "-F", raw, Font(t, font), midi)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("render with %s: %v: %s", font, err, out)
	}
	data, err := os.ReadFile(raw)
	if err != nil {
		t.Fatal(err)
	}
	samples := make([]float32, len(data)/4)
	for i := range samples {
		left := int16(binary.LittleEndian.Uint16(data[4*i:]))
		right := int16(binary.LittleEndian.Uint16(data[4*i+2:]))
		samples[i] = (float32(left) + float32(right)) / 65536
	}
	return samples
}

// Font returns the file of a sound font: from Debian's folder, or from that which
// SUREFRET_FONTS names.
func Font(t testing.TB, name string) string {
	t.Helper()
	for _, dir := range []string{os.Getenv("SUREFRET_FONTS"), "/usr/share/sounds/sf2"} {
		if path := filepath.Join(dir, name); dir != "" && exists(path) {
			return path
		}
	}
	skip(t, "the sound font "+name+" is not installed (./dev tools --oracles does it)")
	return ""
}

// midiFile writes the notes as a MIDI file of one track, a tick a millisecond.
func midiFile(program int, damped bool, notes []Plucked) []byte {
	type event struct {
		at    int
		order int
		bytes []byte
	}
	var events []event
	end := 0
	for ch := range 9 {
		events = append(events, event{0, 0, []byte{0xC0 | byte(ch), byte(program)}})
	}
	for _, n := range notes {
		at, ch := int(n.At.Milliseconds()), byte(n.Channel)
		off := at + int(n.For.Milliseconds())
		bend := 8192 + int(math.Round(n.Cents/200*8192))
		if damped && at > 5 {
			events = append(events, event{at - 5, 0, []byte{0xB0 | ch, 120, 0}})
		}
		events = append(events,
			event{at, 1, []byte{0xE0 | ch, byte(bend & 127), byte(bend >> 7)}},
			event{at, 2, []byte{0x90 | ch, byte(n.Key), byte(n.Velocity)}},
			event{off, 0, []byte{0x80 | ch, byte(n.Key), 0}})
		end = max(end, off+300)
	}
	events = append(events, event{end, 0, []byte{0xFF, 0x2F, 0}})
	slices.SortStableFunc(events, func(a, b event) int { return cmp.Or(a.at-b.at, a.order-b.order) })
	track := []byte{0, 0xFF, 0x51, 3, 0x07, 0xA1, 0x20} // half a second to 500 ticks
	at := 0
	for _, e := range events {
		track = append(varying(track, e.at-at), e.bytes...)
		at = e.at
	}
	file := []byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x01\xF4MTrk")
	file = binary.BigEndian.AppendUint32(file, uint32(len(track)))
	return append(file, track...)
}

// varying appends a number as MIDI files have it, seven bits a byte.
func varying(dst []byte, n int) []byte {
	var bytes []byte
	for more := byte(0); ; more = 0x80 {
		bytes = append(bytes, byte(n&127)|more)
		if n >>= 7; n == 0 {
			break
		}
	}
	slices.Reverse(bytes)
	return append(dst, bytes...)
}
