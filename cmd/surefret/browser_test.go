package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/console"
	"surefret/cmd/surefret/demo"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/testdata/oracle"
)

// seen is what headless Chromium and the axe rules say of a page; see pages.mjs.
type seen struct {
	Axe, Requests, Looked []string
	Pages                 map[string]int
	Phone, Checked        int
	Least                 float64    // the smallest text, in points
	Small                 string     // and which it is
	Chords                [2]float64 // the smallest and the largest chords, in points
	Spilt                 []string   // chords that break or leave their bar
	Ground                string     // with the switch for the dark on
}

// browse opens pages in the browser, all in one run of it, which takes seconds.
func browse(t *testing.T, pages ...func(io.Writer) error) []seen {
	t.Helper()
	var names []string
	dir := t.TempDir()
	for i, page := range pages {
		var html bytes.Buffer
		if err := page(&html); err != nil {
			t.Fatal(err)
		}
		names = append(names, filepath.Join(dir, fmt.Sprintf("page%d.html", i)))
		if err := os.WriteFile(names[i], html.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Setenv("SUREFRET_CHROMIUM", oracle.Program(t, "chromium"))
	out := oracle.Make(t, "pages.mjs", names...)
	var told []seen
	if err := json.Unmarshal(out, &told); err != nil || len(told) != len(pages) {
		t.Fatalf("%v: %s", err, out)
	}
	return told
}

// Every page keeps contrast and heading order in light, in dark and on paper, is one
// file, is no wider than a phone, and takes no more paper than it should. A fault that
// only paper shows is seen, or the rest would prove nothing about it.
func TestPagesInABrowser(t *testing.T) {
	const pale = `<!DOCTYPE html><html lang="en"><title>Pale</title><style>@media print { p { color: #cccccc } }</style>
<main><h1>Pale</h1><p>Pale on paper alone.</p></main></html>`
	gig := fairPage(t)
	pl := demoPractice(t)
	progress, err := pl.Progress(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	one := report.Pupil{Name: "wren", Last: "2026-11-24", Week: 40, Month: 190, Weak: pl.Weak(), Map: pl.Map(nil, [2]int{})}
	pupils := report.Pupils{one, one, {Name: "maya", Map: one.Map}}
	told := browse(t,
		func(w io.Writer) error { _, err := io.WriteString(w, pale); return err },
		gig.HTML,
		func(w io.Writer) error { return progress.HTML(w, demo.Banner) },
		func(w io.Writer) error { return pupils.HTML(w, "2026-11-25") },
	)
	if axe := told[0].Axe; len(axe) != 1 || !strings.HasPrefix(axe[0], "print: color-contrast") {
		t.Errorf("axe says %q of the pale page, want the contrast in print alone", axe)
	}
	var written bytes.Buffer
	if err := gig.HTML(&written); err != nil {
		t.Fatal(err)
	}
	stand, articles := told[1], bytes.Count(written.Bytes(), []byte("<article"))
	// The sizes are those that read a metre away in poor light: no source.
	if stand.Least < 12.99 || stand.Chords[0] < 31.99 || stand.Chords[1] > 40.01 || len(stand.Spilt) > 0 {
		t.Errorf("the stand's text goes down to %.1f points (%s), its chords from %.1f to %.1f, and these break: %q",
			stand.Least, stand.Small, stand.Chords[0], stand.Chords[1], stand.Spilt)
	}
	if stand.Ground != "rgb(0, 0, 0)" {
		t.Errorf("with its switch on the stand is %q, want black", stand.Ground)
	}
	// What to practise for ten songs may take two sheets; a song takes those it is laid out on.
	for i, sheets := range [][2]int{{1, 1}, {articles, articles + 1}, {1, 2}, {1, 3}} {
		page := told[i]
		if i > 0 && len(page.Axe) > 0 {
			t.Errorf("page %d: axe: %q", i, page.Axe)
		}
		if page.Checked != 6 {
			t.Errorf("page %d: contrast and heading order were looked at %d times, want 6", i, page.Checked)
		}
		if want := []string{"light", "dark", "print"}; !slices.Equal(page.Looked, want) {
			t.Errorf("page %d was looked at in %v, want %v", i, page.Looked, want)
		}
		if len(page.Requests) != 1 {
			t.Errorf("page %d asked for %v, want itself alone", i, page.Requests)
		}
		if page.Phone > 360 {
			t.Errorf("page %d is %d pixels wide on a phone of 360", i, page.Phone)
		}
		for paper, n := range page.Pages {
			if n < sheets[0] || n > sheets[1] {
				t.Errorf("page %d takes %d sheets of %s, want %d to %d", i, n, paper, sheets[0], sheets[1])
			}
		}
	}
}

// demoPractice is the demo's first guitarist, as of a fixed evening, opened.
func demoPractice(t testing.TB) *kept.Practice {
	t.Helper()
	t.Setenv("TMPDIR", t.TempDir())
	env := map[string]string{"SUREFRET_CLOCK": "2026-11-25T18:00:00Z"}
	p := &program{Console: console.Console{Out: io.Discard, Err: io.Discard, Getenv: func(key string) string { return env[key] }}}
	var err error
	if p.database, _, err = p.demoFile(t.Context(), demo.Players[0].Name); err != nil {
		t.Fatal(err)
	}
	pl, err := p.openPlayer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { pl.DB.Close() })
	return pl
}

// The command that a weak region names asks what the region is made of, and
// nothing else.
func TestARegionIsPractisedByItsCommand(t *testing.T) {
	pl := demoPractice(t)
	m := pl.Map(nil, [2]int{})
	if len(m.Weakest) != 3 {
		t.Fatalf("%d weak regions", len(m.Weakest))
	}
	for _, r := range m.Weakest {
		asked := asksFor(t, pl, r.Command)
		want := map[string]bool{}
		for _, place := range m.Places {
			if natural := len(place.Note) == 1; place.String == r.String && place.Fret >= r.Frets[0] && place.Fret <= r.Frets[1] && natural == (r.Notes == report.Naturals) {
				want[place.Note] = true
			}
		}
		if len(asked) != 2*len(want) {
			t.Errorf("%s asks %d items, want the naming and the finding of %v", r.Command, len(asked), want)
		}
		for id := range asked {
			it, _ := pl.Catalogue().Item(id)
			if note := strings.Fields(it.Title)[1]; !want[note] || it.Strings[0] != r.String {
				t.Errorf("%s asks %s", r.Command, it.Title)
			}
		}
	}
}

// asksFor parses a command as the shell would and lists what it would ask.
func asksFor(t *testing.T, pl *kept.Practice, command string) map[string]bool {
	t.Helper()
	var o practiceOptions
	cmd := (&program{}).practiceCommand()
	cmd.ResetFlags()
	o.add(cmd)
	words := bytes.Fields([]byte(command))
	var args []string
	for _, w := range words[1:] {
		args = append(args, string(w))
	}
	if string(words[0]) != "surefret" || !strings.HasPrefix(args[0], "--") {
		t.Fatalf("%q is no practice command", command)
	}
	if err := cmd.ParseFlags(args); err != nil {
		t.Fatal(err)
	}
	sel, err := o.selection(pl)
	if err != nil {
		t.Fatal(err)
	}
	sitting, err := pl.Begin(practice.Options{Selection: sel, Rand: rand.New(rand.NewPCG(1, 1)), Length: time.Hour})
	if err != nil {
		t.Fatal(err)
	}
	asked := map[string]bool{}
	for range 60 {
		turn, ok, err := sitting.Next(t.Context(), pl.Now())
		if !ok || err != nil {
			break
		}
		asked[turn.Question.Item] = true
		if _, err := sitting.Answer(t.Context(), pl.Now(), readable(turn.Question), 1200*time.Millisecond, drills.EntryKeys); err != nil {
			t.Fatal(err)
		}
	}
	return asked
}
