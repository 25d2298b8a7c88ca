package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"surefret/testdata/oracle"
)

// spokenPages are the plain commands with, where there is a bar, how many seconds
// speaking the page may take at 300 words a minute.
var spokenPages = []struct {
	command string
	most    float64
}{
	{"demo neck --line", 20},
	{"demo progress --line", 40},
	{`demo gig show "Harbour Fair" --song "Tin Umbrella" --line`, 60},
	{"demo gig list --line", 0},
	{"demo choose --line", 0},
	{"key Eb --line", 0},
	{"shape list --line", 0},
	{"shape show e-form-m7 --root F# --line", 0},
	{"part move tin-umbrella.tab --from D --to Bb --line", 0},
	{`gig call "Tin Umbrella" Bb --line`, 60},
	{"song list --line", 0},
	{"song show Cockles --line", 0},
	{"pupils kept.db --line", 0},
}

// Every plain command has a spoken form without signs, as testdata/spoken.txt has it:
// with SUREFRET_UPDATE set it is written anew.
func TestEveryPlainCommandIsSpoken(t *testing.T) {
	const golden = "testdata/spoken.txt"
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Error(err)
	}
	name, err := filepath.Abs(golden)
	if err != nil {
		t.Fatal(err)
	}
	home := stocked(t)
	var all strings.Builder
	for _, page := range spokenPages {
		out, said, code := runHere(t, home, "", commandLine(page.command)...)
		if code != exitDone {
			t.Fatalf("surefret %s ends with %d: %s", page.command, code, said)
		}
		fmt.Fprintf(&all, "$ surefret %s\n%s\n", page.command, out)
		for line := range strings.Lines(out) {
			if prose, _, _ := strings.Cut(line, "'surefret"); strings.ContainsAny(prose, "#|%=/*[]") {
				t.Errorf("%s has signs: %s", page.command, line)
			}
		}
	}
	if os.Getenv("SUREFRET_UPDATE") != "" {
		if err := os.WriteFile(name, []byte(all.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if all.String() != string(want) {
		t.Errorf("what is spoken is not as in %s; it is now:\n%s", golden, all.String())
	}
}

// espeak-ng reads each page to a file: how long it takes is printed beside its name, and
// the bars are held.
func TestSpokenPagesAreShort(t *testing.T) {
	espeak := oracle.Program(t, "espeak-ng")
	text, err := os.ReadFile("testdata/spoken.txt")
	if err != nil {
		t.Fatal(err)
	}
	pages := strings.Split(string(text), "$ surefret ")[1:]
	if len(pages) != len(spokenPages) {
		t.Fatalf("%d pages, want %d", len(pages), len(spokenPages))
	}
	for i, page := range pages {
		command, said, _ := strings.Cut(page, "\n")
		wav := filepath.Join(t.TempDir(), "page.wav")
		if out, err := exec.Command(espeak, "-s", "300", "-w", wav, said).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		info, err := os.Stat(wav)
		if err != nil {
			t.Fatal(err)
		}
		length := time.Duration(float64(info.Size()-44) / (2 * 22050) * float64(time.Second)) // 16 bits at 22,050 Hz
		t.Logf("%5.1f s  %s", length.Seconds(), command)
		if most := spokenPages[i].most; command != spokenPages[i].command || most > 0 && length.Seconds() > most {
			t.Errorf("%s takes %.1f s, want at most %.0f", command, length.Seconds(), most)
		}
	}
}
