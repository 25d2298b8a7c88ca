package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/console"
	"surefret/cmd/surefret/demo"
)

// everyCommand calls visit for each command that players see.
func everyCommand(t *testing.T, visit func(t *testing.T, cmd *cobra.Command)) {
	t.Helper()
	p := &program{Console: console.Console{In: strings.NewReader(""), Out: io.Discard, Err: io.Discard, Getenv: func(string) string { return "" }}}
	seen := 0
	var walk func(cmd *cobra.Command)
	walk = func(cmd *cobra.Command) {
		seen++
		t.Run(cmd.CommandPath(), func(t *testing.T) { visit(t, cmd) })
		for _, sub := range cmd.Commands() {
			walk(sub)
		}
	}
	walk(p.root())
	if seen < 30 {
		t.Fatalf("found %d commands, which cannot be all", seen)
	}
}

// commandLine cuts an example into words as a shell does, as far as examples
// go: quotes keep words together.
func commandLine(example string) []string {
	var words []string
	word, inWord, quoted := "", false, false
	for _, r := range strings.TrimSpace(example) {
		switch {
		case r == '"':
			quoted, inWord = !quoted, true
		case r == ' ' && !quoted:
			if inWord {
				words = append(words, word)
			}
			word, inWord = "", false
		default:
			word, inWord = word+string(r), true
		}
	}
	if inWord {
		words = append(words, word)
	}
	return words
}

// Every command is told of in the help, with words for each flag, in no more
// than 80 columns.
func TestEveryCommandExplainsItself(t *testing.T) {
	everyCommand(t, func(t *testing.T, cmd *cobra.Command) {
		var help bytes.Buffer
		cmd.Root().SetOut(&help)
		if err := cmd.Help(); err != nil {
			t.Fatal(err)
		}
		if cmd.Short == "" || cmd.Example == "" || !strings.Contains(help.String(), "\nExamples:\n"+cmd.Example) {
			t.Errorf("it lacks a description or an example:\n%s", &help)
		}
		cmd.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if f.Usage == "" || f.Hidden == strings.Contains(help.String(), "  --"+f.Name+" ") && f.Name != "help" {
				t.Errorf("--%s is not told of, or hidden and told of", f.Name)
			}
		})
		for line := range strings.Lines(help.String()) {
			if utf8.RuneCountInString(line) > cli.Width+1 && !strings.HasPrefix(line, "  surefret") && !strings.HasPrefix(line, "  {") {
				t.Errorf("wider than %d columns: %q", cli.Width, line)
			}
		}
	})
}

