//go:build linux && cgo && !silent

package microphone

import (
	"bytes"
	"os"
	"os/exec"
	"testing"
)

// What ALSA complains of where no input can be opened stays off the player's screen. It is
// written by C, so a child does it.
func TestAMachineWithoutInputsSaysNothingOnTheScreen(t *testing.T) {
	const child = "SUREFRET_MICROPHONE_CHILD"
	if os.Getenv(child) != "" {
		Machine().Inputs()
		if _, err := Machine().Open("", func([]float32) {}); err == nil {
			t.Error("an input was opened where there is none")
		}
		return
	}
	cmd := exec.Command(os.Args[0], "-test.run=^"+t.Name()+"$")
	cmd.Env = append(os.Environ(), child+"=1", "ALSA_CONFIG_PATH=../../testdata/alsa/none.conf", "PULSE_SERVER=unix:/nowhere", "JACK_NO_START_SERVER=1")
	var errs bytes.Buffer
	cmd.Stderr = &errs
	if out, err := cmd.Output(); err != nil || errs.Len() > 0 {
		t.Errorf("%v %s\n%s", err, out, &errs)
	}
}
