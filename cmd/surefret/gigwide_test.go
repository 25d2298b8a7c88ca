//go:build !windows

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/creack/pty"

	"surefret/cmd/surefret/demo"
	"surefret/cmd/surefret/sheet"
	"surefret/drills/gig"
	"surefret/scheduler"
	"surefret/store"
)

// homeOf returns a program on a fresh database that holds gigs, at noon of a day.
func homeOf(t *testing.T, day string, gigs ...gig.Gig) *program {
	t.Helper()
	path := filepath.Join(t.TempDir(), "surefret.db")
	db, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range gigs {
		if err := db.PutGig(t.Context(), g); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	env := map[string]string{"SUREFRET_CLOCK": day + "T12:00:00Z", "SUREFRET_DB": path, "LANG": "C.UTF-8"}
	return &program{in: strings.NewReader(""), out: io.Discard, err: io.Discard, getenv: func(k string) string { return env[k] }}
}

// onPhone runs a command on a terminal of 40 columns and returns its lines.
func onPhone(t *testing.T, p *program, args ...string) []string {
	t.Helper()
	master, tty, err := pty.Open()
	if err != nil {
		t.Skipf("no pseudo-terminal: %v", err)
	}
	defer master.Close()
	if err := pty.Setsize(tty, &pty.Winsize{Cols: 40, Rows: 30}); err != nil {
		t.Fatal(err)
	}
	said := make(chan string)
	go func() {
		all, _ := io.ReadAll(master) // ends with an error when the other end is closed
		said <- string(all)
	}()
	p.out = tty
	if code := p.run(context.Background(), args); code != exitDone {
		t.Errorf("%v: exit code %d", args, code)
	}
	tty.Close()
	return strings.Split(strings.ReplaceAll(<-said, "\r\n", "\n"), "\n")
}

func TestQuickHelpFitsAPhone(t *testing.T) {
	g := demo.Gigs(0)[0]
	g.ID, g.Day = "1", "2026-12-05"
	g.Songs = append(g.Songs, crowded())
	p := homeOf(t, "2026-12-01", g)
	for _, args := range [][]string{
		{"gig", "show", g.Name}, {"gig", "call", "Tin Umbrella", "Db"}, {"gig", "call", "low water waltz", "D#m"}, {"key", "Bb"}, {"key", "F#m"}, {"gig", "list"},
	} {
		lines := onPhone(t, p, args...)
		if len(lines) < 2 {
			t.Errorf("%v says %q", args, lines)
		}
		for _, l := range lines {
			if n := utf8.RuneCountInString(l); n > 40 {
				t.Errorf("%v: %d columns: %s", args, n, l)
			}
		}
	}
}

func TestFiveHundredSongs(t *testing.T) {
	g := manySongs(gig.MostSongs)
	p := homeOf(t, "2026-12-01", g)
	var out bytes.Buffer
	p.out = &out
	if code := p.run(t.Context(), []string{"gig", "show", g.Name, "--json"}); code != exitDone {
		t.Fatalf("exit code %d", code)
	}
	var page sheet.Page
	if err := json.Unmarshal(out.Bytes(), &page); err != nil || len(page.Songs) != gig.MostSongs {
		t.Errorf("%d songs are shown: %v", len(page.Songs), err)
	}
	name := filepath.Join(t.TempDir(), "all.html")
	if code := p.run(t.Context(), []string{"gig", "show", g.Name, "--html", name}); code != exitDone {
		t.Fatalf("exit code %d", code)
	}
	if html, err := os.ReadFile(name); err != nil || bytes.Count(html, []byte("<article")) != gig.MostSongs {
		t.Errorf("the page does not hold them all: %v", err)
	}
	if code := p.run(t.Context(), []string{"gig", "song", g.Name, "One More", "--learned", "C", "--chords", "1"}); code != exitUsage {
		t.Errorf("one more: exit code %d", code)
	}
}

func TestShakySongsComeSooner(t *testing.T) {
	g := demo.Gigs(0)[0]
	g.ID, g.Day, g.Asked = "1", "2026-12-01", true
	open := func(g gig.Gig, day string) *player {
		pl, err := homeOf(t, day, g).openPlayer(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { pl.Close(context.Background()) })
		return pl
	}
	if ds := open(g, "2026-12-02").deadlines(); len(ds) != 0 {
		t.Errorf("with no shaky song: %d deadlines", len(ds))
	}
	g.Songs[1].Shaky = true // Ropewalk, in A flat
	pl := open(g, "2026-12-02")
	ds := pl.deadlines()
	if len(ds) != 1 || scheduler.DayOf(ds[0].Day, time.UTC).String() != "2026-12-09" {
		t.Fatalf("with one: %+v, want one deadline in a week", ds)
	}
	items, err := g.Songs[1].Items(pl.catalogue)
	if err != nil || len(items) != len(ds[0].Items) || len(items) == 0 {
		t.Errorf("%d items, want the song's %d: %v", len(ds[0].Items), len(items), err)
	}
	if _, ok := pl.catalogue.Item("key/Ab major/4"); !ok {
		t.Error("the key of the shaky song is not asked any more")
	}
	if ds := open(g, "2027-01-02").deadlines(); len(ds) != 0 {
		t.Errorf("after a month: %d deadlines", len(ds))
	}
}

// The same player, the same fortnight of practice: what a shaky song needs is
// asked days sooner than it would be, and before what a song that went well needs.
func TestWhatWasShakyIsAskedSooner(t *testing.T) {
	const days, sitting = 14, 4 * time.Minute
	g := demo.Gigs(0)[0]
	g.ID, g.Day, g.Asked = "1", "2026-12-01", true
	shaky, well := g.Songs[1], g.Songs[0]
	// firstAsked practises four minutes a day and returns the day, on the average,
	// on which the items of a song that no other shares were first asked again.
	firstAsked := func(isShaky bool) map[string]float64 {
		g := g
		g.Songs = []gig.Song{well, shaky}
		g.Songs[1].Shaky = isShaky
		pl, err := homeOf(t, "2026-12-02", g).openPlayer(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		defer pl.Close(context.Background())
		today := pl.now()
		of := map[string]string{} // the song of an item, "" for both
		for _, s := range g.Songs {
			items, err := s.Items(pl.catalogue)
			if err != nil {
				t.Fatal(err)
			}
			for _, it := range items {
				if _, both := of[it.ID]; both {
					of[it.ID] = ""
				} else {
					of[it.ID] = s.Title
				}
			}
		}
		for _, it := range pl.catalogue.Items() {
			for _, ago := range []int{120, 118, 110, 80, 12} { // everything was known well
				pl.planner.Learn(scheduler.Answer{Item: it.ID, At: today.AddDate(0, 0, -ago), Right: true, Thinking: time.Second})
			}
		}
		first := map[string]float64{}
		for day := range days {
			began := today.AddDate(0, 0, day)
			pl.now = func() time.Time { return began }
			pl.planner.SetDeadlines(pl.deadlines())
			for at := began; at.Sub(began) < sitting; {
				choice, ok := pl.planner.Next(at, sitting-at.Sub(began))
				if !ok {
					break
				}
				if _, again := first[choice.Item]; !again {
					first[choice.Item] = float64(day)
				}
				at = at.Add(4 * time.Second)
				pl.planner.Learn(scheduler.Answer{Item: choice.Item, At: at, Right: true, Thinking: 1200 * time.Millisecond})
			}
		}
		sum, n := map[string]float64{}, map[string]float64{}
		for id, song := range of {
			day, asked := first[id]
			if !asked {
				day = days
			}
			sum[song] += day
			n[song]++
		}
		for song := range sum {
			sum[song] /= n[song]
		}
		return sum
	}
	before, after := firstAsked(false), firstAsked(true)
	t.Logf("asked again after %.1f days, shaky after %.1f; the song that went well after %.1f and %.1f",
		before[shaky.Title], after[shaky.Title], before[well.Title], after[well.Title])
	if after[shaky.Title] > before[shaky.Title]-2 {
		t.Errorf("a shaky song's items come after %.1f days, else after %.1f", after[shaky.Title], before[shaky.Title])
	}
	if after[shaky.Title] > after[well.Title]-2 {
		t.Errorf("a shaky song's items come after %.1f days, those of one that went well after %.1f", after[shaky.Title], after[well.Title])
	}
}

// manySongs is a gig of n songs.
func manySongs(n int) gig.Gig {
	g := gig.Gig{ID: "1", Name: "Harbour Fair", Day: "2026-12-05"}
	for i := range n {
		s := demoSongs()[i%7]
		s.Title = fmt.Sprintf("%s %d", s.Title, i)
		g.Songs = append(g.Songs, s)
	}
	return g
}
