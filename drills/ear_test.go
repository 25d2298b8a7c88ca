package drills

import (
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"surefret/drills/theory"
)

// heardTimes asks an item by ear many times over. Whatever is heard lies within
// what this guitar sounds, E2 to D6 (MIDI 40 to 86), and something is heard.
func heardTimes(t *testing.T, id string, check func(q Question)) {
	t.Helper()
	c := whole()
	for seed := range uint64(60) {
		q, err := c.Ask(id, rand.New(rand.NewPCG(seed, 3)))
		if err != nil {
			t.Fatal(err)
		}
		if len(q.Heard) == 0 {
			t.Errorf("%s sounds nothing", q.Text)
		}
		for _, n := range q.Heard {
			if n.MIDI < 40 || n.MIDI > 86 {
				t.Errorf("%s sounds key %d, off the neck", q.Text, n.MIDI)
			}
		}
		check(q)
	}
}

// judged reports whether an answer to q is right.
func judged(t *testing.T, q Question, answer string) bool {
	t.Helper()
	v, err := q.Judge(answer)
	if err != nil {
		t.Fatalf("%s answered %q: %v", q.Text, answer, err)
	}
	return v.Right
}

// Fifteen semitones are a minor tenth, sixteen a major one (Open Music Theory,
// compound intervals).
func TestTheTenthThatSoundsIsTheAnswer(t *testing.T) {
	seen := map[int]bool{}
	heardTimes(t, "ear/tenth", func(q Question) {
		wide := q.Heard[1].MIDI - q.Heard[0].MIDI
		seen[wide] = true
		if judged(t, q, "major") != (wide == 16) || judged(t, q, "minor") != (wide == 15) {
			t.Errorf("%d semitones: major %t, minor %t", wide, judged(t, q, "major"), judged(t, q, "minor"))
		}
	})
	if !seen[15] || !seen[16] || len(seen) != 2 {
		t.Errorf("tenths of %v semitones sound", seen)
	}
}

func TestTheIntervalThatSoundsIsTheAnswer(t *testing.T) {
	for name, semitones := range map[string]int{"m2": 1, "M3": 4, "A4": 6, "P5": 7, "m7": 10, "P8": 12, "m10": 15} {
		heardTimes(t, "ear/interval/"+name, func(q Question) {
			if wide := q.Heard[1].MIDI - q.Heard[0].MIDI; wide != semitones || !judged(t, q, name) || judged(t, q, "P4") {
				t.Errorf("%s sounds %d semitones wide", name, wide)
			}
			if both := q.Heard[2:]; len(both) != 2 || both[0].At != both[1].At || q.Heard[0].At >= q.Heard[1].At || q.Heard[1].At >= both[0].At {
				t.Errorf("%s: one note, the other, then both: %v", name, q.Heard)
			}
		})
	}
	heardTimes(t, "ear/interval/A4", func(q Question) {
		if !judged(t, q, "diminished fifth") {
			t.Error("a tritone has two names")
		}
	})
}

func TestTheFretThatSoundsIsTheAnswer(t *testing.T) {
	heardTimes(t, "ear/fret/A2", func(q Question) {
		open, at := q.Heard[0].MIDI, q.Heard[1].MIDI
		if fret := at - open; open != 45 || fret < 1 || fret > 12 || !judged(t, q, strconv.Itoa(fret)) || judged(t, q, strconv.Itoa(fret+1)) {
			t.Errorf("open %d, then %d", open, at)
		}
	})
}

func TestTheChordThatSoundsDecides(t *testing.T) {
	for _, symbol := range heardChords {
		want, err := theory.ParseChord("C" + symbol)
		if err != nil {
			t.Fatal(err)
		}
		said := map[bool]int{}
		heardTimes(t, "ear/chord/"+quality(symbol), func(q Question) {
			same := len(q.Heard) == len(want.Intervals())
			for i, iv := range want.Intervals() {
				same = same && q.Heard[i].MIDI-q.Heard[0].MIDI == iv.Semitones
			}
			said[same]++
			if judged(t, q, "yes") != same || judged(t, q, "no") == same {
				t.Errorf("%s: it sounds %v", q.Text, q.Heard)
			}
			if asked, err := theory.ParseChord(strings.TrimRight(strings.Fields(q.Text)[0], ":")); err == nil && asked.Root.PitchClass() != q.Heard[0].MIDI%12 {
				t.Errorf("%s: its root sounds as %d", q.Text, q.Heard[0].MIDI)
			}
		})
		if said[true] < 12 || said[false] < 12 {
			t.Errorf("C%s: yes and no are not both to be expected: %v", symbol, said)
		}
	}
}

// One note is off by a semitone, never the first or the last, and it is the answer.
func TestTheWrongNoteOfAWalkIsTheAnswer(t *testing.T) {
	heardTimes(t, "ear/walkup", func(q Question) {
		var wrong []int
		for i, name := range q.Choices {
			n, err := theory.ParseNote(name)
			if err != nil {
				t.Fatal(err)
			}
			if away := (q.Heard[i].MIDI - n.PitchClass() + 120) % 12; away == 1 || away == 11 {
				wrong = append(wrong, i)
			} else if away != 0 {
				t.Errorf("%s sounds as %d", name, q.Heard[i].MIDI)
			}
		}
		if len(wrong) != 1 || wrong[0] == 0 || wrong[0] == len(q.Choices)-1 || !judged(t, q, strconv.Itoa(wrong[0]+1)) || judged(t, q, "1") {
			t.Errorf("%v sounding as %v: wrong are %v", q.Choices, q.Heard, wrong)
		}
	})
}

func TestNothingIsHeardThatCannotBe(t *testing.T) {
	for _, id := range []string{"ear/fret/C2", "ear/sight", "ear/interval/x"} {
		if _, err := (earFamily{}).ask(whole().setup, strings.TrimPrefix(id, "ear/"), rand.New(rand.NewPCG(1, 1))); err == nil {
			t.Errorf("%s was asked", id)
		}
	}
}

// A strum goes from string to string and rings out together; a row takes its
// steps evenly and its last note rings.
func TestCuesSoundAsAHandPlays(t *testing.T) {
	cue := strum([]int{40, 47, 52})
	for i, n := range cue {
		if n.At != time.Duration(i)*strumSpread || n.At+n.For != chordLength {
			t.Errorf("string %d sounds at %v for %v", i+1, n.At, n.For)
		}
	}
	cue = row([]int{40, 42, 44, 45})
	for i, n := range cue {
		length := stepLength
		if i == 3 {
			length = noteLength
		}
		if n.At != time.Duration(i)*stepLength || n.For != length {
			t.Errorf("step %d sounds at %v for %v", i+1, n.At, n.For)
		}
	}
	if got := single(69); !slices.Equal(got, []Sounding{{MIDI: 69, For: noteLength}}) || row(nil) != nil {
		t.Errorf("a single note is %v, and none is %v", got, row(nil))
	}
}
