package demo

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/gig"
	"surefret/scheduler"
)

func TestALogComesBackAsItWasWrittenTiedToToday(t *testing.T) {
	var b bytes.Buffer
	at := 14*time.Hour + 1500*time.Millisecond
	rows := []Row{{0, at, "note/E2+3/name", "String 6, fret 3: which note?", true, 800 * time.Millisecond}, {Days - 1, at, "key/C major/4", `The "4"?`, false, 0}}
	if err := WriteLog(&b, rows); err != nil {
		t.Fatal(err)
	}
	today := scheduler.DayOf(time.Date(2026, 11, 30, 12, 0, 0, 0, time.UTC), nil)
	got, err := Player{"Ann", b.Bytes()}.Answers(today, time.UTC, time.Time.String)
	if err != nil || len(got) != len(rows) {
		t.Fatalf("%d answers, %v", len(got), err)
	}
	for i, r := range rows {
		day := today - Days + scheduler.Day(r.Day)
		if g := got[i]; g.Item != r.Item || g.Question != r.Question || g.Right != r.Right || g.Thinking != r.Thinking ||
			g.Day != day.String() || g.At != day.Start(nil).Add(at) || g.ID != g.At.String() {
			t.Errorf("%+v came back as %+v", r, g)
		}
	}
}

func TestTheDemoAsksWhatThereIs(t *testing.T) {
	setup, err := settings.Default().Setup()
	if err != nil {
		t.Fatal(err)
	}
	setup.Sound = true
	for _, g := range Gigs(20_000) {
		setup.Parts = append(setup.Parts, gig.OwnParts(setup.Neck, g.Songs...)...)
	}
	c := drills.NewCatalogue(setup)
	for _, p := range Players {
		answers, err := p.Answers(20_000, time.UTC, time.Time.String)
		if err != nil {
			t.Fatal(err)
		}
		asked := map[string]int{}
		for i, a := range answers {
			if _, ok := c.Item(a.Item); !ok {
				t.Fatalf("%s answers %s, which is no item", p.Name, a.Item)
			}
			if i > 0 && a.At.Before(answers[i-1].At) {
				t.Fatalf("%s: answer %d is before the one before", p.Name, i)
			}
			family, _, _ := strings.Cut(a.Item, "/")
			asked[family]++
			if strings.HasPrefix(a.Item, "note/E4") {
				asked["string 1"]++
			}
		}
		if p.Name == "Wren" && (asked["string 1"] < 100 || asked["ear"] < 100 || asked["walkup"] < 100) {
			t.Errorf("Wren was asked %v", asked)
		}
	}
}
