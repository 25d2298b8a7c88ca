package main_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// clone copies the project as it stands, with its history, into a folder.
func clone(t *testing.T) string {
	t.Helper()
	top, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "surefret")
	if out, err := exec.Command("git", "clone", "-q", "--no-hardlinks", top, dir).CombinedOutput(); err != nil {
		t.Skipf("this is no clone of git's: %v %s", err, out)
	}
	list := exec.Command("git", "ls-files", "-z")
	list.Dir = top
	names, err := list.Output()
	if err != nil {
		t.Fatal(err)
	}
	for name := range strings.SplitSeq(strings.TrimSuffix(string(names), "\x00"), "\x00") {
		text, err := os.ReadFile(filepath.Join(top, name))
		if err != nil {
			continue // taken out of the tree, and not yet out of its history
		}
		if was, err := os.ReadFile(filepath.Join(dir, name)); err == nil && bytes.Equal(was, text) {
			continue
		}
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// under lists the files below a folder.
func under(t *testing.T, dir string) []string {
	t.Helper()
	var all []string
	err := filepath.WalkDir(dir, func(name string, entry fs.DirEntry, err error) error {
		if err == nil && !entry.IsDir() {
			rel, _ := filepath.Rel(dir, name)
			all = append(all, filepath.ToSlash(rel))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// Installed, the program says which commit it is; built from a bare archive, that
// it does not know. What was installed can be taken away again.
func TestDevInstallsAndTakesAway(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program twice")
	}
	t.Parallel()
	dir, prefix := clone(t), t.TempDir()
	run := func(name string, args ...string) string {
		t.Helper()
		cmd := exec.Command(name, args...)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), "PREFIX="+prefix)
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%s %q: %v\n%s", name, args, err, out)
		}
		return string(out)
	}
	head := strings.TrimSpace(run("git", "rev-parse", "HEAD"))

	run("./dev", "install")
	program := filepath.Join(prefix, "bin", "surefret")
	if got := run(program, "--version"); !strings.HasPrefix(got, fmt.Sprintf("surefret, commit %.12s of 20", head)) {
		t.Errorf("built from %s it says %q", head, got)
	}
	installed := under(t, prefix)
	for _, name := range []string{
		"share/bash-completion/completions/surefret", "share/zsh/site-functions/_surefret",
		"share/fish/vendor_completions.d/surefret.fish", "share/surefret/surefret.ps1",
		"share/man/man1/surefret.1", "share/man/man1/surefret-gig-show.1",
	} {
		if !slices.Contains(installed, name) {
			t.Errorf("%s is not there, but %q", name, installed)
		}
	}
	if symbols, err := exec.Command("go", "tool", "nm", program).CombinedOutput(); err == nil && strings.Contains(string(symbols), "main.main") {
		t.Error("it is not stripped")
	}
	run("./dev", "uninstall")
	if left := under(t, prefix); len(left) > 0 {
		t.Errorf("left behind: %q", left)
	}

	if err := os.RemoveAll(filepath.Join(dir, ".git")); err != nil {
		t.Fatal(err)
	}
	run("./dev", "install")
	if got := run(program, "--version"); !strings.HasPrefix(got, "surefret, unknown commit (") {
		t.Errorf("built without git it says %q", got)
	}
}
