package main

import (
	"bytes"
	"strings"
	"testing"
)

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
