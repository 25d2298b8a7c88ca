package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"surefret/cmd/surefret/demo"
)

// everyCommand calls visit for each command that players see.
func everyCommand(t *testing.T, visit func(t *testing.T, cmd *cobra.Command)) {
	t.Helper()
	p := &program{in: strings.NewReader(""), out: io.Discard, err: io.Discard, getenv: func(string) string { return "" }}
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

func TestEveryCommandExplainsItself(t *testing.T) {
	everyCommand(t, func(t *testing.T, cmd *cobra.Command) {
		if cmd.Short == "" || strings.HasSuffix(cmd.Short, ".") {
			t.Errorf("the short description is %q: expected words without a full stop", cmd.Short)
		}
		if cmd.Example == "" {
			t.Error("there is no example")
		}
		for _, example := range strings.Split(cmd.Example, "\n") {
			if !strings.HasPrefix(example, "  surefret") {
				t.Errorf("example %q does not begin with the program's name, set in by two", example)
				continue
			}
			found, rest, err := cmd.Root().Find(commandLine(example)[1:])
			if err != nil {
				t.Errorf("example %q: %v", example, err)
				continue
			}
			under := found == cmd
			for c := found; c != nil && cmd.HasSubCommands(); c = c.Parent() {
				under = under || c == cmd
			}
			if !under {
				t.Errorf("example %q is of %q", example, found.CommandPath())
			}
			for _, word := range rest {
				if name, ok := strings.CutPrefix(word, "--"); ok && found.Name() != "demo" && found.Flag(name) == nil {
					t.Errorf("example %q: there is no flag --%s", example, name)
				}
			}
		}
		cmd.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if f.Usage == "" || strings.HasPrefix(f.Usage, "help for ") {
				t.Errorf("--%s says %q of itself", f.Name, f.Usage)
			}
		})
		var help bytes.Buffer
		describe(cmd).text(&help)
		for _, line := range strings.Split(help.String(), "\n") {
			if utf8.RuneCountInString(line) > helpWidth && !strings.HasPrefix(line, "  surefret") && !strings.HasPrefix(line, "  {") {
				t.Errorf("the help is wider than %d columns: %q", helpWidth, line)
			}
		}
		for _, words := range []string{cmd.Short, "Exit codes:\n  0  done\n  1  failed\n  2  bad input or usage\n", cmd.Example} {
			if cmd.Long != "" && words == cmd.Short {
				continue
			}
			if !strings.Contains(strings.Join(strings.Fields(help.String()), " "), strings.Join(strings.Fields(words), " ")) {
				t.Errorf("the help does not say %q", words)
			}
		}
	})
}

// An error is one sentence that says what was probably meant.
func TestMistypedWordsAreAnswered(t *testing.T) {
	for _, c := range []struct{ args, said string }{
		{"practise", `'surefret' has no command "practise": did you mean practice?`},
		{"gig lst", `'surefret gig' has no command "lst": did you mean list?`},
		{"data wher", "did you mean where?"},
		{"help gig shwo", "did you mean show?"},
		{"xyzzy", "see 'surefret --help'"},
		{"practice --mintes 5", "'surefret practice' has no flag --mintes: did you mean --minutes?"},
		{"practice -minutes 5", "has no flag -minutes: did you mean --minutes?"},
		{"gig show Fair --jsn", "did you mean --json?"},
		{"neck -x", "has no flag -x: see 'surefret neck --help'"},
		{"practice --minutes ten", "--minutes ten: expected a number, see"},
		{"practice --strings e", "--strings e: expected whole numbers with commas between them"},
		{"practice --minutes", "--minutes needs MINUTES after it"},
		{"part move x.tab", "'surefret part move' needs --from and --to: see"},
		{"gig show Fair --json --line", "--json and --line do not go together"},
		{"key", "but like 'surefret key KEY"},
		{"gig add one two", "but like 'surefret gig add [NAME]"},
		{"completion tcsh", "expected bash, zsh, fish or powershell"},
		{"--json", "--json goes with --version here"},
	} {
		_, said, code := runHere(t, t.TempDir(), "", strings.Fields(c.args)...)
		if code != exitUsage || !strings.Contains(said, c.said) || strings.Count(said, "\n") != 1 {
			t.Errorf("surefret %s ends with %d and says %q, want %d and one line with %q", c.args, code, said, exitUsage, c.said)
		}
	}
}

