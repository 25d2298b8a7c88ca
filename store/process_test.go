package store_test

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"surefret/store"
)

// The test program is also the other process: with these set, it answers
// questions and acknowledges each answer on its output once it is saved.
const (
	answerTo    = "SUREFRET_TEST_ANSWER_TO"    // the log
	answerTimes = "SUREFRET_TEST_ANSWER_TIMES" // how many, 0 for ever
)

func TestMain(m *testing.M) {
	if path := os.Getenv(answerTo); path != "" {
		times, _ := strconv.Atoi(os.Getenv(answerTimes))
		if err := answering(path, times); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	if !long() {
		flag.Set("rapid.checks", "10") // unless the command line says otherwise
	}
	if memory, err := os.MkdirTemp("/dev/shm", "surefret-test-*"); err == nil { // few tests are about the disk
		os.Setenv("TMPDIR", memory)
		defer os.RemoveAll(memory)
	}
	m.Run()
	store.RemoveLives()
}

// answering is a player who never thinks. After each answer he looks whether
// somebody else has practised; at the end he says how long he had to wait.
func answering(path string, times int) error {
	store.Patient() // others may be at work for long on a busy machine
	ctx := context.Background()
	db, err := store.Open(ctx, path)
	if err != nil {
		return err
	}
	at, err := db.End(ctx)
	if err != nil {
		return err
	}
	var longest time.Duration
	for n := 0; n < times || times == 0; n++ {
		r := answer(n)
		start := time.Now()
		if err := db.Append(ctx, r); err != nil {
			return err
		}
		longest = max(longest, time.Since(start))
		if _, err := fmt.Println(r.ID); err != nil {
			return err
		}
		if _, at, err = db.Tail(ctx, at); err != nil {
			return err
		}
		for _, err := range db.Effective(ctx, 0) { // what to ask next
			if err != nil {
				return err
			}
		}
	}
	fmt.Fprintln(os.Stderr, "longest wait", longest)
	return db.Close()
}

// player starts an answering process.
func player(t *testing.T, path string, times int) (*exec.Cmd, *bufio.Scanner) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Stderr = t.Output()
	cmd.Env = append(os.Environ(), answerTo+"="+path, answerTimes+"="+strconv.Itoa(times))
	out, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	return cmd, bufio.NewScanner(out)
}

func TestTwoProcessesMayPractiseAtOnce(t *testing.T) {
	const each = 300
	db := newLog(t)
	one, outOne := player(t, db.Path(), each)
	two, outTwo := player(t, db.Path(), each)
	acknowledged := make(chan map[string]bool)
	for _, out := range []*bufio.Scanner{outOne, outTwo} {
		go func() {
			ids := map[string]bool{}
			for out.Scan() {
				ids[out.Text()] = true
			}
			acknowledged <- ids
		}()
	}
	// Meanwhile a third one reads on, as before each of its questions.
	seen := map[string]int{}
	var at store.Cursor
	look := func() {
		rows, now, err := db.Tail(t.Context(), at)
		must(t, err)
		at = now
		for _, r := range rows {
			seen[r.ID]++
		}
	}
	all := map[string]bool{}
	for range 2 {
		for done := false; !done; {
			select {
			case ids := <-acknowledged:
				for id := range ids {
					all[id] = true
				}
				done = true
			default:
				look()
			}
		}
	}
	for _, cmd := range []*exec.Cmd{one, two} {
		if err := cmd.Wait(); err != nil {
			t.Errorf("a process failed: %v", err)
		}
	}
	look()
	if len(all) != 2*each || len(seen) != 2*each {
		t.Fatalf("%d answers acknowledged and %d seen, want %d", len(all), len(seen), 2*each)
	}
	for id := range all {
		if seen[id] != 1 {
			t.Errorf("the answer %s was seen %d times", id, seen[id])
		}
	}
	if r, err := db.Check(t.Context()); err != nil || len(r.Faults) > 0 || r.Answers != 2*each {
		t.Errorf("%+v, %v", r, err)
	}
}

// Many processes that start at once make one log between them.
func TestProcessesThatStartTogetherMakeOneLog(t *testing.T) {
	path := filepath.Join(t.TempDir(), "surefret.db")
	var players []*exec.Cmd
	var outs []*bufio.Scanner
	for range 6 {
		cmd, out := player(t, path, 5)
		players, outs = append(players, cmd), append(outs, out)
	}
	for i, cmd := range players {
		for outs[i].Scan() {
		}
		if err := cmd.Wait(); err != nil {
			t.Error(err)
		}
	}
	db := openAt(t, path)
	if r, err := db.Check(t.Context()); err != nil || len(r.Faults) > 0 || r.Answers != 30 || r.Devices != 1 {
		t.Errorf("%+v, %v; want 30 answers of one device", r, err)
	}
}
