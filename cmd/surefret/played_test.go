package main

import (
	"bytes"
	"context"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"surefret/cmd/surefret/console"
	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/hearing/input"
	"surefret/cmd/surefret/hearing/tuner"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/synth"
	"surefret/synth/wav"
)

// recorded plays notes at their seconds, some of them so many cents off: "1.5:E3",
// "3:A2-20".
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
		off := 0.0
		if i := strings.LastIndexAny(name, "+-"); i > 0 {
			if off, err = strconv.ParseFloat(name[i:], 64); err != nil {
				return wav.File{}, err
			}
			name = name[:i]
		}
		pitch, err := theory.ParsePitch(name)
		if err != nil {
			return wav.File{}, err
		}
		cue, err := synth.Render(synth.Note(440*math.Exp2((float64(pitch.MIDI()-69)+off/100)/12), time.Second), synth.Options{})
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
	p := &program{Console: console.Console{In: strings.NewReader(""), Out: &said, Err: &told, Getenv: func(name string) string {
		return map[string]string{"HOME": dir, "XDG_DATA_HOME": dir, "TMPDIR": dir}[name]
	}}}
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
	backup := regexp.MustCompile(`^\d{4}-\d\d-\d\d\.db$`) // of the practice, made where it had an answer in time
	found = slices.DeleteFunc(found, func(name string) bool {
		return name == "take.wav" || strings.HasPrefix(name, "surefret.db") || backup.MatchString(name)
	})
	if len(found) > 0 {
		t.Errorf("listening left %q behind", found)
	}
	if now, err := os.ReadFile(take); err != nil || !bytes.Equal(now, out.Bytes()) {
		t.Error("the recording was changed")
	}
}

// stopped is a quiet room whose player stops the program after three seconds.
type stopped struct {
	blocks int
	stop   context.CancelFunc
}

func (*stopped) Rate() int { return 48000 }

func (s *stopped) Next(ctx context.Context) ([]float32, error) {
	if s.blocks++; s.blocks == 300 {
		s.stop()
	}
	return make([]float32, 480), ctx.Err()
}

// Ctrl-c is how most tunings end: what was heard until then is told.
func TestATuningThatIsStoppedTellsWhatWasHeard(t *testing.T) {
	setup := drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}}
	for asJSON, want := range map[bool]string{false: "Not heard: strings 6, 5, 4, 3, 2, 1.\n", true: `"strings": []`} {
		ctx, stop := context.WithCancel(t.Context())
		ear, err := hearing.New(&stopped{stop: stop}, setup.Neck, 440)
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		p := &program{Console: console.Console{Out: &out, Err: io.Discard, JSON: asJSON}}
		if err := p.tune(ctx, &tuner.Tuner{Ear: ear, Setup: setup}); err != nil || !strings.Contains(out.String(), want) {
			t.Errorf("%v, %q, want %q", err, &out, want)
		}
	}
}

// A practice that cannot be read is no input that is lost: the sitting does not go on by
// typing.
func TestAPracticeThatFailsIsNoInputThatIsLost(t *testing.T) {
	dir := t.TempDir()
	p := &program{Console: console.Console{In: strings.NewReader(""), Out: io.Discard, Err: io.Discard, Getenv: func(name string) string {
		return map[string]string{"HOME": dir, "XDG_DATA_HOME": dir}[name]
	}}, system: &twoInputs{}}
	pl, err := p.openPlayer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	heard, err := input.Open(t.Context(), p.inputs(), input.Options{Live: true}, pl.Settings)
	if err != nil {
		t.Fatal(err)
	}
	defer heard.Close()
	if err := pl.DB.Close(); err != nil {
		t.Fatal(err)
	}
	if _, told, err := p.sittingEar(t.Context(), pl, nil, heard, p.openSound(t.Context(), pl, p.device, true)); err == nil || told != "" {
		t.Errorf("a practice that is closed: told %q, %v", told, err)
	}
}
