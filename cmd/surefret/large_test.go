package main

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/console"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/tablature"
)

// allocated is how many bytes f allocates, whether they are freed again or not.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// A file with one line of a gigabyte, which takes no room on the disk, is
// refused in one sentence and is not read to its end. 'data import' reads a
// stream of that length in the store's own tests.
func TestALineOfAGigabyteIsRefusedInLittleMemory(t *testing.T) {
	dir := t.TempDir()
	name, db := filepath.Join(dir, "long.tab"), filepath.Join(dir, "p.db")
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(f.Truncate(1<<30), f.Close()); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	p := &program{Console: console.Console{In: strings.NewReader(""), Out: &out, Err: &out, Getenv: func(string) string { return "" }}}
	if code := p.run(t.Context(), []string{"gig", "add", "Harbour Fair", "--day", "2099-12-05", "--db", db}); code != exitDone {
		t.Fatalf("%d: %s", code, out.String())
	}
	for _, args := range [][]string{
		{"part", "move", name, "--from", "C", "--to", "D"},
		{"play", "part", name},
		{"gig", "import", name, "--gig", "Harbour Fair"},
		{"data", "import", name},
	} {
		out.Reset()
		var code int
		took := allocated(func() { code = p.run(t.Context(), append(args, "--db", db)) })
		text := out.String()
		if code != exitUsage || !strings.Contains(text, "too large") && !strings.Contains(text, "longer than") || strings.Count(text, "\n") != 1 {
			t.Errorf("%v ends with %d: %s", args, code, text)
		}
		if took > 64<<20 {
			t.Errorf("%v allocated %d MB", args, took>>20)
		}
		t.Logf("%s %s: %d MB; %s", args[0], args[1], took>>20, text)
	}
}

// Tablature of the largest size that is read takes a bounded multiple of it,
// whatever it is.
func TestTheLongestTablatureTakesBoundedMemory(t *testing.T) {
	fb := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	system := strings.Repeat(strings.Repeat("-3-", cli.LargestTab/18-1)+"\n", 6)
	for what, text := range map[string]string{
		"one line":      strings.Repeat("a", cli.LargestTab),
		"dashes":        strings.Repeat("-", cli.LargestTab),
		"short lines":   strings.Repeat("\n", cli.LargestTab),
		"one system":    system,
		"short systems": strings.Repeat(strings.Repeat("|-3-|\n", 6)+"\n", cli.LargestTab/37),
	} {
		var err error
		took := allocated(func() { _, err = tablature.Parse(text, fb) })
		t.Logf("%s: %d MB, %v", what, took>>20, err)
		if took > 512*cli.LargestTab {
			t.Errorf("%s: %d MB of tablature took %d MB", what, cli.LargestTab>>20, took>>20)
		}
	}
}