// runHere runs one command line with dir as the home and the folder for what is
// thrown away.
func runHere(t *testing.T, dir, input string, args ...string) (out, errs string, code int) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	env := map[string]string{"HOME": dir, "SUREFRET_CLOCK": "2026-11-25T18:00:00Z"}
	p := &program{in: strings.NewReader(input), out: &stdout, err: &stderr, getenv: func(key string) string { return env[key] }}
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
	if err := os.WriteFile("tin-umbrella.tab", []byte(demo.Part), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{
		`gig add "Harbour Fair" --day 2026-12-05`,
		`gig add "Lantern Night" --day 2026-12-19`,
		`gig song "Harbour Fair" "Tin Umbrella" --learned D --called Bb --chords "1 5 6- 4" --shapes tenth-6-minor`,
		`gig song "Harbour Fair" Ropewalk --learned G --chords "1 4"`,
		`gig export "Harbour Fair" harbour.toml`,
		`--db laptop.db practice --line --mute --minutes 1 --seed 3`,
		`practice --line --mute --minutes 1 --seed 1`,
		`data export practice.jsonl`,
		`data backup kept.db`,
	} {
		if _, said, code := runHere(t, dir, "E\n1\n2\nstop\n", commandLine(line)...); code != exitDone {
			t.Fatalf("surefret %s: %s", line, said)
		}
	}
	return dir
}

// Every example in the help does what it says. Those that would sound write a
// file instead, so that the test needs no sound card.
func TestExamplesRun(t *testing.T) {
	dir := stocked(t)
	var lines []string
	everyCommand(t, func(_ *testing.T, cmd *cobra.Command) {
		if !cmd.HasSubCommands() {
			lines = append(lines, strings.Split(cmd.Example, "\n")...)
		}
	})
	for _, line := range lines {
		args := commandLine(line)[1:]
		if i := slices.IndexFunc(args, func(a string) bool { return strings.HasPrefix(a, ">") }); i >= 0 {
			args = args[:i]
		}
		switch at := strings.Join(args[:min(2, len(args))], " "); {
		case args[0] == "demo" && testing.Short():
			continue // half a year of practice is invented first
		case args[0] == "play" && !slices.Contains(args, "--wav"):
			args = append(args, "--wav", "example.wav")
		case args[0] == "practice":
			args = append(args, "--mute")
		case at == "demo":
			args = append(args, "practice", "--mute")
		case at == "data backup":
			args[2] = "example.db"
		case at == "data restore":
			args[2] = "kept.db"
		case at == "gig add":
			args = append(args, "--db", "new.db")
		}
		if _, said, code := runHere(t, dir, "stop\n", args...); code != exitDone {
			t.Errorf("%s ends with %d: %s", strings.TrimSpace(line), code, said)
		}
		// A gig that an example renamed or removed is there again for the next.
		if args[0] == "gig" && !slices.Contains([]string{"list", "show", "export"}, args[1]) {
			runHere(t, dir, "", "data", "restore", "kept.db")
		}
	}
}

// tellsNoFacts are the commands that print nothing a script could want, and why.
var tellsNoFacts = map[string]string{
	"surefret practice":    "a dialogue",
	"surefret setup":       "a dialogue",
	"surefret demo":        "runs another command, with that one's flags",
	"surefret gig add":     "prints nothing",
	"surefret gig song":    "prints nothing",
	"surefret gig edit":    "prints nothing",
	"surefret gig remove":  "prints nothing",
	"surefret gig import":  "prints one sentence: the exit code says it",
	"surefret gig export":  "writes a file for people and programs alike",
	"surefret data backup": "prints one sentence: the exit code says it",
	"surefret data export": "prints JSON Lines as it is",
	"surefret play note":   "sounds", "surefret play shape": "sounds", "surefret play walkup": "sounds",
	"surefret play part": "sounds", "surefret play tuning": "sounds", "surefret play drone": "sounds",
	"surefret completion": "writes a script", "surefret man": "writes files", "surefret help": "a page to read",
}

// factArguments complete the command lines of those that tell facts.
var factArguments = map[string]string{
	"surefret":              "--version",
	"surefret key":          "Eb",
	"surefret shape show":   "tenth-6-minor --root B",
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
		path := cmd.CommandPath()
		_, none := tellsNoFacts[path]
		if none || cmd.HasParent() && cmd.HasSubCommands() {
			if cmd.Flags().Lookup("json") != nil {
				t.Error("has --json after all: take it off the list")
			}
			return
		}
		if cmd.Flags().Lookup("json") == nil {
			t.Fatal("prints facts, and has no --json")
		}
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
		name := filepath.Join(dir, manName(cmd.CommandPath())+".1")
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		pages = append(pages, name)
		for _, words := range []string{".SH NAME", ".SH SYNOPSIS", ".SH OPTIONS", ".SH EXIT STATUS", ".SH EXAMPLES", roff(cmd.Short), roff("--help")} {
			if !strings.Contains(string(text), words) {
				t.Errorf("%s lacks %q", filepath.Base(name), words)
			}
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

// A flag that is copied from a page must be typed with the minus of ASCII: where
// the page has a bare hyphen, a reader may print a typographer's.
func TestRoffWritesMinusSigns(t *testing.T) {
	if got, want := roff("--json a-b"), `\-\-json a\-b`; got != want {
		t.Errorf("wrote %q, want %q", got, want)
	}
}

// Text that roff would take for a request, an escape or a typographer's quote
// comes out as it was.
func TestRoffKeepsTextAsItIs(t *testing.T) {
	needTool(t, "groff")
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
