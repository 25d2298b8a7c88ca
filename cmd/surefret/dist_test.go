package main

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// What was installed is all there, and can be taken away again. The go that the script
// meets copies this program of tests, which by the name of surefret is surefret.
func TestDevInstallsAndTakesAway(t *testing.T) {
	needTool(t, "go")
	t.Parallel()
	here, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	real, err := exec.LookPath("go")
	if err != nil {
		t.Fatal(err)
	}
	bin, prefix := t.TempDir(), t.TempDir()
	log := filepath.Join(bin, "log")
	stub := `#!/bin/sh
[ "$1" = build ] || exec "` + real + `" "$@"
echo "$*" >"` + log + `"
while [ "$1" != -o ]; do shift; done
cp "` + here + `" "$2"
`
	if err := os.WriteFile(filepath.Join(bin, "go"), []byte(stub), 0o755); err != nil {
		t.Fatal(err)
	}
	run := func(command string) {
		t.Helper()
		cmd := exec.Command("./dev", command)
		cmd.Dir = "../.."
		cmd.Env = append(os.Environ(), "PREFIX="+prefix, "PATH="+bin+":"+os.Getenv("PATH"))
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("dev %s: %v\n%s", command, err, out)
		}
	}
	files := func() (all []string) {
		filepath.WalkDir(prefix, func(name string, entry fs.DirEntry, err error) error {
			if err == nil && !entry.IsDir() {
				all = append(all, strings.TrimPrefix(filepath.ToSlash(name), filepath.ToSlash(prefix)+"/"))
			}
			return err
		})
		return all
	}
	run("install")
	if asked, err := os.ReadFile(log); err != nil || !strings.Contains(string(asked), "-buildvcs=") || !strings.Contains(string(asked), "-ldflags -s -w") {
		t.Errorf("built by go %s, %v; want it stamped with its commit, and stripped", asked, err)
	}
	installed := files()
	for _, name := range []string{
		"bin/surefret", "share/bash-completion/completions/surefret", "share/zsh/site-functions/_surefret",
		"share/fish/vendor_completions.d/surefret.fish", "share/surefret/surefret.ps1",
		"share/man/man1/surefret.1", "share/man/man1/surefret-gig-show.1",
	} {
		if !slices.Contains(installed, name) {
			t.Errorf("%s is not there, but %q", name, installed)
		}
	}
	run("uninstall")
	if left := files(); len(left) > 0 {
		t.Errorf("left behind: %q", left)
	}
}
