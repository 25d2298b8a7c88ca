package main

import (
	"bytes"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"surefret/drills/theory"
	"surefret/synth"
	"surefret/synth/wav"
)

// recorded plays notes at their seconds: "1.5:E3".
func recorded(notes []string) (wav.File, error) {
	var samples []float32
	for _, n := range notes {
		at, name, _ := strings.Cut(n, ":")
		seconds, err := strconv.ParseFloat(at, 64)
		if err != nil {
			return wav.File{}, err
		}
		if more := int(seconds*48000) - len(samples); more > 0 {
			samples = append(samples, make([]float32, more)...)
		}
		if name == "" {
			continue
		}
		pitch, err := theory.ParsePitch(name)
		if err != nil {
			return wav.File{}, err
		}
		cue, err := synth.Render(synth.Note(440*math.Exp2(float64(pitch.MIDI()-69)/12), time.Second), synth.Options{})
		if err != nil {
			return wav.File{}, err
		}
		samples = append(samples, cue.Samples...)
	}
	return wav.File{Samples: samples, Rate: 48000}, nil
}

// makeRecording is the command of scripts "recording FILE SECONDS:PITCH...": a last one
// without a pitch is silence up to there.
func makeRecording(ts *testscript.TestScript, _ bool, args []string) {
	file, err := recorded(args[1:])
	ts.Check(err)
	var out bytes.Buffer
	_, err = file.WriteTo(&out)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), out.Bytes(), 0o600))
}

// TestListeningLeavesNothingBehind looks at every file of a player before and after a
// sitting that is played: only the practice has grown, and no sound is in it.
func TestListeningLeavesNothingBehind(t *testing.T) {
	dir := t.TempDir()
	take := filepath.Join(dir, "take.wav")
	file, err := recorded([]string{"1.5:E3", "6:E2", "9:"})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if _, err := file.WriteTo(&out); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(take, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	var said, told bytes.Buffer
	p := &program{in: strings.NewReader(""), out: &said, err: &told, getenv: func(name string) string {
		return map[string]string{"HOME": dir, "XDG_DATA_HOME": dir, "TMPDIR": dir}[name]
	}}
	if code := p.run(t.Context(), []string{"practice", "--seed", "42", "--strings", "6", "--drill", "note", "--listen-from", take}); code != 0 {
		t.Fatalf("exit code %d: %s", code, &told)
	}
	if !strings.Contains(said.String(), "right: E") {
		t.Fatalf("nothing was heard, so nothing could be left behind: %s%s", &said, &told)
	}
	var found []string
	filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
		if err == nil && !entry.IsDir() {
			found = append(found, filepath.Base(path))
			if info, err := entry.Info(); err != nil || entry.Name() != "take.wav" && info.Size() > 1<<20 {
				t.Errorf("%s holds %d bytes: a second of sound is 200 KB", path, info.Size())
			}
		}
		return err
	})
	found = slices.DeleteFunc(found, func(name string) bool { return name == "take.wav" || strings.HasPrefix(name, "surefret.db") })
	if len(found) > 0 {
		t.Errorf("listening left %q behind", found)
	}
	if now, err := os.ReadFile(take); err != nil || !bytes.Equal(now, out.Bytes()) {
		t.Error("the recording was changed")
	}
}
