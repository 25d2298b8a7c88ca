package drills

import (
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// heard asks an item by ear many times over. Whatever is heard lies within
// what this guitar sounds, E2 to D6 (MIDI 40 to 86), and something is heard. check
// gets the semitones above the first note.
func heard(t *testing.T, id string, check func(q Question, above []int)) {
	t.Helper()
	for _, q := range asked(t, whole(), id) {
		var above []int
		for _, n := range q.Heard {
			above = append(above, n.MIDI-q.Heard[0].MIDI)
			if n.MIDI < 40 || n.MIDI > 86 {
				t.Errorf("%s sounds key %d, off the neck", q.Text, n.MIDI)
			}
		}
		if len(above) == 0 {
			t.Fatalf("%s sounds nothing", q.Text)
		}
		check(q, above)
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
func TestTheIntervalThatSoundsIsTheAnswer(t *testing.T) {
	tenths := map[int]bool{}
	for seed := range 20 { // one text, two sounds
		q := must(whole().Ask("ear/tenth", seeded(seed)))
		wide := q.Heard[1].MIDI - q.Heard[0].MIDI
		tenths[wide] = true
		verdicts(t, q, map[string]bool{"major": wide == 16, "minor": wide == 15})
	}
	if !tenths[15] || !tenths[16] || len(tenths) != 2 {
		t.Errorf("tenths of %v semitones sound", tenths)
	}
	for name, semitones := range map[string]int{"m2": 1, "M3": 4, "A4": 6, "P5": 7, "m7": 10, "P8": 12, "m10": 15} {
		heard(t, "ear/interval/"+name, func(q Question, above []int) {
			if above[1] != semitones || !judged(t, q, name) || judged(t, q, "P4") || semitones == 6 && !judged(t, q, "diminished fifth") {
				t.Errorf("%s sounds %d semitones wide", name, above[1])
			}
			if both := q.Heard[2:]; len(both) != 2 || both[0].At != both[1].At || q.Heard[0].At >= q.Heard[1].At || q.Heard[1].At >= both[0].At {
				t.Errorf("%s: one note, the other, then both: %v", name, q.Heard)
			}
		})
	}
	heard(t, "ear/fret/A2", func(q Question, above []int) {
		if q.Heard[0].MIDI != 45 || above[1] < 1 || above[1] > 12 || !judged(t, q, strconv.Itoa(above[1])) || judged(t, q, strconv.Itoa(above[1]+1)) {
			t.Errorf("open %d, then %d above it", q.Heard[0].MIDI, above[1])
		}
	})
}

func TestTheChordThatSoundsDecides(t *testing.T) {
	for _, symbol := range heardChords {
		said := map[bool]int{}
		for seed := range 60 {
			q := must(whole().Ask("ear/chord/"+quality(symbol), seeded(seed)))
			asked := must(theory.ParseChord(strings.TrimRight(strings.Fields(q.Text)[2], "?")))
			same := len(q.Heard) == len(asked.Intervals())
			for i, iv := range asked.Intervals() {
				same = same && q.Heard[i].MIDI-q.Heard[0].MIDI == iv.Semitones
			}
			said[same]++
			verdicts(t, q, map[string]bool{"yes": same, "no": !same})
			if asked.Root.PitchClass() != q.Heard[0].MIDI%12 {
				t.Errorf("%s: its root sounds as %d", q.Text, q.Heard[0].MIDI)
			}
		}
		if said[true] < 12 || said[false] < 12 {
			t.Errorf("C%s: yes and no are not both to be expected: %v", symbol, said)
		}
	}
}

// One note is off by a semitone, never the first or the last, and it is the answer.
func TestTheWrongNoteOfAWalkIsTheAnswer(t *testing.T) {
	heard(t, "ear/walkup", func(q Question, _ []int) {
		var wrong []int
		for i, name := range q.Choices {
			away := (q.Heard[i].MIDI - must(theory.ParseNote(name)).PitchClass() + 120) % 12
			if away == 1 || away == 11 {
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

// A strum goes from string to string and rings out together; a row takes its
// steps evenly and its last note rings.
func TestCuesSoundAsAHandPlays(t *testing.T) {
	for i, n := range strum([]int{40, 47, 52}) {
		if n.At != time.Duration(i)*strumSpread || n.At+n.For != chordLength {
			t.Errorf("string %d sounds at %v for %v", i+1, n.At, n.For)
		}
	}
	if got, want := row([]int{40, 42}), []Sounding{{40, 0, stepLength}, {42, stepLength, noteLength}}; !slices.Equal(got, want) || row(nil) != nil {
		t.Errorf("a row is %v, and none is %v", got, row(nil))
	}
}

// Between two choices a lucky answer proves little, and the item says so.
func TestItemsSayHowFarAGuessGoes(t *testing.T) {
	for _, it := range whole().Items() {
		q := must(whole().Ask(it.ID, seeded(4)))
		if want := map[bool]float64{true: 0.5}[q.Expect == ExpectChoice]; it.Guess != want {
			t.Errorf("%s: a guess is right with a chance of %.2f, want %.2f", q.Text, it.Guess, want)
		}
	}
}

// What was heard lies on the neck with the answer, wherever it began: high on the lowest
// string, or where no other string has the upper note.
func TestWhatWasHeardIsShownOnTheNeck(t *testing.T) {
	c := NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 14}, Sound: true, Frets: [2]int{0, 12}})
	for _, id := range []string{"ear/interval/m2", "ear/interval/m3", "ear/interval/P5", "ear/tenth"} {
		for seed := range 60 {
			q := must(c.Ask(id, seeded(seed)))
			if v := must(q.Judge(map[bool]string{true: "1", false: "A4"}[id == "ear/tenth"])); len(v.Marks) != 2 || v.Marks[0].At == v.Marks[1].At {
				t.Fatalf("%s: %v heard, %v shown", id, q.Heard, v.Marks)
			}
		}
	}
}

func TestASilentCatalogueIsThatOfASetupWithoutSound(t *testing.T) {
	mute := whole().setup
	mute.Sound = false
	silent, without := whole().Silent(), NewCatalogue(mute)
	if !reflect.DeepEqual(silent, without) {
		t.Errorf("%d items, which are not the %d of a setup without sound", len(silent.items), len(without.items))
	}
}
