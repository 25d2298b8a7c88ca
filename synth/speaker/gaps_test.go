//go:build linux && cgo && !silent

package speaker

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"surefret/synth"
)

// clicking plays a click for so many seconds, as a rehearsal does.
func clicking() error {
	seconds, err := strconv.Atoi(os.Getenv("SUREFRET_SPEAKER_SECONDS"))
	if err != nil {
		return err
	}
	cue, err := synth.Render(synth.CountIn(120, 2*seconds), synth.Options{})
	if err != nil {
		return err
	}
	s := Speaker{Device: Steady()}
	s.Play(cue)
	ctx, cancel := context.WithTimeout(context.Background(), 2*cue.Duration()+time.Minute)
	defer cancel()
	err = s.Close(ctx)
	if s.Status().State == Silent {
		return fmt.Errorf("%s", s.Status().reason)
	}
	return err
}

// busy keeps a processor busy for good.
func busy() error {
	for {
	}
}

// BenchmarkTheClickHasNoGap plays a click while every processor is busy at normal priority,
// on the stand-in for a sound card, which counts how often it ran dry: the bar is never in ten
// minutes, which SUREFRET_MANY asks for in place of one.
func BenchmarkTheClickHasNoGap(b *testing.B) {
	seconds := 60
	if os.Getenv("SUREFRET_MANY") != "" {
		seconds = 600
	}
	start := func(act string) *exec.Cmd {
		cmd := exec.CommandContext(b.Context(), os.Args[0])
		cmd.Env = append(os.Environ(), "SUREFRET_SPEAKER_CHILD="+act)
		if err := cmd.Start(); err != nil {
			b.Fatal(err)
		}
		return cmd
	}
	for range runtime.NumCPU() {
		spinning := start("busy")
		defer spinning.Wait()
		defer spinning.Process.Kill()
	}
	gaps, silent := 0, 0.0
	for b.Loop() {
		dry := filepath.Join(b.TempDir(), "dry")
		child(b, "click", "ALSA_DRY="+dry, fmt.Sprintf("SUREFRET_SPEAKER_SECONDS=%d", seconds))
		told, err := os.ReadFile(dry)
		if err != nil && !os.IsNotExist(err) {
			b.Fatal(err)
		}
		for line := range strings.FieldsSeq(string(told)) {
			ms, err := strconv.ParseFloat(line, 64)
			if err != nil {
				b.Fatal(err)
			}
			gaps, silent = gaps+1, max(silent, ms)
		}
	}
	b.ReportMetric(float64(Buffer().Milliseconds()), "buffer-ms")
	b.ReportMetric(float64(gaps), "gaps")
	b.ReportMetric(silent, "longest-ms")
}
