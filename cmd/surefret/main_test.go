package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
)

// The exit codes that scripts rely on: 0 done, 1 failed, 2 for the player to
// mend; whatever is not done is told in one line.
func TestExitCodes(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		args string
		code int
	}{
		{"--help", exitDone},
		{"key Bb", exitDone},
		{"play note E2 --wav " + filepath.Join(dir, "e.wav"), exitDone},
		{"play note E2 --wav " + filepath.Join(dir, "no", "e.wav"), exitFailed},
		{"play note E2 --wav " + dir, exitFailed},
		{"nonsense", exitUsage},
		{"practice --nonsense", exitUsage},
		{"practice --minutes NaN", exitUsage},
		{"practice --frets 30", exitUsage},
		{"practice --drill ear --mute", exitUsage},
		{"play shape tenth-6-minor", exitUsage},
		{"play walkup D 4-1 --tempo 0 --midi " + filepath.Join(dir, "w.mid"), exitUsage},
		{"play drone E --seconds NaN --wav " + filepath.Join(dir, "d.wav"), exitUsage},
		{"key H", exitUsage},
		{"gig show Nowhere", exitUsage},
		{"gig show Nowhere --json --line", exitUsage},
		{"demo --player Nobody neck", exitUsage},
	} {
		var out, errs bytes.Buffer
		env := map[string]string{"HOME": dir, "SUREFRET_CLOCK": "2026-11-25T18:00:00Z"}
		p := &program{in: strings.NewReader(""), out: &out, err: &errs, getenv: func(key string) string { return env[key] }}
		code := p.run(t.Context(), strings.Fields(c.args))
		if code != c.code {
			t.Errorf("surefret %s ends with %d, want %d: %s", c.args, code, c.code, errs.String())
		}
		last := strings.TrimSuffix(errs.String(), "\n")
		if i := strings.LastIndexByte(last, '\n'); i >= 0 {
			last = last[i+1:]
		}
		if code != exitDone && !strings.HasPrefix(last, "surefret: ") {
			t.Errorf("surefret %s says %q", c.args, errs.String())
		}
	}
}

// A tuning that cannot be practised with is refused, and the player's practice
// can still be opened.
func TestATuningWithTwoLikeStringsIsRefused(t *testing.T) {
	dir := t.TempDir()
	run := func(input string, args ...string) (string, int) {
		var out, errs bytes.Buffer
		env := map[string]string{"HOME": dir}
		p := &program{in: strings.NewReader(input), out: &out, err: &errs, getenv: func(key string) string { return env[key] }}
		code := p.run(t.Context(), args)
		return errs.String(), code
	}
	if said, _ := run("D2 A2 D3 D3 A3 D4\nstop\n", "setup", "--line"); !strings.Contains(said, "pitch of its own") {
		t.Errorf("setup says %q", said)
	}
	if said, code := run("", "gig", "list"); code != exitDone {
		t.Errorf("afterwards gig list ends with %d: %s", code, said)
	}
}
