package screen

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"surefret/drills/theory"
)

var update = flag.Bool("update", false, "write the golden screens anew")

var escapes = regexp.MustCompile("\x1b\\[[0-9;]*m")

// golden compares a screen with the one that was looked at and found good, and
// holds it to what every screen must keep: its window, its look.
func golden(t *testing.T, name string, width, height int, look Look, got string) {
	t.Helper()
	lines := strings.Split(got, "\n")
	if len(lines) > height {
		t.Errorf("%s: %d rows in a window of %d", name, len(lines), height)
	}
	for _, l := range lines {
		if n := utf8.RuneCountInString(escapes.ReplaceAllString(l, "")); n > width {
			t.Errorf("%s: %d columns in a window of %d: %q", name, n, width, l)
		}
	}
	for _, r := range escapes.ReplaceAllString(got, "") {
		if look.ASCII && r > '~' {
			t.Errorf("%s: %q in ASCII", name, r)
			break
		}
	}
	if look.Colours == NoColours && strings.Contains(got, "\x1b") {
		t.Errorf("%s: escape codes without colours", name)
	}
	file := filepath.Join("testdata", "golden", name+".txt")
	if *update {
		if err := os.WriteFile(file, []byte(got+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got+"\n"); diff != "" {
		t.Errorf("%s (-want +got, go test -update writes it anew):\n%s", name, diff)
	}
}

// The views of one window that are kept as golden screens.
var windows = []struct {
	name          string
	width, height int
	o             Options
}{
	{"60x18", 60, 18, Options{}},
	{"80x24", 80, 24, Options{}},
	{"120x40", 120, 40, Options{}},
	{"left-handed", 80, 24, Options{LeftHanded: true}},
	{"ascii", 80, 24, Options{Look: Look{ASCII: true}}},
	{"ascii-left-60x18", 60, 18, Options{LeftHanded: true, Look: Look{ASCII: true}}},
	{"few-colours", 80, 24, Options{Look: Look{Colours: FewColours}}},
	{"many-colours", 80, 24, Options{Look: Look{Colours: ManyColours}}},
	{"solfege", 60, 18, Options{Names: theory.Names{System: theory.Solfege}}},
}

func TestGoldenScreensOfPractice(t *testing.T) {
	for _, w := range windows {
		b := newBench(w.width, w.height, w.o, nameG, findC)
		check := func(what string) { golden(t, what+"-"+w.name, w.width, w.height, w.o.Look, b.View()) }
		check("asked")
		b.clock.after(1100 * time.Millisecond)
		if w.o.Names.System == theory.Solfege {
			b.keys("l", "a", "b")
		} else {
			b.keys("b", "b")
		}
		check("wrong")
		b.clock.after(time.Second)
		b.keys("x")
		b.clock.after(9 * time.Minute)
		b.keys("right", "left")
		check("pointing")
		b.keys("4")
		check("find-wrong")
		b.clock.after(time.Second)
		b.keys("x")
		check("summary")
	}
}

func TestGoldenScreensOfPauseAndHelp(t *testing.T) {
	for _, w := range windows[:2] {
		b := newBench(w.width, w.height, w.o, nameG)
		b.keys("?")
		golden(t, "help-"+w.name, w.width, w.height, w.o.Look, b.View())
		b.keys("x", ".")
		golden(t, "pause-"+w.name, w.width, w.height, w.o.Look, b.View())
	}
}
