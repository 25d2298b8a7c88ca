package screen

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/practice"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/theory"
)

var update = flag.Bool("update", false, "write the golden screens anew")

// A window is what screens are drawn in; some states of it are kept as golden
// screens, those of one state in a file.
type window struct {
	name          string
	width, height int
	o             Options
	kept          string // the states, "all" for every one
}

var windows = []window{
	{"60x18", 60, 18, Options{}, "all"},
	{"80x24", 80, 24, Options{}, "lesson shown slow begin primer listen-asked listen-unsure listen-paused listen-wrong listen-right listen-walk tune"},
	{"120x40", 120, 40, Options{}, "all"},
	{"left-handed", 80, 24, Options{LeftHanded: true}, "asked find-wrong map"},
	{"ascii", 80, 24, Options{Look: ink.Look{ASCII: true}}, "wrong form-refused listen-asked"},
	{"ascii-left", 60, 18, Options{LeftHanded: true, Look: ink.Look{ASCII: true}}, "pointing"},
	{"few-colours", 80, 24, Options{Look: ink.Look{Colours: ink.FewColours}}, "find-wrong"},
	{"many-colours", 80, 24, Options{Look: ink.Look{Colours: ink.ManyColours}}, "find-wrong map song-picked"},
	{"solfege", 60, 18, Options{Names: theory.Names{System: theory.Solfege}}, "wrong"},
}

// With SUREFRET_FRAMES every state is also written into that folder, in five sizes and
// with many, few and no colours, to be looked at.
var frames = os.Getenv("SUREFRET_FRAMES")

func init() {
	if frames == "" {
		return
	}
	for _, size := range [][2]int{{60, 18}, {80, 24}, {100, 30}, {120, 40}, {200, 50}} {
		for name, colours := range map[string]ink.Colours{"many": ink.ManyColours, "few": ink.FewColours, "none": ink.NoColours} {
			windows = append(windows, window{fmt.Sprintf("%s-%dx%d", name, size[0], size[1]), size[0], size[1], Options{Look: ink.Look{Colours: colours}}, ""})
		}
	}
	windows = append(windows, window{"contrast-120x40", 120, 40, Options{Look: ink.Look{Colours: ink.ManyColours, Contrast: true}}, ""})
}

