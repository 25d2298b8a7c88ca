package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/settings"
	"surefret/store"
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
	{"song move umbrella.cho --to Ab --line", 0},
	{"part list --line", 0},
	{"shape add bell-chord --frets \"x x 11 9 10 x\" --root-string 3 --line", 0},
	{"gig song \"Harbour Fair\" Cockles --called Eb --line", 0},
	{"choose only tenth-6-minor --line", 0},
	{"data where --line", 0},
	{"data check --line", 0},
	{"tune --listen-from strings.wav --line", 0},
	{"listen check take1.wav --line", 0},
	{"rehearse Cockles --called Eb --mute --line", 0},
	{"setup --line", 0},
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
		typed := "stop\n"
		if strings.HasPrefix(page.command, "rehearse") {
			typed = "" // it would stop at some bar
		}
		out, said, code := runHere(t, home, typed, commandLine(page.command)...)
		if code != exitDone {
			t.Fatalf("surefret %s ends with %d: %s", page.command, code, said)
		}
		out = strings.ReplaceAll(out, home, "/home/wren")
		fmt.Fprintf(&all, "$ surefret %s\n%s\n", page.command, out)
		for line := range strings.Lines(out) {
			if prose, _, _ := strings.Cut(strings.ReplaceAll(line, "/home/wren/.local/share/surefret/", ""), "'surefret"); strings.ContainsAny(prose, "#|%=/*[]") {
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

// Every command that players see can be asked to speak, but those that print for other
// programs; and the setting has them all speak, errors too.
func TestEveryCommandCanSpeak(t *testing.T) {
	everyCommand(t, func(t *testing.T, cmd *cobra.Command) {
		silent := cmd.Name() == "export" || cmd.Name() == "help" || slices.Contains(forPrograms, cmd.CommandPath()) || cmd.HasSubCommands() && cmd.Flags().Lookup("json") == nil
		if has := cmd.Flags().Lookup("line") != nil; has == silent {
			t.Errorf("it has --line: %v", has)
		}
	})
	home := stocked(t)
	set := settings.Default()
	set.Speak = true
	db, err := store.Open(t.Context(), filepath.Join(home, ".local/share/surefret/surefret.db"))
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(db.SaveSettings(t.Context(), set.ToMap()), db.Close()); err != nil {
		t.Fatal(err)
	}
	for command, want := range map[string]string{
		"song move umbrella.cho --to Bb":       "Copper Umbrella is in B flat major.",
		"gig song Lantern Cockles --called Eb": "called in E flat major",
	} {
		out, errs, _ := runHere(t, home, "", commandLine(command)...)
		if !strings.Contains(out+errs, want) {
			t.Errorf("surefret %s says %q", command, out+errs)
		}
	}
}