// A mistake is told in one sentence that says what was probably meant or what to
// do, and scripts can tell by the exit code whose fault it was.
func TestMistakesAreAnswered(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		args string
		code int
		said string
	}{
		{"practise", exitUsage, `'surefret' has no command "practise": did you mean practice?`},
		{"gig lst", exitUsage, `'surefret gig' has no command "lst": did you mean list?`},
		{"help gig shwo", exitUsage, "did you mean show?"},
		{"neck --svg a.svg --json", exitUsage, "--json"},
		{"progress --html a.html --json", exitUsage, "--json"},
		{"xyzzy", exitUsage, "see 'surefret --help'"},
		{"practice --mintes 5", exitUsage, "'surefret practice' has no flag --mintes: did you mean --minutes?"},
		{"practice -minutes 5", exitUsage, "has no flag -minutes: did you mean --minutes?"},
		{"neck -x", exitUsage, "has no flag -x: see 'surefret neck --help'"},
		{"practice --minutes ten", exitUsage, "--minutes ten: use a number, see"},
		{"practice --strings e", exitUsage, "--strings e: use whole numbers with commas between them"},
		{"practice --minutes", exitUsage, "--minutes needs MINUTES after it"},
		{"practice --minutes NaN", exitUsage, "--minutes"},
		{"practice --frets 30", exitUsage, "--frets"},
		{"part move x.tab", exitUsage, "'surefret part move' needs --from and --to: see"},
		{"play shape tenth-6-minor", exitUsage, "needs --root"},
		{"gig show Fair --json --line", exitUsage, "--json and --line do not go together"},
		{"key", exitUsage, "'surefret key' needs KEY"},
		{"key H", exitUsage, "is not a key"},
		{"gig add one two", exitUsage, "use it like 'surefret gig add [NAME]"},
		{"gig show Nowhere", exitUsage, `no gig is called "Nowhere"`},
		{"completion tcsh", exitUsage, "expected bash, zsh, fish or powershell"},
		{"--json", exitUsage, "--json goes with --version here"},
		{"play walkup D 4-1 --tempo 0 --midi w.mid", exitUsage, "--tempo 0"},
		{"play drone E --seconds NaN --wav d.wav", exitUsage, "--seconds NaN"},
		{"play note E2 --wav no/e.wav", exitFailed, "cannot write no/e.wav: there is no folder no; make it, or choose another place"},
		{"play note E2 --wav .", exitFailed, "is a directory"},
		{"part move x.tab --from D --to E --midi -", exitUsage, "give a name in place of -"},
		{"demo --player Nobody neck", exitUsage, "two guitarists"},
	} {
		_, said, code := runHere(t, dir, "", strings.Fields(c.args)...)
		if code != c.code || !strings.Contains(said, c.said) || strings.Count(said, "\n") != 1 || !strings.HasPrefix(said, "surefret: ") {
			t.Errorf("surefret %s ends with %d and says %q, want %d and one line with %q", c.args, code, said, c.code, c.said)
		}
	}
}

// runHere runs one command line with dir as the home and the folder for what is
// thrown away.
func runHere(t *testing.T, dir, input string, args ...string) (out, errs string, code int) {
	t.Helper()
	return runAt(t, "2026-11-25T18:00:00Z", dir, input, args...)
}

// runAt does so at another time.
func runAt(t *testing.T, clock, dir, input string, args ...string) (out, errs string, code int) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	env := map[string]string{"HOME": dir, "SUREFRET_CLOCK": clock}
	p := &program{Console: console.Console{In: strings.NewReader(input), Out: &stdout, Err: &stderr, Getenv: func(key string) string { return env[key] }}}
	code = p.run(t.Context(), args)
	return stdout.String(), stderr.String(), code
}

// stocked returns a folder that holds what the examples speak of, with a
// practice of some answers and gigs in it.
func stocked(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	t.Chdir(dir)
	t.Setenv("TMPDIR", dir)
	if err := errors.Join(os.Mkdir("lessons", 0o755), os.WriteFile("tin-umbrella.tab", []byte(demo.Part), 0o644)); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"intro.tab": demo.Part, "bridge.tab": demo.Part, "umbrella.cho": "{title: Copper Umbrella}\n{key: D}\n[D]Tin um[A]brella\n", "umbrella.txt": "Key: D\n\n| D | A | Bm | G |\n"} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, line := range []string{
		`gig add "Harbour Fair" --day 2026-12-05`,
		`gig add "Lantern Night" --day 2026-12-19`,
		`song add "Tin Umbrella" --learned D --chords "1 5 6- 4" --shapes tenth-6-minor`,
		`song add Ropewalk --learned G --chords "1 4"`,
		`gig song "Harbour Fair" "Tin Umbrella" --called Bb`,
		`gig song "Harbour Fair" Ropewalk`,
		`song add Cockles --learned C --chords "1 6- 4 5"`,
		`part add bridge.tab --song Cockles`,
		`play note E2 --wav take1.wav`,
		`play tuning --wav strings.wav`,
		`gig export "Harbour Fair" harbour.toml`,
		`--db laptop.db practice --line --mute --minutes 1 --seed 3`,
		`practice --line --mute --minutes 1 --seed 1`,
		`data export practice.jsonl`,
		`data backup kept.db`,
		`data backup lessons/mine.db`,
	} {
		if _, said, code := runHere(t, dir, "E\n1\n2\nstop\n", commandLine(line)...); code != exitDone {
			t.Fatalf("surefret %s: %s", line, said)
		}
	}
	return dir
}

