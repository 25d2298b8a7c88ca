// Package oracle hands tests what other programs say, to hold ours against it.
//
// An oracle's answers are a table in this folder, beside the maker that prints
// it; a plain test needs the table alone. Where the oracle itself is installed,
// a test may also run its maker again. Where it is missing such a test is
// skipped, but fails under CI=true, which must check everything.
//
// It is for tests only, and lies here, where ./... does not look, so that no
// command can come to depend on it by chance and tables, makers and reader stay
// together.
package oracle

import (
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// skip skips the test, or fails it under CI=true.
func skip(t testing.TB, reason string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatal(reason + ", and CI must hold ours against it")
	}
	t.Skip(reason)
}

// Program returns the path of a program on this machine.
func Program(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		skip(t, name+" is not installed (./dev tools --oracles does it)")
	}
	return path
}

// Table returns the table of this folder with that name, unpacked where the name
// ends in .gz.
func Table(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(file(t, name))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasSuffix(name, ".gz") {
		return data
	}
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		t.Fatalf("unpack %s: %v", name, err)
	}
	if data, err = io.ReadAll(z); err != nil {
		t.Fatalf("unpack %s: %v", name, err)
	}
	return data
}

// Make runs a maker of this folder, of LilyPond (.ly) or Node (.mjs), and returns
// what it prints.
func Make(t testing.TB, maker string, args ...string) []byte {
	t.Helper()
	maker = file(t, maker)
	var cmd *exec.Cmd
	switch filepath.Ext(maker) {
	case ".ly":
		cmd = exec.Command(Program(t, "lilypond"), "-dno-print-pages", "--loglevel=WARN", maker)
	default:
		cmd = exec.Command(Program(t, "node"), append([]string{maker}, args...)...)
		needModules(t, maker)
	}
	cmd.Dir = t.TempDir() // what else it writes
	cmd.Stderr = os.Stderr
	made, err := cmd.Output()
	if err != nil {
		t.Fatalf("run %s: %v", maker, err)
	}
	return made
}

// MakeAgain holds a table against what its maker makes today. It takes seconds,
// so -short leaves it out.
func MakeAgain(t testing.TB, table, maker string, args ...string) {
	t.Helper()
	if testing.Short() {
		skip(t, "making "+table+" again takes seconds")
	}
	if !bytes.Equal(Make(t, maker, args...), Table(t, table)) {
		t.Errorf("%s makes another table than %s", maker, table)
	}
}

// required is how a maker names a module of npm that it needs.
var required = regexp.MustCompile(`require(?:\.resolve)?\('([^']+)'\)`)

// All reports whether the whole sets of recordings are played, in place of a tenth: ./dev
// test --oracles asks for it.
func All() bool { return os.Getenv("SUREFRET_ORACLES") == "all" }

// needModules looks for the modules that a maker names.
func needModules(t testing.TB, maker string) {
	t.Helper()
	text, err := os.ReadFile(maker)
	if err != nil {
		t.Fatal(err)
	}
	home := os.Getenv("SUREFRET_ORACLE")
	if home == "" {
		home = "/opt/oracle"
	}
	for _, name := range required.FindAllStringSubmatch(string(text), -1) {
		if _, err := os.Stat(filepath.Join(home, "node_modules", name[1])); err != nil {
			skip(t, name[1]+" is not installed in "+home+" (./dev tools --oracles does it)")
		}
	}
}

// file returns the path of a file of this folder, from within any package.
func file(t testing.TB, name string) string {
	t.Helper()
	at, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for !exists(filepath.Join(at, "testdata", "oracle", "oracle.go")) {
		up := filepath.Dir(at)
		if up == at {
			t.Fatalf("testdata/oracle is above none of this test's folders")
		}
		at = up
	}
	return filepath.Join(at, "testdata", "oracle", name)
}

func exists(name string) bool {
	_, err := os.Stat(name)
	return err == nil
}
