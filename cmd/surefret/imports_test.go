package main_test

import (
	"fmt"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// room is what one package may know.
type room struct {
	ours   []string // packages of this module
	others []string // modules from outside, by a prefix of the import path
	world  bool     // the operating system: files, processes, signals
	tests  []string // packages of this module that only its tests need
}

// rooms is the plan of the house. Music stands on the ground floor with the
// scheduler and the strings, none of which knows the others; the store saves
// what drills defines; only the commands see everything.
var rooms = map[string]room{
	"drills/theory":              {},
	"drills/fretboard":           {ours: list("drills/theory")},
	"drills/fretboard/tablature": {ours: list("drills/theory drills/fretboard"), tests: list("drills/fretboard/fingering drills/fretboard/frettest")},
	"drills/fretboard/fingering": {ours: list("drills/theory drills/fretboard"), tests: list("drills/fretboard/tablature drills/fretboard/frettest testdata/oracle")},
	"drills/fretboard/frettest":  {ours: list("drills/theory drills/fretboard")}, // for tests only
	"drills/walking":             {ours: list("drills/theory drills/fretboard"), tests: list("testdata/oracle")},
	"drills":                     {ours: list("drills/theory drills/fretboard drills/fretboard/fingering drills/walking"), tests: list("drills/fretboard/tablature")},
	"drills/chart":               {ours: list("drills/theory")},
	"drills/rehearse":            {ours: list("drills drills/theory drills/fretboard drills/walking drills/chart drills/gig"), tests: list("drills/fretboard/tablature")},
	"drills/gig":                 {ours: list("drills drills/theory drills/fretboard drills/fretboard/tablature drills/fretboard/fingering drills/walking drills/chart")},
	"drills/gig/songbook":        {ours: list("drills/gig drills/chart drills/theory"), others: list("github.com/pelletier/go-toml/v2")},
	"scheduler":                  {},
	"synth":                      {tests: list("synth/wav")},
	"synth/midi":                 {ours: list("synth")},
	"synth/wav":                  {ours: list("synth")},
	"synth/listen":               {others: list("gonum.org/v1/gonum/dsp/fourier"), tests: list("synth synth/wav")},
	"synth/quiet":                {others: list("C")},
	"synth/microphone":           {ours: list("synth/wav synth/quiet"), others: list("C github.com/gen2brain/malgo"), world: true},
	"synth/speaker":              {ours: list("synth synth/quiet"), others: list("C github.com/hajimehoshi/oto/v2"), world: true, tests: list("synth/wav")},
	"store": {
		ours:   list("drills drills/gig drills/rehearse drills/theory drills/fretboard"),
		others: list("C database/sql github.com/mattn/go-sqlite3 golang.org/x/sys/unix"),
		world:  true,
	},

	"cmd/surefret/practice":              {ours: music("scheduler cmd/surefret/settings cmd/surefret/report"), tests: list("cmd/surefret/practice/practicetest")},
	"cmd/surefret/practice/practicetest": {ours: music("scheduler cmd/surefret/practice cmd/surefret/settings")},
	"cmd/surefret/settings":              {ours: music("cmd/surefret/form")},
	"cmd/surefret/demo":                  {ours: music("scheduler"), world: true, tests: list("cmd/surefret/settings")},
	"cmd/surefret/report":                {ours: music("scheduler cmd/surefret/ink cmd/surefret/neck"), others: list("github.com/charmbracelet/x/ansi")},
	"cmd/surefret/sheet":                 {ours: music("scheduler cmd/surefret/report cmd/surefret/ink cmd/surefret/neck cmd/surefret/spoken")},
	"cmd/surefret/spoken":                {ours: list("drills/theory drills/fretboard")},
	"cmd/surefret/cli":                   {ours: list("cmd/surefret/report"), others: list("github.com/spf13/cobra github.com/spf13/pflag"), world: true},
	// Opens a practice in its file, and finds what a command names in it: the one room
	// besides the commands that knows both the store and the application.
	"cmd/surefret/kept": {ours: music("scheduler store synth cmd/surefret/ink cmd/surefret/cli cmd/surefret/practice cmd/surefret/report cmd/surefret/settings cmd/surefret/setlist cmd/surefret/sheet"), world: true},
	// Knows the terminal, and nothing of music.
	"cmd/surefret/console": {ours: list("cmd/surefret/cli cmd/surefret/ink cmd/surefret/report"), others: list("golang.org/x/term github.com/charmbracelet/x/ansi"), world: true},
	"cmd/surefret/sound":   {ours: list("drills synth synth/speaker cmd/surefret/score cmd/surefret/settings")},
	"cmd/surefret/score":   {ours: list("drills drills/theory drills/fretboard drills/rehearse synth synth/midi"), tests: list("drills/gig drills/fretboard/tablature")},
	"cmd/surefret/hearing": {ours: list("drills drills/fretboard drills/rehearse synth/listen"), tests: list("synth cmd/surefret/sound")},
	// Tuning is said in words of its own, and a delay is measured with what the loudspeaker plays.
	"cmd/surefret/hearing/tuner": {ours: list("drills drills/theory drills/fretboard drills/rehearse synth cmd/surefret/cli cmd/surefret/hearing cmd/surefret/ink cmd/surefret/sound"), tests: list("synth/microphone synth/speaker synth/wav cmd/surefret/settings")},
	// The one room that opens an input or a recording for an ear.
	"cmd/surefret/hearing/input": {ours: list("drills/theory drills/fretboard synth/microphone cmd/surefret/cli cmd/surefret/hearing cmd/surefret/practice cmd/surefret/report cmd/surefret/settings"), others: list("github.com/spf13/pflag")},
	"cmd/surefret/form":          {ours: list("drills/theory drills/fretboard")},
	"cmd/surefret/setlist":       {ours: music("scheduler drills/gig/songbook cmd/surefret/cli cmd/surefret/form cmd/surefret/sheet"), others: list("github.com/spf13/pflag"), world: true, tests: list("cmd/surefret/demo")},
	"cmd/surefret/job":           {world: true},
	"cmd/surefret/ink":           {tests: list("cmd/surefret/report")},
	"cmd/surefret/neck":          {ours: list("drills/theory drills/fretboard cmd/surefret/ink"), others: list("github.com/charmbracelet/x/ansi")},
	"cmd/surefret/line":          {ours: music("scheduler cmd/surefret/practice cmd/surefret/form cmd/surefret/spoken"), tests: list("cmd/surefret/settings cmd/surefret/practice/practicetest")},
	"cmd/surefret/screen": {
		ours:   music("scheduler cmd/surefret/practice cmd/surefret/settings cmd/surefret/report cmd/surefret/form cmd/surefret/ink cmd/surefret/job cmd/surefret/neck cmd/surefret/screen/quiet"),
		others: list("github.com/charmbracelet/ github.com/muesli/termenv"),
		world:  true,
		tests:  list("cmd/surefret/practice/practicetest"),
	},
	// Initialised before bubbletea, as long as it imports nothing but syscall.
	"cmd/surefret/screen/quiet": {world: true},
	"cmd/surefret": {
		ours:   list("..."),
		others: list("github.com/spf13/cobra github.com/spf13/pflag github.com/charmbracelet/ golang.org/x/term"),
		world:  true,
	},
	// What other programs say, beside the tables that hold it. For tests only.
	"testdata/oracle": {world: true, others: list("gonum.org/v1/gonum/dsp/fourier")},
	// The lab is a bench for the scheduler and plays to no one. It plays the real
	// catalogue, and writes the demo's practice.
	"cmd/schedulelab": {
		ours:  music("scheduler cmd/schedulelab/... cmd/surefret/demo cmd/surefret/practice cmd/surefret/practice/practicetest cmd/surefret/settings"),
		world: true,
	},
	"cmd/schedulelab/...": {ours: list("scheduler cmd/schedulelab/...")},
}

// forTests are the modules that tests may use besides.
var forTests = list("github.com/google/go-cmp pgregory.net/rapid github.com/rogpeppe/go-internal github.com/creack/pty golang.org/x/term")

func list(words string) []string { return strings.Fields(words) }

// music is what every part of the program may speak of, and more.
func music(more string) []string {
	return list("drills drills/gig drills/chart drills/rehearse drills/theory drills/fretboard drills/fretboard/tablature drills/fretboard/fingering " + more)
}

// find returns the row for a package, by its own name or by the "..." above it.
func find(dir string) (room, bool) {
	if r, ok := rooms[dir]; ok {
		return r, true
	}
	for up := path.Dir(dir); up != "."; up = path.Dir(up) {
		if r, ok := rooms[up+"/..."]; ok {
			return r, true
		}
	}
	return room{}, false
}

// refuse says why the room may not import imported, or returns "".
func (r room) refuse(imported string, inTest bool) string {
	under := func(prefix string) bool {
		return imported == prefix || strings.HasPrefix(imported, strings.TrimSuffix(prefix, "/")+"/")
	}
	if own, ok := strings.CutPrefix(imported, "surefret/"); ok {
		may := r.ours
		if inTest {
			may = slices.Concat(r.ours, r.tests, list("testdata/oracle"))
		} else if strings.HasPrefix(own, "testdata/") {
			return "only tests ask what other programs say"
		}
		for _, may := range may {
			above, all := strings.CutSuffix(may, "...")
			if own == may || all && strings.HasPrefix(own, above) {
				return ""
			}
		}
		return "this arrow is not in the plan of the house"
	}
	switch {
	case slices.ContainsFunc(r.others, under):
		return ""
	case inTest && slices.ContainsFunc(forTests, under):
		return ""
	case under("database/sql"):
		return "only the store knows SQL"
	case imported == "C":
		return "only the store, the speaker and the microphone may need a C compiler"
	case strings.Contains(strings.Split(imported, "/")[0], "."):
		return "this package has no need of that module"
	case inTest:
		return ""
	case imported == "net", under("net/http"), under("net/rpc"), under("net/smtp"), under("log/syslog"):
		return "the program never uses a network"
	case !r.world && (under("os") || under("syscall")):
		return "this package touches nothing outside itself: take what it needs as an argument"
	}
	return ""
}

// TestImportsKeepToThePlan reads every file, on whatever system it is for. (A
// test that asked the go command instead would be taken from the cache after an
// import has gone astray.)
func TestImportsKeepToThePlan(t *testing.T) {
	const root = "../.."
	files := 0
	err := filepath.WalkDir(root, func(name string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		base := entry.Name()
		if entry.IsDir() {
			if own := base == "testdata" && filepath.Dir(name) == root; own || name == root {
				return nil
			}
			if base == "testdata" || base == "bin" || base == "dist" || base[0] == '.' {
				return fs.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(base, ".go") {
			return nil
		}
		files++
		rel, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		r, ok := find(path.Dir(rel))
		if !ok {
			t.Errorf("%s: its package has no row in rooms: say there what it may import", rel)
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		inTest := strings.HasSuffix(base, "_test.go")
		if bad := file.Name.Name; slices.Contains(list("util utils common helper helpers types manager misc shared"), bad) {
			t.Errorf("%s: a package is named for what it is about, not %q", rel, bad)
		}
		for _, spec := range file.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return fmt.Errorf("%s: import %s: %w", rel, spec.Path.Value, err)
			}
			if inTest && imported == "surefret/"+path.Dir(rel) {
				continue // an external test of the package itself
			}
			if why := r.refuse(imported, inTest); why != "" {
				t.Errorf("%s imports %s: %s", rel, imported, why)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files == 0 {
		t.Fatal("no files found to read")
	}
}

func TestThePlanHasNoWayRound(t *testing.T) {
	refused := []struct{ from, imported string }{
		{"drills/theory", "surefret/drills/fretboard"},
		{"drills/fretboard", "surefret/drills"},
		{"drills", "surefret/scheduler"},
		{"drills", "database/sql"},
		{"scheduler", "surefret/drills"},
		{"scheduler", "os"},
		{"synth", "github.com/hajimehoshi/oto/v2"},
		{"synth", "C"},
		{"store", "surefret/cmd/surefret/practice"},
		{"store", "surefret/scheduler"},
		{"cmd/surefret/practice", "surefret/store"},
		{"cmd/surefret/practice", "github.com/charmbracelet/bubbletea"},
		{"cmd/surefret/line", "surefret/synth/speaker"},
		{"cmd/surefret", "net/http"},
		{"cmd/schedulelab/learner", "surefret/store"},
		{"cmd/surefret", "surefret/testdata/oracle"},
	}
	for _, c := range refused {
		if r, ok := find(c.from); !ok || r.refuse(c.imported, false) == "" {
			t.Errorf("%s may import %s", c.from, c.imported)
		}
	}
	if _, ok := find("helpers"); ok {
		t.Error("a package without a row is let in")
	}
	for from, r := range rooms {
		for _, to := range r.ours {
			if strings.HasPrefix(to, "cmd/") && !strings.HasPrefix(from, "cmd/") {
				t.Errorf("%s may import %s, but nothing imports the commands", from, to)
			}
		}
	}
}