// Every example of the help and of the README does what it says. Those that would sound
// or listen go by files instead, so that the test needs no sound card.
func TestExamplesRun(t *testing.T) {
	lines := readmeExamples(t)
	dir := stocked(t)
	everyCommand(t, func(_ *testing.T, cmd *cobra.Command) {
		for line := range strings.SplitSeq(cmd.Example, "\n") {
			if line = strings.TrimSpace(line); !slices.Contains(lines, line) {
				lines = append(lines, line)
			}
		}
	})
	if len(lines) < 120 {
		t.Fatalf("found %d examples, which cannot be all", len(lines))
	}
	for _, line := range lines {
		args := commandLine(line)[1:]
		if len(args) == 0 {
			args = []string{"practice"}
		}
		if i := slices.IndexFunc(args, func(a string) bool { return strings.HasPrefix(a, ">") }); i >= 0 {
			args = args[:i]
		}
		switch at := strings.Join(args[:min(2, len(args))], " "); {
		case args[0] == "demo" && testing.Short():
			continue // half a year of practice is invented first
		case args[0] == "play" && !slices.Contains(args, "--wav"):
			args = append(args, "--wav", "example.wav")
		case args[0] == "tune" && !slices.Contains(args, "--listen-from"):
			args = append(args, "--listen-from", "strings.wav")
		case at == "practice --listen":
			args = []string{"practice", "--listen-from", "strings.wav", "--mute"}
		case args[0] == "practice":
			args = append(args, "--mute")
		case at == "demo":
			args = append(args, "practice", "--mute")
		case at == "data backup":
			args[2] = fmt.Sprintf("example-%d.db", len(args[2]))
		case at == "data restore":
			args[2] = "kept.db"
		case at == "gig add":
			args = append(args, "--db", "new.db")
		}
		if _, said, code := runHere(t, dir, "stop\n", args...); code != exitDone {
			t.Errorf("%s ends with %d: %s", line, code, said)
		}
		// What an example changed or removed is there again for the next.
		if slices.Contains([]string{"choose", "gig", "part", "song"}, args[0]) && len(args) > 1 && !slices.Contains([]string{"list", "show", "export", "move"}, args[1]) {
			runHere(t, dir, "", "data", "restore", "kept.db")
		}
	}
}

// full is an output that takes nothing.
type full struct{ written int }

func (f *full) Write(b []byte) (int, error) { f.written += len(b); return 0, syscall.ENOSPC }

// Whatever a command prints, it fails where that does not arrive, and says so.
func TestAFullOutputIsTold(t *testing.T) {
	dir := stocked(t)
	told := 0
	everyCommand(t, func(t *testing.T, cmd *cobra.Command) {
		path := cmd.CommandPath()
		args := commandLine(strings.Split(cmd.Example, "\n")[0])[1:]
		switch {
		case path == "surefret demo" || path == "surefret man":
			return // it prints what others do; files
		case path == "surefret" || path == "surefret practice":
			args = []string{"practice", "--line", "--mute"}
		case cmd.HasSubCommands() || strings.HasPrefix(path, "surefret play"):
			args = append([]string{"help"}, strings.Fields(path)[1:]...)
		case factArguments[path] != "":
			args = append(strings.Fields(path)[1:], commandLine(factArguments[path])...)
		case path == "surefret data export" || path == "surefret completion":
			args = args[:2]
		case path == "surefret data backup":
			args[2] = "full.db"
		case path == "surefret gig export" || path == "surefret song export" || path == "surefret choose export":
			args[len(args)-1] = "-"
		}
		if path == "surefret choose import" {
			runHere(t, dir, "", "choose", "export", args[2])
		}
		out, said := new(full), new(strings.Builder)
		env := map[string]string{"HOME": dir, "SUREFRET_CLOCK": "2026-11-25T18:00:00Z"}
		p := &program{Console: console.Console{In: strings.NewReader("stop\n"), Out: out, Err: said, Getenv: func(key string) string { return env[key] }}}
		code := p.run(t.Context(), args)
		if out.written > 0 {
			told++
		}
		if out.written > 0 && (code != exitFailed || !strings.Contains(said.String(), "surefret: cannot print: no space left")) || out.written == 0 && code != exitDone {
			t.Errorf("%s: %d bytes did not arrive, it ends with %d: %s", args, out.written, code, said)
		}
		if strings.HasPrefix(path, "surefret gig ") || strings.HasPrefix(path, "surefret song ") {
			runHere(t, dir, "", "data", "restore", "kept.db") // what was renamed or removed
		}
	})
	t.Logf("%d commands told of it", told)
	if told < 40 {
		t.Errorf("%d commands printed anything", told)
	}
}

