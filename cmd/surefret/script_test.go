package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"surefret": main})
}

// TestScripts runs the program as its users do: each file in testdata/script
// is a page of commands with what they must print. The practice is a file in the
// script's own folder, the zone is UTC, and nothing sounds.
func TestScripts(t *testing.T) {
	dir := filepath.Join("..", "..", "testdata", "script")
	if files, _ := filepath.Glob(filepath.Join(dir, "*.txt*")); len(files) == 0 {
		t.Fatal("no scripts in " + dir)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 dir,
		RequireExplicitExec: true,
		Condition:           installed,
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"recording": makeRecording},
		Setup: func(env *testscript.Env) error {
			root, err := filepath.Abs(filepath.Join("..", "..", "testdata"))
			if err != nil {
				return err
			}
			env.Setenv("TESTDATA", root)
			env.Setenv("HOME", env.WorkDir)
			env.Setenv("XDG_DATA_HOME", filepath.Join(env.WorkDir, "data"))
			env.Setenv("TZ", "UTC")
			env.Setenv("TERM", "xterm-256color")
			env.Setenv("LANG", "C.UTF-8")
			env.Setenv("SUREFRET_CLOCK", "2026-11-25T18:00:00Z")
			return nil
		},
	})
}

// installed is the condition [oracle:NAME]: whether another program is there to
// check ours. Where all of them must be there, a missing one is a failure.
func installed(cond string) (bool, error) {
	name, ok := strings.CutPrefix(cond, "oracle:")
	if !ok {
		return false, fmt.Errorf("unknown condition %q", cond)
	}
	_, err := exec.LookPath(name)
	if err != nil && os.Getenv("CI") == "true" {
		return false, fmt.Errorf("%s is needed to check this here, and is not installed", name)
	}
	return err == nil, nil
}
