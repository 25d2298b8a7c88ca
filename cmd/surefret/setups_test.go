package main

import (
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
)

var update = flag.Bool("update", false, "write testdata/setups anew")

// setups are the instruments and ways of players that are unlike the common guitar. What each of them sees
// stands in testdata/setups, in a file of its name. To add one: a row here, its file by
//
//	go test ./cmd/surefret -run Setups -update
//
// and then read the file as that player would.
var setups = []struct {
	name string
	set  func(*settings.Settings)
	part string // lines that he plays in D, moved to Bb
}{
	{"bass", func(s *settings.Settings) { s.Tuning = "bass" }, "G|---------|---------|\nD|---0-2-4-|---------|\nA|-5-------|-0-2-4-5-|\nE|---------|---------|\n"},
	{"five-string-bass", func(s *settings.Settings) { s.Tuning = "five-string bass" }, "G|---------|---------|\nD|---0-2-4-|---------|\nA|-5-------|-------0-|\nE|---------|-0-2-4---|\nB|---------|---------|\n"},
	{"bass-drop-d", func(s *settings.Settings) { s.Tuning = "D1 A1 D2 G2" }, "G|---------|\nD|---------|\nA|-0-2-4-5-|\nD|-0-0-4-7-|\n"},
	{"left-hander", func(s *settings.Settings) { s.LeftHanded = true }, "e|---2-----|\nB|-----3-2-|\nG|---2---2-|\nD|-0-------|\nA|---------|\nE|---------|\n"},
	{"drop-d", func(s *settings.Settings) { s.Tuning = "drop D" }, "e|---------|\nB|---------|\nG|---------|\nD|-0-3-5-7-|\nA|-0-3-5-7-|\nD|-0-3-5-7-|\n"},
	{"dadgad", func(s *settings.Settings) { s.Tuning = "DADGAD" }, "D|-0---0---|\nA|-0---0---|\nG|-2---0---|\nD|-0---5---|\nA|-0-------|\nD|-0---5---|\n"},
	{"open-g", func(s *settings.Settings) { s.Tuning = "open G" }, "D|-7-5-2---|\nB|-7-5-3---|\nG|-7-5-2---|\nD|-7-5-0---|\nG|-7-5-----|\nD|---------|\n"},
	{"open-d", func(s *settings.Settings) { s.Tuning = "open D" }, "D|-0-5-7---|\nA|-0-5-7---|\nF#|-0-5-7---|\nD|-0-5-7---|\nA|-0-5-7---|\nD|-0-5-7---|\n"},
	{"seven-strings", func(s *settings.Settings) { s.Tuning = "seven strings" }, "e|---------|\nB|---------|\nG|---------|\nD|---------|\nA|---------|\nE|-----0-2-|\nB|-3-5-----|\n"},
	{"half-step-down-capo", func(s *settings.Settings) { s.Tuning, s.Capo = "half step down", 2 }, "e|---2-----|\nB|-----3-2-|\nG|---2---2-|\nD|-0-------|\nA|---------|\nE|---------|\n"},
	{"german", func(s *settings.Settings) { s.Names = "german" }, "e|---2-----|\nH|-----3-2-|\nG|---2---2-|\nD|-0-------|\nA|---------|\nE|---------|\n"},
	{"solfege", func(s *settings.Settings) { s.Names = "solfege" }, "e|---2-----|\nB|-----3-2-|\nG|---2---2-|\nD|-0-------|\nA|---------|\nE|---------|\n"},
}

// Each set-up has shapes, an order, advice and pages of its own.
func TestSetups(t *testing.T) {
	for _, setup := range setups {
		t.Run(setup.name, func(t *testing.T) {
			golden := filepath.Join("testdata", "setups", setup.name+".txt")
			path := saved(t, setup.set)
			part := filepath.Join(t.TempDir(), "line.tab")
			if err := os.WriteFile(part, []byte(setup.part), 0o644); err != nil {
				t.Fatal(err)
			}
			var got strings.Builder
			fmt.Fprintf(&got, "-- catalogue --\n%s-- sixty questions --\n%s", catalogued(t, setup.set), firstQuestions(t, setup.set, 60))
			for _, command := range []string{
				"shape list", "key Bb",
				"gig add Fair --day 2026-12-05", `song add Buoy --learned D --chords "1 5 6- 4"`, "gig song Fair Buoy --called Bb", "gig show Fair",
				"part move line.tab --from D --to Bb",
			} {
				p, _, out, errs := listening(path)
				env := p.Getenv
				p.Getenv = func(key string) string {
					return map[string]string{key: env(key), "SUREFRET_CLOCK": "2026-11-25T18:00:00Z"}[key]
				}
				code := p.run(t.Context(), commandLine(strings.Replace(command, "line.tab", part, 1)))
				if code != exitDone {
					t.Errorf("surefret %s ends with %d: %s", command, code, errs)
				}
				fmt.Fprintf(&got, "-- %s --\n%s", command, out)
			}
			if *update {
				if err := os.WriteFile(golden, []byte(got.String()), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			was, is := strings.Split(string(want), "\n"), strings.Split(got.String(), "\n")
			for i := range min(len(was), len(is)) {
				if was[i] != is[i] {
					t.Fatalf("%s:%d: %q, was %q", golden, i+1, is[i], was[i])
				}
			}
			if len(was) != len(is) {
				t.Errorf("%s: %d lines, was %d", golden, len(is), len(was))
			}
		})
	}
}

// catalogued counts the items of a set-up by stage, family and topic.
func catalogued(t *testing.T, set func(*settings.Settings)) string {
	s := settings.Default()
	set(&s)
	setup, err := s.Setup()
	if err != nil {
		t.Fatal(err)
	}
	items := map[string]int{}
	for _, it := range drills.NewCatalogue(setup).Items() {
		items[fmt.Sprintf("stage %2d  %-8s  %s", it.Stage, it.Family, it.Topic())]++
	}
	var b strings.Builder
	for _, topic := range slices.Sorted(maps.Keys(items)) {
		fmt.Fprintf(&b, "%s: %d\n", topic, items[topic])
	}
	return b.String()
}

// firstQuestions are those of a player who gets all of them right in time, day by day.
func firstQuestions(t *testing.T, set func(*settings.Settings), most int) string {
	s, now := settings.Default(), time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)
	set(&s)
	player := practicetest.Open(new(practicetest.Log), s, func() time.Time { return now })
	var b strings.Builder
	for asked := 0; asked < most; now = now.Add(24 * time.Hour) {
		sitting, err := player.Begin(practice.Options{Selection: practice.Selection{Heard: true}, Rand: rand.New(rand.NewPCG(1, 2)), Length: 10 * time.Minute})
		if err != nil {
			t.Fatal(err)
		}
		for ; asked < most; asked++ {
			turn, ok, err := sitting.Next(t.Context(), now)
			if err != nil {
				t.Fatal(err)
			}
			if !ok {
				break
			}
			right, _ := practicetest.AnswersTo(turn.Question)
			now = now.Add(10 * time.Second)
			if _, err := sitting.Answer(t.Context(), now, right, 1500*time.Millisecond, drills.EntryKeys); err != nil {
				t.Fatal(err)
			}
			fmt.Fprintf(&b, "%s %s\n", turn.Question.Text, right)
		}
	}
	return b.String()
}