// factArguments complete the command lines of those that tell facts.
var factArguments = map[string]string{
	"surefret":              "--version",
	"surefret key":          "Eb",
	"surefret listen check": "take1.wav",
	"surefret tune":         "--listen-from take1.wav",
	"surefret shape show":   "tenth-6-minor --root B",
	"surefret pupils":       "kept.db laptop.db",
	"surefret song show":    "Cockles",
	"surefret song move":    "umbrella.cho --to Ab",
	"surefret part move":    "tin-umbrella.tab --from D --to C",
	"surefret gig show":     `"Harbour Fair"`,
	"surefret gig call":     `"Tin Umbrella" Bb`,
	"surefret data import":  "practice.jsonl",
	"surefret data merge":   "laptop.db",
	"surefret data restore": "kept.db",
}

func TestFactsComeAsJSON(t *testing.T) {
	dir := stocked(t)
	everyCommand(t, func(t *testing.T, cmd *cobra.Command) {
		if cmd.Flags().Lookup("json") == nil {
			return
		}
		path := cmd.CommandPath()
		args := append(strings.Fields(path)[1:], commandLine(factArguments[path]+" --json")...)
		out, said, code := runHere(t, dir, "", args...)
		if code != exitDone {
			t.Fatalf("ends with %d: %s", code, said)
		}
		dec := json.NewDecoder(strings.NewReader(out))
		var v any
		if err := dec.Decode(&v); err != nil {
			t.Fatalf("prints no JSON: %v\n%s", err, out)
		}
		if _, err := dec.Token(); !errors.Is(err, io.EOF) {
			t.Errorf("prints more than one value:\n%s", out)
		}
	})
}

// needTool skips where another program is missing, and fails where all must be
// there.
func needTool(t *testing.T, name string) {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is needed to check this, and is not installed", name)
		}
		t.Skipf("%s is not installed", name)
	}
}

// The man pages say what the help says, and both readers of man pages take them
// without a warning.
func TestManPages(t *testing.T) {
	dir := t.TempDir()
	if _, said, code := runHere(t, dir, "", "man", dir); code != exitDone {
		t.Fatal(said)
	}
	var pages []string
	everyCommand(t, func(t *testing.T, cmd *cobra.Command) {
		if cmd.Hidden {
			return
		}
		name := filepath.Join(dir, strings.ReplaceAll(cmd.CommandPath(), " ", "-")+".1")
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		pages = append(pages, name)
		if !strings.Contains(string(text), strings.ReplaceAll("--help", "-", `\-`)) {
			t.Errorf("%s has bare hyphens, which a reader may print as a typographer's", filepath.Base(name))
		}
	})
	for _, reader := range [][]string{{"groff", "-man", "-ww", "-z", "-Tutf8"}, {"mandoc", "-T", "lint", "-W", "warning"}} {
		t.Run(reader[0], func(t *testing.T) {
			needTool(t, reader[0])
			said, err := exec.Command(reader[0], append(reader[1:len(reader):len(reader)], pages...)...).CombinedOutput()
			if err != nil || len(said) > 0 {
				t.Errorf("%v\n%s", err, said)
			}
		})
	}
}
