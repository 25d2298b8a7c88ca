package synth

import (
	"bytes"
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"surefret/synth/wav"
	"surefret/testdata/oracle"
)

// The meters of the tests: our own, for partials and decay, and programs of
// others, for pitch.

// ci reports whether the whole sweep is wanted.
func ci() bool { return os.Getenv("CI") == "true" }

func cents(got, want float64) float64 { return 1200 * math.Log2(got/want) }

// a4 gives the pitch of a MIDI key, in hertz (MIDI 1.0: 69 is A4; ISO 16: 440).
func pitch(key int, a4 float64) float64 { return a4 * math.Pow(2, float64(key-69)/12) }

// partial measures what sounds near hz: its exact frequency, by regression of
// the phase that is left when hz is taken out, and its T60 in seconds, by that
// of the level. Each window spans ten periods of spacing, the distance to the
// next partial.
func partial(x []float32, rate int, hz, spacing float64) (freq, t60 float64) {
	window := int(10 * float64(rate) / spacing)
	hop := max(window/4, 1)
	var ts, phases, levels []float64
	last := 0.0
	for from := 0; from+window <= len(x); from += hop {
		var sum complex128
		turn := cmplx.Rect(1, -2*math.Pi*hz/float64(rate))
		z := cmplx.Rect(1, -2*math.Pi*math.Mod(hz*float64(from)/float64(rate), 1))
		for i, v := range x[from : from+window] {
			hann := 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(window))
			sum += complex(hann*float64(v), 0) * z
			z *= turn
		}
		p := cmplx.Phase(sum)
		p += 2 * math.Pi * math.Round((last-p)/(2*math.Pi))
		last = p
		ts = append(ts, float64(from)/float64(rate))
		phases = append(phases, p)
		levels = append(levels, math.Log(cmplx.Abs(sum)))
	}
	return hz + slope(ts, phases)/(2*math.Pi), -math.Log(1000) / slope(ts, levels)
}

// amplitude is that of the partial near hz, over the whole of x.
func amplitude(x []float32, rate int, hz, spacing float64) float64 {
	whole := len(x) - len(x)%max(int(10*float64(rate)/spacing), 1)
	if whole == 0 {
		whole = len(x)
	}
	var sum complex128
	for i, v := range x[:whole] {
		hann := 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(whole))
		sum += complex(4*hann*float64(v)/float64(whole), 0) * cmplx.Rect(1, -2*math.Pi*math.Mod(hz*float64(i)/float64(rate), 1))
	}
	return cmplx.Abs(sum)
}

// slope is that of the least-squares line.
func slope(x, y []float64) float64 {
	var sx, sy, sxx, sxy float64
	n := float64(len(x))
	for i := range x {
		sx, sy, sxx, sxy = sx+x[i], sy+y[i], sxx+x[i]*x[i], sxy+x[i]*y[i]
	}
	return (n*sxy - sx*sy) / (n*sxx - sx*sx)
}

// The meter itself is held to a tone that is known exactly.
func TestOwnMeterReadsAKnownTone(t *testing.T) {
	x := make([]float32, 48000)
	for i := range x {
		s := float64(i) / 48000
		x[i] = float32(0.3 * math.Exp(-math.Log(1000)/4*s) * (math.Sin(2*math.Pi*146.8*s) + math.Sin(2*math.Pi*293.7*s)))
	}
	f, t60 := partial(x, 48000, 146.9, 146.83)
	if math.Abs(cents(f, 146.8)) > 2e-4 || math.Abs(t60/4-1) > 2e-4 {
		t.Errorf("read %.6f Hz and %.5f s, want 146.8 and 4", f, t60)
	}
}

// file is a rendered note for another program to measure.
type file struct {
	path string
	hz   float64
	rate int
}

// praat measures the median pitch of each file by its autocorrelation method,
// very accurate, from 0.1 to 1.1 s. On exact tones it errs by 0.002 cents.
func praat(t *testing.T, files []file) []float64 {
	t.Helper()
	program := oracle.Program(t, "praat")
	var list bytes.Buffer
	for _, f := range files {
		fmt.Fprintf(&list, "%.9f %s\n", f.hz, f.path)
	}
	path := filepath.Join(t.TempDir(), "list")
	if err := os.WriteFile(path, list.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	script, err := filepath.Abs("testdata/pitch.praat")
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, "--run", script, path).CombinedOutput()
	if err != nil {
		t.Fatalf("praat: %v\n%s", err, out)
	}
	fields := strings.Fields(string(out))
	if len(fields) != len(files) {
		t.Fatalf("praat read %d of %d files:\n%s", len(fields), len(files), out)
	}
	return floats(t, fields)
}

func floats(t *testing.T, words []string) []float64 {
	t.Helper()
	var out []float64
	for _, w := range words {
		v, err := strconv.ParseFloat(w, 64)
		if err != nil {
			t.Fatalf("not a number: %q", w)
		}
		out = append(out, v)
	}
	return out
}

func save(t *testing.T, path string, cue Cue, format wav.Format) {
	t.Helper()
	var b bytes.Buffer
	if _, err := (wav.File{Samples: cue.Samples, Rate: cue.Rate, Format: format}).WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
}
