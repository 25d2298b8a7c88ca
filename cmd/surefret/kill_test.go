package main

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/console"
	"surefret/drills"
	"surefret/store"
)

// often is how many times a test tries what chance decides: few times, or many where
// SUREFRET_MANY is set.
func often(few, many int) int {
	if os.Getenv("SUREFRET_MANY") != "" {
		return many
	}
	return few
}

// TestNoAnsweredQuestionIsLostToAKill kills the program while a driver answers
// in line mode, at random instants: while it starts, asks, saves or makes the
// backup of the day. Each answer whose feedback was printed is in the log, once,
// and 'surefret data check' finds the log sound each time.
func TestNoAnsweredQuestionIsLostToAKill(t *testing.T) {
	kills := often(20, 500)
	path := filepath.Join(t.TempDir(), "surefret.db")
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))
	logged, answered, silent := 0, 0, 0
	for kill := range kills {
		// Half of the kills count from the start, half from the first feedback.
		moment := time.Duration(rng.IntN(60_000)) * time.Microsecond
		acknowledged := answerUntil(t, os.Kill, path, uint64(kill), moment, kill%2, func() {}).acknowledged
		if len(acknowledged) == 0 {
			silent++
		}
		answered += len(acknowledged)
		rows := logRows(t, path)
		// What the program had saved but not yet said may be there too.
		fresh := rows[logged:]
		if len(fresh) < len(acknowledged) || len(fresh) > len(acknowledged)+1 {
			t.Fatalf("kill %d: %d answers were acknowledged and %d are in the log", kill, len(acknowledged), len(fresh))
		}
		for i, question := range acknowledged {
			if fresh[i].Question != question || fresh[i].Given == "" {
				t.Errorf("kill %d: %q was answered, and the log has %q", kill, question, fresh[i].Question)
			}
		}
		logged = len(rows)
		var out bytes.Buffer
		check := &program{Console: console.Console{In: strings.NewReader(""), Out: &out, Err: &out, Getenv: func(string) string { return "" }}}
		if code := check.run(t.Context(), []string{"data", "check", "--db", path}); code != exitDone {
			t.Fatalf("kill %d: data check ends with %d: %s", kill, code, out.String())
		}
	}
	t.Logf("%d kills, %d of them before the first feedback; %d answers acknowledged, all of them in the log", kills, silent, answered)
	if answered == 0 {
		t.Error("no answer was acknowledged: the test shows nothing")
	}
}

// An endedRun is what became of a program that was told to end.
type endedRun struct {
	acknowledged []string // the questions whose feedback was printed
	printed      []string // the lines on standard output
	said         string   // on standard error
	state        *os.ProcessState
}

// answerUntil runs the program, answers what it asks, and sends it a signal at a
// moment after so many answers were acknowledged. It calls asked at the first
// question.
func answerUntil(t *testing.T, sig os.Signal, path string, seed uint64, moment time.Duration, after int, asked func()) (e endedRun) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Args = []string{"surefret", "practice", "--line", "--mute", "--drill", "note", "--minutes", "60", "--db", path, "--seed", fmt.Sprint(seed + 1)}
	cmd.Env = append(os.Environ(), "HOME="+filepath.Dir(path), "TERM=dumb")
	var said strings.Builder
	cmd.Stderr = &said
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	hangs := time.AfterFunc(10*time.Minute, func() { cmd.Process.Kill() })
	defer hangs.Stop()
	end := func() { time.AfterFunc(moment, func() { cmd.Process.Signal(sig) }) }
	if after == 0 {
		end()
	}
	lines := bufio.NewReader(out)
	question := ""
	for {
		text, err := lines.ReadString('\n')
		if err != nil { // a line that was cut off was not printed
			break
		}
		text = strings.TrimSuffix(text, "\n")
		e.printed = append(e.printed, text)
		switch {
		case strings.HasSuffix(text, "?"):
			if question == "" {
				asked()
			}
			question = text
			io.WriteString(in, replyTo(question)+"\n") // it may be dead by now
		case strings.HasPrefix(text, "right") || strings.HasPrefix(text, "wrong"):
			if e.acknowledged = append(e.acknowledged, question); len(e.acknowledged) == after {
				end()
			}
		}
	}
	cmd.Wait()
	e.said, e.state = said.String(), cmd.ProcessState
	return e
}

// replyTo returns an answer of the kind that a question about notes asks for,
// right or not.
func replyTo(question string) string {
	switch {
	case strings.HasSuffix(question, "which fret?"):
		return "3"
	case strings.HasSuffix(question, "places?"):
		return "6/3"
	}
	return "G"
}

// logRows reads the log in the order in which the rows arrived.
func logRows(t *testing.T, path string) []drills.Answer {
	t.Helper()
	db, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	rows, _, err := db.Tail(t.Context(), 0)
	if err != nil {
		t.Fatal(err)
	}
	return rows
}
