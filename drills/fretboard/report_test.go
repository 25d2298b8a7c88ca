package fretboard

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestAMoveIsWrittenAsPromised(t *testing.T) {
	m := moved(t, part(t, quay), "D", "E", SameStrings)
	data, err := json.Marshal(Offers{m})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`{"from":"D","to":"E","semitones":2,"how":"same-strings","events":[{"bar":1,"notes":[{"string":4,"fret":2,"pitch":"E3","was":{"string":4,"fret":0}}],"problems":["open-string"]}`,
		`"problems":[{"event":0,"kind":"open-string","message":"bar 1: open string 4 is stopped at fret 2 and rings no longer"}`,
		`"ways":[{"kind":"capo","message":"put a capo at fret 2 and play it as written, in D shapes: nothing breaks"}`,
	} {
		if !strings.Contains(string(data), want) {
			t.Errorf("missing %s\nin %s", want, data)
		}
	}
	// A capo or lower strings change what sounds, not the key that the part is written in.
	p := part(t, quay)
	p.Neck.Capo, p.Neck.Tuning = 1, WholeStepDown
	if capoed, _ := json.Marshal(offers(t, p, "D", "E", Asked{How: SameStrings})); !strings.Contains(string(capoed), `"notes":[{"string":4,"fret":2,"pitch":"E3"`) {
		t.Errorf("behind a capo: %s", capoed)
	}
	if want := "D major to E major, a whole step up on the same strings: 2 open strings lost"; m.Say() != want {
		t.Errorf("told as %q", m.Say())
	}
	empty, _ := json.Marshal(offers(t, part(t, quay), "D", "D", Asked{}))
	if !strings.HasSuffix(string(empty), `"problems":[],"ways":[],"offers":[{"how":"same-strings","semitones":0,"way":"where it is on the same strings","keeps":"every note on its string, every open string","costs":"nothing breaks"}]}`) {
		t.Errorf("no problems are written as %s", empty)
	}
}

func TestOriginsFollowTheNotes(t *testing.T) {
	for _, how := range []How{SameStrings, Refingered} {
		m := moved(t, part(t, asWritten["two systems without a gap, annotations"]), "C", "G", how)
		for i, e := range m.Events {
			for j, n := range e.Notes {
				was := m.origin(i, j)
				if d := guitar.MIDI(n.Position) - guitar.MIDI(was) - m.Semitones; d%12 != 0 {
					t.Errorf("%s, event %d: %s is said to come from %s", how, i, n.Say(), was.Say())
				}
			}
		}
	}
}

// The first way that a player would try. Common practice, no source.
func TestTheChoiceThatPlayersMakeComesFirst(t *testing.T) {
	for name, want := range map[string]string{
		"B": "capo 4 G", "Bb": "capo 3 G", "Ab": "capo 1 G", "F#m": "capo 2 Em", "G": "capo 0 G", "A": "capo 2 G", "D": "capo 0 D",
		"Eb": "capo 1 D", "F": "capo 3 D", "C#": "capo 1 C", "Db": "capo 1 C", "Cm": "capo 3 Am", "Fm": "capo 1 Em", "Bbm": "capo 1 Am",
		"C": "capo 0 C", "Am": "capo 0 Am", "Em": "capo 0 Em",
	} {
		c := guitar.Choices(key(t, name))[0]
		if got := fmt.Sprintf("capo %d %s", c.Capo, c.Shapes.Short()); got != want || c.Detuned != 0 {
			t.Errorf("%s: %s, tuned %d down, want %s", name, got, c.Detuned, want)
		}
	}
}

