package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
)

// The lab answers every item of the catalogue right and wrong, as the judge says.
func TestEveryItemCanBeAnsweredRightAndWrong(t *testing.T) {
	c, err := newCatalogue(false)
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(1, 8))
	for _, it := range c.Items() {
		q, err := c.Ask(it.ID, rng)
		if err != nil {
			t.Fatal(err)
		}
		right, wrong := practicetest.AnswersTo(q)
		for text, want := range map[string]bool{right: true, wrong: false} {
			if v, err := q.Judge(text); err != nil || v.Right != want {
				t.Errorf("%s, answered %q: %+v, %v", q.Text, text, v, err)
			}
		}
	}
}

// A named player's days with the program: ten minutes each, what is new comes in few,
// and what he practised is in the log, for the next day is planned from it.
func TestACourseIsPlayedWithTheProgram(t *testing.T) {
	o := practice.Options{Rand: rand.New(rand.NewPCG(1, 8)), Length: 10 * time.Minute}
	l, err := newLived(t.Context(), profilePlayer(0, "half-life", 1), o, nil)
	if err != nil {
		t.Fatal(err)
	}
	met := 0
	for day := range 3 {
		d, err := l.day(t.Context(), float64(day)+practiceHour/24)
		if err != nil {
			t.Fatal(err)
		}
		if d.minutes < 9.5 || d.minutes > 10.8 || d.asked < 40 || d.right == 0 || d.right > d.asked {
			t.Errorf("day %d: %+v", day+1, d)
		}
		if met += d.fresh; d.open > met {
			t.Errorf("day %d: %d items are not yet sure, %d were met", day+1, d.open, met)
		}
	}
	known := 0
	for i, it := range l.items {
		s, ok := l.practice.State(it.ID)
		if !ok || (s.Asked > 0) != l.asked[i] {
			t.Errorf("%s was asked %d times by the log, %v here", it.ID, s.Asked, l.asked[i])
		}
		known += one(s.Asked > 0)
	}
	if known != met {
		t.Errorf("the log has %d items, %d were met", known, met)
	}
}

// A beginner's first ten sittings, with what is new shown as his set-up has it, go neither
// too well nor badly: each is 70 to 92 % right on the mean of three players. After seven
// the summary says that he knows the naturals on string 6, or how many of them.
func TestABeginnerIsPacedByWhatIsRight(t *testing.T) {
	const sittings, week = 10, 7
	knows := regexp.MustCompile(`^You know by now: (\d+ of the \d+ questions on )?naturals on string 6[.;]`)
	var right [sittings]float64
	memories := []string{"activation", "half-life", "mixture"}
	for k, memory := range memories {
		o := practice.Options{Show: true, Rand: rand.New(rand.NewPCG(uint64(k), 8)), Length: 10 * time.Minute}
		l, err := newLived(t.Context(), profilePlayer(0, memory, uint64(1+k)), o, nil)
		if err != nil {
			t.Fatal(err)
		}
		for n := range sittings {
			d, err := l.day(t.Context(), float64(n)+practiceHour/24)
			if err != nil {
				t.Fatal(err)
			}
			if d.minutes < 9.5 {
				t.Errorf("%s: sitting %d ended after %.1f minutes", memory, n+1, d.minutes)
			}
			if n+1 == week && !slices.ContainsFunc(d.told, knows.MatchString) {
				t.Errorf("%s: after a week he is told:\n%s", memory, strings.Join(d.told, "\n"))
			}
			right[n] += float64(d.right) / float64(d.asked) / float64(len(memories))
		}
	}
	for n, share := range right {
		if share < 0.70 || share > 0.92 {
			t.Errorf("sitting %d: %.1f %% right", n+1, 100*share)
		}
	}
}

// The courses that are kept say which command made them, and SCIENCE.md quotes their days.
func TestTheCoursesAreKept(t *testing.T) {
	science, err := os.ReadFile("../../scheduler/SCIENCE.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range profiles {
		text, err := os.ReadFile("../../testdata/course-" + p.name + ".txt")
		if err != nil {
			t.Fatal(err)
		}
		if want := "go run ./cmd/schedulelab --course " + p.name + "\n"; !strings.HasPrefix(string(text), want) || !strings.Contains(string(text), "\n60  ") {
			t.Errorf("%s: %.80q", p.name, text)
		}
		quoted := regexp.MustCompile(`(?m)^\| `+p.name+` \| (\d+) \| (\d+) \| (\d+) \| (\d+) % \| (\d+) \| (\d+) \|$`).FindAllStringSubmatch(string(science), -1)
		if len(quoted) != 5 && p.name != "bassist" {
			t.Errorf("%s: SCIENCE.md quotes %d days, want 5", p.name, len(quoted))
		}
		for _, q := range quoted {
			if day := regexp.MustCompile(fmt.Sprintf(`(?m)^%s +\S+ +%s +%s +%s %% +%s +%s `, q[1], q[2], q[3], q[4], q[5], q[6])); !day.Match(text) {
				t.Errorf("%s: the course has no such day: %s", p.name, q[0])
			}
		}
		if p.name == "bassist" { // his order
			at := 0
			for _, topic := range []string{"octaves", "root and fifth", "scales", "arpeggios", "walk-ups between", "walking bars between"} {
				next := strings.Index(string(text[at:]), topic)
				if at += next; next < 0 {
					t.Errorf("%s: %s does not come in its turn", p.name, topic)
				}
			}
		}
	}
}
