package cli

import (
	"os"
	"os/exec"
	"strings"
	"testing"
)

// Text that roff would take for a request, an escape or a typographer's quote
// comes out as it was.
func TestRoffKeepsTextAsItIs(t *testing.T) {
	if _, err := exec.LookPath("groff"); err != nil && os.Getenv("CI") != "true" {
		t.Skip("groff is not installed")
	}
	const text = "a\\b -- 'c'\n.d \"e\"\n'f ~^`"
	cmd := exec.Command("groff", "-man", "-Tascii", "-P-c", "-P-b", "-P-u", "-P-o")
	cmd.Stdin = strings.NewReader(".TH X 1 2026-11-25\n.SH X\n" + asTyped(text))
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(text, "\n") {
		if !strings.Contains(string(out), line) {
			t.Errorf("%q is not in\n%s", line, out)
		}
	}
}
