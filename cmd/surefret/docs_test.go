package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// The tests here hold the documents to what they are about.

// document reads a file of the project, and returns the part of it under a
// heading; without one, the whole.
func document(t *testing.T, name, heading string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", name))
	if err != nil {
		t.Fatal(err)
	}
	if heading == "" {
		return string(text)
	}
	_, part, ok := strings.Cut(string(text), "\n## "+heading+"\n")
	if !ok {
		t.Fatalf("%s has no heading %q", name, heading)
	}
	part, _, _ = strings.Cut(part, "\n## ")
	return part
}

// readmeExamples are the commands of the README, without the words beside them.
func readmeExamples(t *testing.T) (lines []string) {
	t.Helper()
	for line := range strings.Lines(document(t, "README.md", "")) {
		if example, ok := strings.CutPrefix(line, "    surefret "); ok {
			example, _, _ = strings.Cut(example, "  ")
			lines = append(lines, "surefret "+strings.TrimSpace(example))
		}
	}
	return lines
}

// The README's links lead somewhere.
func TestTheREADME(t *testing.T) {
	for _, name := range regexp.MustCompile(`\]\(([^)]+)\)`).FindAllStringSubmatch(document(t, "README.md", ""), -1) {
		if _, err := os.Stat(filepath.Join("..", "..", name[1])); err != nil {
			t.Errorf("it leads to %s: %v", name[1], err)
		}
	}
}

// Every module that go.mod names for our own sake has its reason in
// DEVELOPERS.md, and no other has.
func TestEveryDependencyHasItsReason(t *testing.T) {
	var direct []string
	for line := range strings.Lines(document(t, "go.mod", "")) {
		f := strings.Fields(line)
		if len(f) == 2 && strings.HasPrefix(line, "\t") {
			direct = append(direct, f[0])
		}
	}
	var reasoned []string
	for line := range strings.Lines(document(t, "DEVELOPERS.md", "Dependencies")) {
		cells := strings.Split(line, "|")
		if len(cells) < 4 || strings.Contains(cells[1], "---") || strings.TrimSpace(cells[1]) == "module" {
			continue
		}
		owner := ""
		for name := range strings.SplitSeq(cells[1], ",") {
			name = strings.TrimSpace(name)
			if i := strings.IndexByte(name, '/'); i >= 0 {
				owner = name[:i]
			} else {
				name = owner + "/" + name // the same owner's next
			}
			if !strings.Contains(owner, ".") {
				name = "github.com/" + name
			}
			reasoned = append(reasoned, name)
		}
	}
	slices.Sort(direct)
	slices.Sort(reasoned)
	if len(direct) < 5 || !slices.Equal(direct, reasoned) {
		t.Errorf("go.mod names\n%q, reasons are given for\n%q", direct, reasoned)
	}
}

// The list of origins leaves out no command and no flag.
func TestTheOriginsNameEveryCommandAndFlag(t *testing.T) {
	origins := document(t, "cmd/surefret/ORIGINS.md", "")
	everyCommand(t, func(t *testing.T, cmd *cobra.Command) {
		name := strings.TrimPrefix(cmd.CommandPath(), "surefret ")
		if (cmd.HasParent() && cmd.Parent().HasParent() || !cmd.HasSubCommands()) && !strings.Contains(origins, "`"+name+"`") {
			t.Errorf("`%s` is not in it", name)
		}
		cmd.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if !strings.Contains(origins, "`--"+f.Name+"`") {
				t.Errorf("`--%s` is not in it", f.Name)
			}
		})
	})
}

