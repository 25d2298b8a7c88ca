//go:build unix

package console

import (
	"bufio"
	"io"
	"strings"
	"testing"

	"github.com/creack/pty"
)

// On a terminal a message is broken between words, and every word of it is there.
func TestMessagesAreFoldedOnATerminal(t *testing.T) {
	near, far, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer near.Close()
	defer far.Close()
	if err := pty.Setsize(near, &pty.Winsize{Cols: 40, Rows: 10}); err != nil {
		t.Fatal(err)
	}
	const said = "surefret: no gig is called \"Fair\": 'surefret gig list' shows them all, and that is the end"
	if _, err := io.WriteString(Folded(far), said+"\n"); err != nil { // as messages come
		t.Fatal(err)
	}
	shown := bufio.NewScanner(near)
	got := ""
	for shown.Scan() {
		line := strings.TrimRight(shown.Text(), "\r")
		if len(line) > 40 {
			t.Errorf("%d columns of 40: %q", len(line), line)
		}
		if got = strings.TrimSpace(got + " " + line); strings.HasSuffix(got, "end") {
			break
		}
	}
	if got != said {
		t.Errorf("%q, want %q", got, said)
	}
}