// On a guitar that is tuned down the hand plays higher for the same sound, and
// the strings are not slackened past a whole step below standard.
func TestChoicesFollowTheTuning(t *testing.T) {
	for _, c := range []struct {
		tuning Tuning
		lower  int
	}{{Standard, 0}, {HalfStepDown, 1}, {WholeStepDown, 2}, {DropD, 0}, {SevenStrings, 0}} {
		fb := Fretboard{Tuning: c.tuning, Frets: 22}
		for _, name := range []string{"Bb", "F#m", "D", "C#"} {
			k, slackest := key(t, name), 0
			for _, choice := range fb.Choices(k) {
				slackest = max(slackest, c.lower+choice.Detuned)
				// In standard tuning what the hand plays is what sounds.
				if sounds := choice.Shapes.Tonic.PitchClass() + choice.Capo - choice.Detuned - c.lower; (sounds-k.Tonic.PitchClass())%12 != 0 {
					t.Errorf("%s, %s: %s shapes with a capo at %d, tuned %d down, do not sound in it", c.tuning.Name, name, choice.Shapes, choice.Capo, choice.Detuned)
				}
			}
			if slackest != 2 {
				t.Errorf("%s, %s: tuned down to %d half steps below standard, want 2", c.tuning.Name, name, slackest)
			}
		}
	}
	for _, odd := range []Tuning{DADGAD, OpenG, OpenD, Bass} {
		if got := (Fretboard{Tuning: odd, Frets: 22}).Choices(key(t, "D")); got != nil {
			t.Errorf("%s: %v, but its open chords are others", odd.Name, got)
		}
	}
	// A capo that is on high already is one of the choices.
	if got := (Fretboard{Tuning: Standard, Frets: 22, Capo: 9}).Choices(key(t, "D")); len(got) != 11 {
		t.Errorf("%d choices with a capo at fret 9, want 11", len(got))
	}
}

// Common practice, no source: how many of a key's common chords beginners know.
func TestOpenChordsOfAKey(t *testing.T) {
	for name, want := range map[string]int{"G": 5, "Em": 5, "C": 4, "D": 4, "Am": 4, "Bm": 4, "A": 3, "E": 2} {
		for _, c := range guitar.Choices(key(t, name)) {
			if c.Capo == 0 && c.Detuned == 0 && c.Open != want {
				t.Errorf("%s has %d open chords, want %d", name, c.Open, want)
			}
		}
	}
}

// What breaks is told before what changes, and each thing once, with its bars.
func TestTheSameProblemIsToldOnceWithItsBars(t *testing.T) {
	open := Fretted{Position: Position{String: 5, Fret: 0}}
	low := Fretted{Position: Position{String: 4, Fret: 2}}
	for _, c := range []struct {
		bars []int // an open string in each
		want []string
	}{
		{[]int{3}, []string{"bar 3: open string 5 is stopped at fret 2 and rings no longer"}},
		{[]int{1, 1}, []string{"bar 1, twice: open string 5 is stopped at fret 2 and rings no longer"}},
		{[]int{1, 1, 1, 2}, []string{"bars 1 and 2, 4 times: open string 5 is stopped at fret 2 and rings no longer"}},
		{[]int{1, 2, 3, 5, 8, 9}, []string{"bars 1 to 3, 5, 8 and 9: open string 5 is stopped at fret 2 and rings no longer"}},
		{[]int{4, 5, 6, 7}, []string{"bars 4 to 7: open string 5 is stopped at fret 2 and rings no longer"}},
	} {
		p := Part{Neck: guitar}
		for _, bar := range c.bars {
			p.Events = append(p.Events, Event{Bar: bar, Beats: 1, Notes: []Fretted{open}})
		}
		p.Events = append(p.Events, Event{Bar: 10, Beats: 1, Notes: []Fretted{low}}) // no way down
		m := moved(t, p, "D", "E", SameStrings)
		if diff := cmp.Diff(c.want, m.Told()); diff != "" {
			t.Errorf("bars %v (-want +got):\n%s", c.bars, diff)
		}
	}
	slur := moved(t, part(t, onTop("-0-7p0-")), "E", "F", SameStrings).Told()
	if len(slur) != 2 || !strings.HasPrefix(slur[0], "bar 1: the slur on string 1") {
		t.Errorf("what breaks is not told first: %q", slur)
	}
}