// golden holds a screen to what every screen must keep, its window and its look,
// and compares it with the one that was looked at and found good.
func (w window) golden(t *testing.T, state, got string) {
	t.Helper()
	name := state + "-" + w.name
	lines := strings.Split(got, "\n")
	if len(lines) > w.height {
		t.Errorf("%s: %d rows in a window of %d", name, len(lines), w.height)
	}
	for _, l := range lines {
		if n := ansi.StringWidth(l); n > w.width {
			t.Errorf("%s: %d columns in a window of %d: %q", name, n, w.width, l)
		}
	}
	if w.o.Look.ASCII && strings.ContainsFunc(got, func(r rune) bool { return r > '~' }) {
		t.Errorf("%s: not ASCII:\n%s", name, got)
	}
	if w.o.Look.Colours == ink.NoEscapes && strings.Contains(got, "\x1b") {
		t.Errorf("%s: escape codes without colours", name)
	}
	if frames != "" && w.kept == "" {
		if err := os.WriteFile(filepath.Join(frames, name+".ansi"), []byte(got+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if w.kept != "all" && !slices.Contains(strings.Fields(w.kept), state) {
		return
	}
	file := filepath.Join("testdata", "golden", state+".txt")
	kept, err := txtar.ParseFile(file)
	if *update && errors.Is(err, fs.ErrNotExist) {
		kept, err = &txtar.Archive{}, nil
	}
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(kept.Files, func(f txtar.File) bool { return f.Name == w.name })
	if i < 0 {
		i = len(kept.Files)
		kept.Files = append(kept.Files, txtar.File{Name: w.name})
	}
	diff := cmp.Diff(string(kept.Files[i].Data), got+"\n")
	if diff != "" && !*update {
		t.Errorf("%s (-want +got, go test -update writes it anew):\n%s", name, diff)
	}
	if diff != "" && *update {
		kept.Files[i].Data = []byte(got + "\n")
		if err := os.WriteFile(file, txtar.Format(kept), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestGoldenScreensOfPractice(t *testing.T) {
	for _, w := range windows {
		w.o.Map = maps()
		b := newBench(w.width, w.height, w.o, nameG, findC)
		check := func(state string) { w.golden(t, state, b.View()) }
		check("asked")
		b.keys("?")
		check("help")
		b.keys("x", ".")
		check("pause")
		b.keys("m")
		check("map")
		b.keys("m")
		check("map-before")
		b.keys("x")
		b.untimed = false
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

// A lesson, a slow answer and one that was asked to be shown.
func TestGoldenScreensOfTeaching(t *testing.T) {
	const tenth = "shape/tenth-6-major@E2-G3/place"
	for _, w := range windows {
		b := newBench(w.width, w.height, w.o, nameG, tenth)
		b.plays("4000")
		for _, key := range strings.Fields(map[theory.System]string{theory.Solfege: "s o l enter"}[w.o.Names.System] + " g enter")[:2] {
			b.keys(key)
		}
		if b.phase == telling && b.result.Verdict.Right {
			w.golden(t, "slow", b.View())
		}
		b.plays("1000 x 1000")
		for b.phase == telling {
			b.plays("1000 x")
		}
		if b.turn.Question.Item != tenth {
			continue // solfege takes other keys
		}
		b.keys(showKey)
		w.golden(t, "shown", b.View())
		lesson := b.lesson
		b.teach(practice.Turn{Lesson: &lesson}, lesson)
		w.golden(t, "lesson", b.View())
		primer := drills.NewCatalogue(drills.Setup{Neck: neck14, Names: w.o.Names}).Primer()
		b.teach(practice.Turn{Lesson: &primer}, primer)
		w.golden(t, "primer", b.View())
	}
}

// A shape that moves: its old place is a ring once the answer is told, its wrong place a
// cross, and where they lie beside each other each keeps to its own fret. A walk, whose
// way is tablature over the neck, and the summary of both.
func TestGoldenScreensOfShapes(t *testing.T) {
	const octave, walk = "shape/octave-6-4@E2-D3/place", "walkup/1-4/up@E2-A2-D3"
	for _, w := range windows {
		b := newBench(w.width, w.height, w.o, octave, walk, walk, walk, walk)
		b.clock.after(1100 * time.Millisecond)
		b.typeIn("2")
		w.golden(t, "moved", b.View())
		b.clock.after(time.Second)
		for b.keys("x"); b.phase == asking && b.turn.Question.Expect != drills.ExpectPath; b.keys("x") {
			b.clock.after(time.Second) // posed in another way
			b.keys(showKey)
			b.clock.after(time.Second)
		}
		w.golden(t, "walk", b.View())
		b.clock.after(1100 * time.Millisecond)
		b.typeIn(want(t, b.turn.Question, w.o.Names))
		w.golden(t, "walked", b.View())
		b.clock.after(time.Second)
		b.keys("esc")
		w.golden(t, "summary-asked", b.View())
	}
}

// Rows of numbers: of a key, and of a chord that is heard, whose answer shows what it was
// taken for beside it, as the neck does for an interval.
func TestGoldenScreensOfRows(t *testing.T) {
	for _, w := range windows {
		b := newBench(w.width, w.height, w.o, "key/C major/2-", "ear/chord/m7", "ear/interval/m3")
		for _, state := range []string{"key", "chord", "interval"} {
			w.golden(t, state+"-asked", b.View())
			b.clock.after(1100 * time.Millisecond)
			b.typeIn(wrongAnswer(b.turn.Question, w.o.Names))
			w.golden(t, state+"-told", b.View())
			b.clock.after(time.Second)
			b.keys("x")
		}
	}
}

// A song in time: a change that is asked, and the page after the run.
func TestGoldenScreensOfRehearsal(t *testing.T) {
	for _, w := range windows {
		d := newDesk(t)
		d.layout, d.o.Names = layout{look: w.o.Look}, w.o.Names
		d.Update(tea.WindowSizeMsg{Width: w.width, Height: w.height})
		d.until(2500 * time.Millisecond)
		w.golden(t, "rehearsal", d.View())
		d.until(11 * time.Second)
		w.golden(t, "rehearsed", d.View())
	}
}

// What the hand plays of a song, shown: walks on the neck, a part as tablature; and a run
// that is played, paused.
func TestGoldenScreensOfHands(t *testing.T) {
	for _, w := range windows {
		for _, as := range []string{"walks", "part", "played"} {
			d := newDesk(t)
			d.layout, d.o.Names, d.o.LeftHanded = layout{look: w.o.Look}, w.o.Names, w.o.LeftHanded
			d.Update(tea.WindowSizeMsg{Width: w.width, Height: w.height})
			var err error
			switch as {
			case "walks":
				err = d.o.Run.As("walks", d.o.Neck)
			case "part":
				d.song.Parts = []gig.Part{gig.NewPart("verse.txt", "e|---------|---------|\nB|---3-----|---------|\nG|-----0---|-----2---|\nD|-0-----0-|---2---2-|\nA|---------|-0-------|\nE|---------|---------|")}
				err = d.o.Run.AsParts(d.o.Neck, gig.OwnParts(d.o.Neck, d.song))
			default:
				d.o.Listen = &player{}
			}
			if err != nil {
				t.Fatal(err)
			}
			d.take(d.o.Run, false, false)
			for range neckShown {
				d.press("v")
			}
			if as == "played" {
				d.press("v")
			}
			d.until(2500 * time.Millisecond)
			if as == "played" {
				d.press(" ")
			}
			w.golden(t, "rehearsal-"+as, d.View())
		}
	}
}

// A walking line of a bass, asked and told; a sitting in which nothing was asked; and a
// summary after which what is weak can be practised.
func TestGoldenScreensOfLinesAndEnds(t *testing.T) {
	const line = "walking/1-4/4@E1-A1-D2-G2"
	for _, w := range windows {
		b := newBenchOn(&script{items: []string{line}, tuning: fretboard.Bass}, w.width, w.height, w.o)
		w.golden(t, "line-asked", b.View())
		b.clock.after(1100 * time.Millisecond)
		b.keys(showKey)
		w.golden(t, "line-told", b.View())
		b = newBench(w.width, w.height, w.o, nameG)
		b.keys("esc")
		w.golden(t, "summary-nothing", b.View())
		b = newBench(w.width, w.height, w.o, findC, nameG)
		b.o.More = func() (*practice.Sitting, error) {
			return newSitting(&script{items: []string{nameE}}, w.o.Names, b.o.Now), nil
		}
		b.plays("500 3 1000 x 1000 x 1000 " + showKey + " 1000 x 1000 esc")
		w.golden(t, "summary-more", b.View())
	}
}
