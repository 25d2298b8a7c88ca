package wav_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"surefret/synth/wav"
	"surefret/testdata/oracle"
)

// ramp holds full scale, half, the smallest steps and what lies beyond the scale.
var ramp = []float32{0, 0.5, -0.5, 1.0 / 32768, -1.0 / (1 << 23), 1, -1, 1.5, -1.5}

// The canonical 44-byte header of the 1991 specification, and 16-bit samples.
func TestSixteenBitFileIsTheCanonicalOne(t *testing.T) {
	var got bytes.Buffer
	if _, err := (wav.File{Samples: ramp, Rate: 44100}).WriteTo(&got); err != nil {
		t.Fatal(err)
	}
	want := "RIFF\x36\x00\x00\x00WAVEfmt \x10\x00\x00\x00\x01\x00\x01\x00\x44\xAC\x00\x00\x88\x58\x01\x00\x02\x00\x10\x00" +
		"data\x12\x00\x00\x00\x00\x00\x00\x40\x00\xC0\x01\x00\x00\x00\xFF\x7F\x00\x80\xFF\x7F\x00\x80"
	if got.String() != want {
		t.Errorf("got  % x\nwant % x", got.String(), want)
	}
}

func TestSamplesAreRoundedToTheNearestStep(t *testing.T) {
	var got bytes.Buffer
	between := []float32{0.7 / 32768, -0.7 / 32768, 0.3 / 32768, 1.6 / 32768}
	if _, err := (wav.File{Samples: between, Rate: 48000}).WriteTo(&got); err != nil {
		t.Fatal(err)
	}
	if want := "\x01\x00\xFF\xFF\x00\x00\x02\x00"; !strings.HasSuffix(got.String(), want) {
		t.Errorf("got % x at the end, want % x", got.String()[44:], want)
	}
}

// sox reads each format back: the floats bit for bit, the integers to half a step.
func TestAnotherProgramReadsEachFormat(t *testing.T) {
	sox := oracle.Program(t, "sox")
	odd := ramp[:5] // within full scale, and an odd number of 24-bit samples
	for format, step := range map[wav.Format]float64{wav.Int16: 1.0 / (1 << 15), wav.Int24: 1.0 / (1 << 23), wav.Float32: 0} {
		for _, rate := range []int{44100, 48000} {
			path := filepath.Join(t.TempDir(), "a.wav")
			var file bytes.Buffer
			n, err := (wav.File{Samples: odd, Rate: rate, Format: format}).WriteTo(&file)
			if err != nil || int(n) != file.Len() || n%2 != 0 {
				t.Fatalf("format %d: wrote %d of %d bytes, %v", format, n, file.Len(), err)
			}
			if err := os.WriteFile(path, file.Bytes(), 0o600); err != nil {
				t.Fatal(err)
			}
			cmd := exec.Command(sox, path, "-t", "f32", "-")
			var warned bytes.Buffer
			cmd.Stderr = &warned
			raw, err := cmd.Output()
			if err != nil || warned.Len() > 0 || len(raw) != 4*len(odd) {
				t.Fatalf("format %d: sox gave %d bytes, %v, %s", format, len(raw), err, &warned)
			}
			for i, want := range odd {
				got := math.Float32frombits(binary.LittleEndian.Uint32(raw[4*i:]))
				if math.Abs(float64(got-want)) > step/2 {
					t.Errorf("format %d: sample %d came back as %g, want %g", format, i, got, want)
				}
			}
			said, err := exec.Command(sox, "--i", "-r", path).Output()
			if err != nil || strings.TrimSpace(string(said)) != fmt.Sprint(rate) {
				t.Errorf("format %d: sox says the rate is %s, want %d", format, said, rate)
			}
		}
	}
}

func TestAFullDiskIsSaidInOneSentence(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("this machine has no /dev/full")
	}
	defer full.Close()
	_, err = wav.File{Samples: ramp, Rate: 48000}.WriteTo(full)
	if !errors.Is(err, syscall.ENOSPC) || strings.Contains(err.Error(), "\n") {
		t.Errorf("got %v, want one sentence that the disk is full", err)
	}
}

func TestWhatCannotBeWrittenIsRefused(t *testing.T) {
	for want, f := range map[string]wav.File{
		"no format 9": {Rate: 48000, Format: 9},
		"rate of 0":   {},
	} {
		if _, err := f.WriteTo(new(bytes.Buffer)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q in it", err, want)
		}
	}
}

func ExampleFile_WriteTo() {
	var out bytes.Buffer
	n, err := wav.File{Samples: make([]float32, 100), Rate: 48000, Format: wav.Int24}.WriteTo(&out)
	fmt.Println(n, err)
	// Output: 344 <nil>
}

// What sox writes in every way is read back: two channels as their mean.
func TestWhatAnotherProgramWritesIsRead(t *testing.T) {
	sox := oracle.Program(t, "sox")
	for _, kind := range []string{"-e unsigned -b 8", "-e signed -b 16", "-e signed -b 24", "-e signed -b 32", "-e float -b 32"} {
		for _, channels := range []string{"1", "2"} {
			path := filepath.Join(t.TempDir(), "a.wav")
			// Without its dither, which is drawn anew each time.
			args := append([]string{"-D", "-n", "-r", "22050", "-c", channels}, strings.Fields(kind)...)
			if out, err := exec.Command(sox, append(args, path, "synth", "0.1", "sine", "441", "gain", "-6")...).CombinedOutput(); err != nil {
				t.Fatalf("%s: %v %s", kind, err, out)
			}
			file, err := os.Open(path)
			if err != nil {
				t.Fatal(err)
			}
			defer file.Close()
			r, err := wav.NewReader(file)
			if err != nil {
				t.Errorf("%s of %s: %v", kind, channels, err)
				continue
			}
			x := make([]float32, 4000)
			n, err := r.Read(x)
			if n != 2205 || !errors.Is(err, io.EOF) || r.Rate != 22050 {
				t.Errorf("%s of %s: %d samples at %d, %v", kind, channels, n, r.Rate, err)
			}
			for i, v := range x[:n] {
				if want := 0.5012 * math.Sin(2*math.Pi*float64(i)/50); math.Abs(float64(v)-want) > 0.02 {
					t.Errorf("%s of %s: sample %d is %g, want %g", kind, channels, i, v, want)
					break
				}
			}
		}
	}
}

func TestWhatIsNoWaveIsRefused(t *testing.T) {
	var file bytes.Buffer
	if _, err := (wav.File{Samples: ramp, Rate: 48000}).WriteTo(&file); err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{0, 11, 20, 40} {
		if _, err := wav.NewReader(bytes.NewReader(file.Bytes()[:n])); !errors.Is(err, wav.ErrNotWave) {
			t.Errorf("%d bytes of a file: %v", n, err)
		}
	}
	odd := bytes.Clone(file.Bytes())
	odd[20] = 2 // a compressed kind
	if _, err := wav.NewReader(bytes.NewReader(odd)); !errors.Is(err, wav.ErrNotWave) {
		t.Errorf("a compressed file: %v", err)
	}
	r, err := wav.NewReader(bytes.NewReader(file.Bytes()[:44+7])) // cut off in a sample
	if err != nil {
		t.Fatal(err)
	}
	if n, err := r.Read(make([]float32, 9)); n != 3 || !errors.Is(err, io.EOF) {
		t.Errorf("a file cut off gives %d samples, %v", n, err)
	}
}