// The table of threats names tests that there are.
func TestTheThreatsHaveTheirTests(t *testing.T) {
	all := map[string]bool{}
	declared := regexp.MustCompile(`(?m)^func ((?:Test|Fuzz)\w+)\(`)
	err := filepath.WalkDir(filepath.Join("..", ".."), func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(name, "_test.go") {
			return err
		}
		text, err := os.ReadFile(name)
		for _, m := range declared.FindAllSubmatch(text, -1) {
			all[string(m[1])] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	named := regexp.MustCompile("`((?:Test|Fuzz)\\w+)`").FindAllStringSubmatch(document(t, "store/SECURITY.md", "")+document(t, "cmd/surefret/ORIGINS.md", ""), -1)
	if len(named) < 15 {
		t.Fatalf("found %d tests named", len(named))
	}
	for _, m := range named {
		if !all[m[1]] {
			t.Errorf("%s is named, and is not there", m[1])
		}
	}
}

// SCIENCE.md quotes the goals of each bank that was drawn, as the lab printed them, and
// the README its few lines: of the bank that nothing was chosen on, once it was drawn.
func TestTheDocumentsQuoteTheLab(t *testing.T) {
	text := map[string]string{"scheduler/SCIENCE.md": document(t, "scheduler/SCIENCE.md", ""), "README.md": document(t, "README.md", "")}
	quote := func(file, name, words string) {
		from, to := "<!-- "+name+" -->\n", "<!-- end of "+name+" -->"
		before, rest, ok := strings.Cut(text[file], from)
		_, after, ok2 := strings.Cut(rest, to)
		if !ok || !ok2 {
			t.Fatalf("%s has no place for it: expected %q", file, from)
		}
		text[file] = before + from + words + to + after
	}
	short := ""
	for _, bank := range []string{"choose", "verdict", "other"} {
		name := "testdata/schedulelab-" + bank + ".txt"
		table, err := os.ReadFile(filepath.Join("..", "..", name))
		if errors.Is(err, fs.ErrNotExist) && bank != "choose" {
			quote("scheduler/SCIENCE.md", name, "It was not drawn yet.\n")
			continue
		}
		_, goals, ok := strings.Cut(string(table), "\n| goal")
		goals, rest, ok2 := strings.Cut(goals, "\n\nIn short: ")
		lines, _, ok3 := strings.Cut(rest, "\n\nall players")
		if err != nil || !ok || !ok2 || !ok3 {
			t.Fatalf("%s has no goals, or does not sum up: %v", name, err)
		}
		quote("scheduler/SCIENCE.md", name, "| goal"+goals+"\n")
		if bank != "other" {
			short = inShort(t, goals, lines)
		}
	}
	quote("README.md", "the lab in short", short)
	for file, now := range text {
		switch {
		case now == document(t, file, ""):
		case os.Getenv("SUREFRET_UPDATE") == "":
			t.Errorf("%s quotes an older table: SUREFRET_UPDATE=1 go test ./cmd/surefret -run QuoteTheLab copies the new one", file)
		default:
			if err := os.WriteFile(filepath.Join("..", "..", file), []byte(now), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// inShort says in two sentences what a bank of players came to.
func inShort(t *testing.T, goals, lines string) string {
	t.Helper()
	row := func(name string) (topics, facts string) {
		for line := range strings.Lines(lines) {
			if fields := strings.Fields(line); len(fields) > 2 && strings.HasPrefix(strings.Join(fields[2:], " "), name) {
				return fields[0], fields[1]
			}
		}
		t.Fatalf("the lab does not sum up %q", name)
		return "", ""
	}
	topics, facts := row("Surefret")
	best, _ := row("best baseline for topics")
	_, bestFacts := row("best baseline for single facts")
	met := strings.Count(goals, "| yes |")
	players, _, _ := strings.Cut(lines, " ")
	lead := regexp.MustCompile(`above the best baseline's \| .*\(([\d.]+) ± ([\d.]+) points\) to`).FindStringSubmatch(goals)
	if lead == nil {
		t.Fatal("the lab does not say how much the lead is")
	}
	return fmt.Sprintf("%d of %d goals are met on %s simulated players whom no setting was chosen on. Of the\n"+
		"board %s %% lies in topics that are sure (the best other rule: %s; the lead is %s points, give or\n"+
		"take %s), and %s %% would be right in time (the best other rule: %s).\n",
		met, met+strings.Count(goals, "| **no** |"), players, topics, best, lead[1], lead[2], facts, bestFacts)
}
