package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"surefret/cmd/surefret/cli"
)

// offered asks as a shell's script does, and returns what may stand there
// without its explanations.
func offered(t *testing.T, dir string, words ...string) []string {
	t.Helper()
	out, said, code := runHere(t, dir, "", append([]string{"__complete"}, words...)...)
	if code != exitDone {
		t.Fatalf("completing %q ends with %d: %s", words, code, said)
	}
	var values []string
	for _, line := range strings.Split(strings.TrimSpace(out), "\n") {
		if line != "" && line[0] != ':' {
			value, _, _ := strings.Cut(line, "\t")
			values = append(values, value)
		}
	}
	return values
}

func TestCompletionKnowsWhatCanStandWhere(t *testing.T) {
	dir := stocked(t)
	for _, c := range []struct {
		line string // the last word is being typed
		want string // all that is offered, in any order
	}{
		{"gi", "gig"},
		{"gig s", "show song"},
		{"practice --mi", "--minutes"},
		{"practice --notes ", "naturals sharps flats"},
		{"practice --drill note,e", "note,ear"},
		{"practice --keys Eb,Ab", "Eb,Ab Eb,Abm"},
		{"key F#", "F# F#m"},
		{"play drone D", "D Db Dm D#m"},
		{"shape show tenth-6-", "tenth-6-major tenth-6-minor"},
		{"shape show tenth-6-minor --root E", "E Eb"},
		{"shape list --tuning dr", "drop_D"},
		{"shape list thirds", "thirds"},
		{"rehearse C", "Cockles"},
		{"rehearse Cockles --as w", "walks walking"},
		{"song show R", "Ropewalk"},
		{"part edit br", "bridge"},
		{"choose only tenths-6", "tenths-6"},
		{"part move --how ", "same-strings other-strings refinger"},
		{"gig show ", "Harbour_Fair Lantern_Night"},
		{"gig show L", "Lantern_Night"},
		{"gig import harbour.toml --gig H", "Harbour_Fair"},
		{"practice --gig H", "Harbour_Fair"},
		{"gig call ", "Tin_Umbrella Ropewalk Cockles"},
		{"gig call Ropewalk B", "B Bb Bm Bbm"},
		{"demo --player ", "Wren Odile"},
		{"demo nec", "neck"},
		{"help gig sh", "show"},
		{"completion ", "bash zsh fish powershell"},
		{"gig show Harbour_Fair ", ""},
		{"gig add ", ""},
	} {
		words := strings.Split(c.line, " ")
		for i, w := range words {
			words[i] = strings.ReplaceAll(w, "_", " ")
		}
		var want []string
		for _, w := range strings.Fields(c.want) {
			want = append(want, strings.ReplaceAll(w, "_", " "))
		}
		got := offered(t, dir, words...)
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("after %q it offers %q, want %q", c.line, got, want)
		}
	}
}

// Completing must not begin a practice where there is none.
func TestCompletionMakesNoPractice(t *testing.T) {
	dir := t.TempDir()
	if got := offered(t, dir, "gig", "show", ""); len(got) != 0 {
		t.Errorf("offers %q", got)
	}
	if found, _ := filepath.Glob(filepath.Join(dir, ".local", "share", "surefret", "*")); len(found) > 0 {
		t.Errorf("made %q", found)
	}
}

// The scripts are read by the shells they are for, and bash's is used as bash
// uses it. (No PowerShell was at hand: of its script the test sees only that it
// registers itself.)
func TestCompletionScripts(t *testing.T) {
	dir := stocked(t)
	scripts := map[string]string{}
	for _, shell := range cli.Shells {
		out, said, code := runHere(t, dir, "", "completion", shell)
		if code != exitDone {
			t.Fatal(said)
		}
		scripts[shell] = filepath.Join(dir, shell)
		if err := os.WriteFile(scripts[shell], []byte(out), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, check := range [][]string{{"bash", "-n"}, {"zsh", "-n"}, {"fish", "--no-execute"}} {
		t.Run(check[0], func(t *testing.T) {
			needTool(t, check[0])
			if said, err := exec.Command(check[0], check[1], scripts[check[0]]).CombinedOutput(); err != nil {
				t.Errorf("%v\n%s", err, said)
			}
		})
	}
	text, err := os.ReadFile(scripts["powershell"])
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(text), "Register-ArgumentCompleter -CommandName 'surefret'") {
		t.Error("PowerShell is not told of it")
	}

	// The shells run the real program: the test's own binary under its name.
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	bin := filepath.Join(dir, "bin")
	if err := os.Mkdir(bin, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(self, filepath.Join(bin, "surefret")); err != nil {
		t.Fatal(err)
	}
	ask := func(shell string, args ...string) string {
		cmd := exec.Command(shell, args...)
		cmd.Env = append(os.Environ(), "PATH="+bin+":"+os.Getenv("PATH"), "HOME="+dir, "XDG_DATA_HOME=")
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Errorf("%s: %v", shell, err)
		}
		return string(out)
	}
	t.Run("bash completes", func(t *testing.T) {
		needTool(t, "bash")
		// The bash-completion package brings the function that cuts the line.
		out := ask("bash", "-c", `. "$1"
_get_comp_words_by_ref() { words=("${COMP_WORDS[@]}") cword=$COMP_CWORD cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]}; }
COMP_TYPE=9 COMP_WORDS=(surefret shape show tenth-6-mi) COMP_CWORD=3 COMP_LINE="surefret shape show tenth-6-mi" COMP_POINT=30
__start_surefret; echo "${COMPREPLY[*]}"
COMP_WORDS=(surefret gig show L) COMP_LINE="surefret gig show L" COMP_POINT=19
__start_surefret; echo "${COMPREPLY[*]}"`, "bash", scripts["bash"])
		if !strings.Contains(out, "tenth-6-minor") || !strings.Contains(out, `Lantern\ Night`) {
			t.Errorf("offers\n%s", out)
		}
	})
	t.Run("fish completes", func(t *testing.T) {
		needTool(t, "fish")
		out := ask("fish", "--no-config", "-c", "source "+scripts["fish"]+"; complete -C 'surefret gig show L'")
		if !strings.Contains(out, "Lantern") {
			t.Errorf("offers\n%s", out)
		}
	})
}
