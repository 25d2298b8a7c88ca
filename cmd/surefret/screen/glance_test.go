package screen

import (
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/report"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// maps returns a map that is surer with each look: string 6 asked, its third fret
// weak at first, the fifth fret of string 5 met in between.
func maps() func() report.Map {
	looks := 0
	return func() report.Map {
		looks++
		m := report.Map{Day: "2026-11-25", Frets: [2]int{0, 14}}
		for str := 6; str >= 1; str-- {
			for fret := 0; fret <= 14; fret++ {
				p := report.Place{Position: fretboard.Position{String: str, Fret: fret}, Level: report.Unmet}
				switch {
				case str == 6 && fret == 3 && looks == 1:
					p.Fluency, p.Level = 0.31, report.Unsure
				case str == 6 && fret == 7 && looks > 1:
					p.Fluency, p.Level = 0.62, report.Unsure
				case str == 6:
					p.Fluency, p.Level = 0.85, report.Sure
				case str == 5 && fret == 5 && looks > 1:
					p.Fluency, p.Level = 0.55, report.Unsure
				}
				m.Places = append(m.Places, p)
			}
		}
		return m
	}
}

// A key of the footer is never an answer, and an answer never opens the map.
func TestTheMapOpensWhereNoAnswerIsTyped(t *testing.T) {
	b := newBench(80, 24, Options{Map: maps()}, nameG, findC)
	if strings.Contains(b.View(), "m map") {
		t.Error("the footer of an open question names m")
	}
	b.clock.after(time.Second)
	b.keys("b", "m") // it is no key of the answer in hand
	if b.phase != asking || len(b.Rows) > 0 {
		t.Errorf("m in an answer: phase %d, %s", b.phase, b.answers())
	}
	b.keys("backspace", "m")
	if b.phase != glancing || strings.Contains(b.View(), "String 6, fret 3: which") {
		t.Errorf("m before the answer: phase %d", b.phase)
	}
	b.keys("x", ".", "m")
	if b.phase != glancing || !strings.Contains(b.View(), "The map now") {
		t.Fatalf("m in the pause shows:\n%s", b.View())
	}
	if want := "Since you began: 1 up, 1 down, 1 asked for the first time. Most gained: string 6, fret 3."; !strings.Contains(strings.Join(strings.Fields(b.View()), " "), want) {
		t.Errorf("no %q in:\n%s", want, b.View())
	}
	if strings.Contains(b.View(), "Which") {
		t.Error("the question shows beside the map")
	}
	b.keys("m")
	if !strings.Contains(b.View(), "The map as you began") {
		t.Errorf("m again shows:\n%s", b.View())
	}
	b.clock.after(time.Minute)
	b.keys("x")
	if b.phase != asking || b.o.Sitting.Left(b.clock.now) != 10*time.Minute-time.Second {
		t.Errorf("back in phase %d with %s left; the glance is none of the sitting's", b.phase, b.o.Sitting.Left(b.clock.now))
	}
	b.clock.after(time.Second)
	b.keys("g", "enter")
	if want := "g right 0s keys"; !strings.EqualFold(b.answers(), want) {
		t.Errorf("logged %q, want %q: an answer after the map is not timed", b.answers(), want)
	}
	// From the feedback, where the footer names it, and back to it.
	b.clock.after(time.Second)
	if !strings.Contains(b.View(), "m map") {
		t.Errorf("no m in the footer:\n%s", b.View())
	}
	b.keys("m")
	if b.phase != glancing {
		t.Fatalf("m on the feedback: phase %d", b.phase)
	}
	b.keys("x")
	if b.phase != telling || len(b.Rows) != 1 {
		t.Errorf("back in phase %d", b.phase)
	}
	// And from the summary.
	b.keys("esc")
	b.clock.after(time.Second)
	b.keys("m")
	if b.phase != glancing {
		t.Fatalf("m on the summary: phase %d", b.phase)
	}
	b.keys("x")
	if b.phase != closing {
		t.Errorf("back in phase %d", b.phase)
	}
}

// Mi begins with it.
func TestMIsAnAnswersKeyWhereItBeginsOne(t *testing.T) {
	b := newBench(80, 24, Options{Map: maps(), Names: theory.Names{System: theory.Solfege}}, nameG)
	if b.plays("1000 m"); b.phase != asking || b.entry.text != "m" {
		t.Errorf("phase %d, typed %q", b.phase, b.entry.text)
	}
}

func TestWithoutAMapThereIsNoKeyForIt(t *testing.T) {
	b := newBench(80, 24, Options{}, nameG)
	b.keys(".")
	if strings.Contains(b.View(), "map") {
		t.Errorf("the footer names a map:\n%s", b.View())
	}
	b.keys("m")
	if b.phase != asking {
		t.Errorf("m leads to phase %d", b.phase)
	}
}

// What the neck does not show is as what it shows, and that is said.
func TestTheMapSaysWhatItLeavesOut(t *testing.T) {
	for _, columns := range []int{60, 80} {
		b := newBench(columns, 18, Options{Map: maps()}, nameG)
		b.clock.after(time.Second)
		b.keys(".", "m")
		if view := b.View(); !strings.Contains(view, "Fret 12 is as fret 0, and so on.") || strings.Contains(view, "12 ") && !strings.Contains(view, "Fret 12 ") {
			t.Errorf("%d columns:\n%s", columns, view)
		}
	}
}
