//go:build linux && cgo && !silent

package microphone

import (
	"bytes"
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"surefret/testdata/oracle"
)

// pulse starts a sound server of the test's own. It has two inputs: "Guitar" is what is
// played into it, of which the first samples come after up to two seconds, and a sine,
// whose come soon.
func pulse(t *testing.T) *exec.Cmd {
	t.Helper()
	program := oracle.Program(t, "pulseaudio")
	dir := t.TempDir()
	socket := filepath.Join(dir, "native")
	for key, value := range map[string]string{"HOME": dir, "XDG_RUNTIME_DIR": dir, "PULSE_SERVER": "unix:" + socket} {
		t.Setenv(key, value)
	}
	server := exec.Command(program, "-n", "--daemonize=no", "--exit-idle-time=-1",
		"-L", "module-native-protocol-unix auth-anonymous=1 socket="+socket,
		"-L", "module-null-sink sink_name=amp",
		"-L", "module-sine sink=amp frequency=110",
		"-L", "module-sine-source source_name=sine frequency=220",
		"-L", "module-remap-source master=amp.monitor source_name=guitar source_properties=device.description=Guitar")
	var said bytes.Buffer
	server.Stderr = &said
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		server.Process.Kill()
		server.Wait()
	})
	for deadline := time.Now().Add(time.Minute); ; time.Sleep(20 * time.Millisecond) {
		if inputs, err := Inputs(Machine()); err == nil && len(inputs) == 2 {
			return server
		}
		if time.Now().After(deadline) { // only for a server that hangs
			t.Fatalf("the server offers nothing: %s", &said)
		}
	}
}

// open counts what the process holds.
func open(t *testing.T) (descriptors, threads int) {
	t.Helper()
	for what, n := range map[string]*int{"fd": &descriptors, "task": &threads} {
		all, err := os.ReadDir(filepath.Join("/proc/self", what))
		if err != nil {
			t.Fatal(err)
		}
		*n = len(all)
	}
	return descriptors, threads
}

// A real input is opened and closed over and over: what sounds is heard, and nothing is
// left of it. When its server is killed it is told as lost, and closing it keeps nobody.
func TestARealInput(t *testing.T) {
	times := 3
	if os.Getenv("SUREFRET_MANY") != "" {
		times = 1000
	}
	server := pulse(t)
	hear := func(name string) *Microphone {
		for deadline := time.Now().Add(time.Minute); ; {
			m, err := Open(t.Context(), Machine(), name)
			if err == nil {
				return m
			}
			if !errors.Is(err, errStuck) || time.Now().After(deadline) { // a loaded machine may be stuck for a while
				t.Fatal(err)
			}
		}
	}
	loud := func(m *Microphone) bool {
		samples, err := m.Next(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, v := range samples {
			sum += float64(v) * float64(v)
		}
		return math.Sqrt(sum/float64(len(samples))) > 0.01
	}
	first := hear("guitar")
	for !loud(first) {
	}
	first.Close()
	descriptors, threads := open(t)
	for range times {
		hear("sine").Close()
	}
	// What hung goes later; the runtime keeps a few threads for itself. The deadline is only
	// there for what is left for good.
	for deadline := time.Now().Add(time.Minute); ; time.Sleep(100 * time.Millisecond) {
		d, n := open(t)
		if d <= descriptors && n <= threads+3 {
			break
		}
		if time.Now().After(deadline) {
			t.Errorf("after %d opens and closes: %d descriptors and %d threads, before %d and %d", times, d, n, descriptors, threads)
			break
		}
	}

	m := hear("guitar")
	server.Process.Kill()
	killed := time.Now()
	err := error(nil)
	for err == nil {
		_, err = m.Next(t.Context())
	}
	t.Logf("told %v after the server was killed", time.Since(killed).Round(time.Millisecond))
	if !errors.Is(err, errLost) {
		t.Errorf("a killed server is told as %v", err)
	}
	m.Close()
	if _, n := open(t); n > threads+5 {
		t.Errorf("after a killed server there are %d threads, before %d", n, threads)
	}
	t.Logf("%d opens and closes: %d descriptors, %d threads", times, descriptors, threads)
}
