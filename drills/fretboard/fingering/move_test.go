package fingering

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/tablature"
)

// Five events in D, with an open bass string.
const quay = `e|-----------------|
B|-----3-----------|
G|---2---2---------|
D|-0-------4h5p4-0-|
A|-----------------|
E|-----------------|
`

// Chords in C, with damped strings.
const chords = `e|--0--3--x--|--0--0--|
B|--1--0--x--|--1--1--|
G|--0--0--x--|--2--2--|
D|--2--0--x--|--3--2--|
A|--3--2-----|--3--0--|
E|-----3-----|--1-----|
`

func part(t testing.TB, text string) fretboard.Part {
	t.Helper()
	tab, err := tablature.Parse(text, guitar)
	must(t, err)
	return tab.Part()
}

func moved(t testing.TB, p fretboard.Part, from, to string, how How) Moved {
	t.Helper()
	return offers(t, p, from, to, Asked{How: how})[0]
}

func offers(t testing.TB, p fretboard.Part, from, to string, asked Asked) Offers {
	t.Helper()
	all, err := Move(p, key(t, from), key(t, to), asked)
	must(t, err)
	return all
}

func problems(m Moved) string {
	var words []string
	for _, p := range m.Problems {
		words = append(words, fmt.Sprintf("%d:%s", p.event, p.kind))
	}
	return strings.Join(words, " ")
}

// onTop sets a line of tablature on string 1.
func onTop(line string) string { return onString(1, line) }

func TestSameStringsSaysWhatBreaks(t *testing.T) {
	for _, c := range []struct {
		tab, from, to string
		semitones     int
		problems      string
	}{
		{quay, "D", "E", 2, "0:open-string 7:open-string"},
		{quay, "D", "D", 0, ""},
		// A pull-off to the open string becomes one that no hand reaches; a slide stays.
		{onTop("-7p0-"), "E", "F", 1, "1:open-string 1:stretch"},
		{onTop("-2/9-"), "E", "F", 1, ""},
		{onTop("-20-2-"), "C", "D", 2, ""},
		{"e|-0-|\nB|-1-|\nG|-0-|\nD|-2-|\nA|-3-|\nE|---|\n", "C", "F", 5, "0:open-string 0:open-string"},
		{"e|-3-|\nB|-3-|\nG|-0-|\nD|-0-|\nA|-2-|\nE|-3-|\n", "G", "A", 2, "0:open-string 0:open-string"},
	} {
		m := moved(t, part(t, c.tab), c.from, c.to, SameStrings)
		if got := problems(m); m.Semitones != c.semitones || got != c.problems {
			t.Errorf("%s to %s: %d semitones, problems %s; want %d, %s", c.from, c.to, m.Semitones, got, c.semitones, c.problems)
		}
		for i, e := range m.Events {
			for j, n := range e.Notes {
				if was := m.was[i].Notes[j]; n.String != was.String || n.Fret != was.Fret+m.Semitones {
					t.Errorf("%s went to %s", was.Say(), n.Say())
				}
			}
		}
	}
}

// Common practice, no source: a part in D on a guitar tuned a half step down sounds in
// D flat.
func TestAHalfStepDownIsAWayFromDToDFlat(t *testing.T) {
	m := moved(t, part(t, quay), "D", "Db", SameStrings)
	var way string
	for _, w := range m.Ways {
		if w.kind == wayTuneDown {
			way = w.Message
		}
	}
	if want := "tune every string down a half step and play it as written, in D shapes: nothing breaks"; way != want {
		t.Errorf("detuning is offered as %q, want %q", way, want)
	}
}

func TestWaysOutAreRankedByWhatTheyBreak(t *testing.T) {
	m := moved(t, part(t, quay), "D", "E", SameStrings)
	if len(m.Ways) == 0 || m.Ways[0].kind != wayCapoOn || m.Ways[0].Message != "put a capo at fret 2 and play it as written, in D shapes: nothing breaks" {
		t.Errorf("from D to E the best way is %v", m.Ways)
	}
	for _, w := range m.Ways {
		oneSentence(t, fmt.Errorf("%s", w.Message))
	}
	if m := moved(t, part(t, quay), "D", "D", SameStrings); m.Ways != nil {
		t.Errorf("ways out of no trouble: %v", m.Ways)
	}
}

func TestRefingeringKeepsEveryPitchAndSaysWhatChanged(t *testing.T) {
	for _, to := range []string{"Ab", "A", "Bb", "B", "C", "Db", "D", "Eb", "E", "F", "Gb", "G"} {
		for name, text := range asWritten {
			tab, err := tablature.Parse(text, guitar)
			must(t, err)
			m := moved(t, tab.Part(), "D", to, Refingered)
			for i, e := range m.Events {
				var want, got []int
				dead := 0
				for _, n := range m.was[i].Notes {
					if n.Dead {
						dead++
					} else {
						want = append(want, guitar.MIDI(n.Position)+m.Semitones)
					}
				}
				for _, n := range e.Notes {
					if n.Dead {
						dead--
					} else {
						got = append(got, guitar.MIDI(n.Position))
					}
				}
				told := func(kind ProblemKind) bool {
					return slices.ContainsFunc(m.Problems, func(p Problem) bool { return p.event == i && p.kind == kind })
				}
				slices.Sort(want)
				slices.Sort(got)
				if len(got) != len(want) || !slices.Equal(got, want) && !told(octaveChange) {
					t.Errorf("%s to %s, event %d sounds %v, want %v", name, to, i, got, want)
				}
				if dead > 0 && !told(dampedLost) {
					t.Errorf("%s to %s, event %d: a damped string was lost in silence", name, to, i)
				}
			}
		}
	}
}

func TestNotesOffTheNeckGoAnOctaveAndSaySo(t *testing.T) {
	low := "e|------|\nB|------|\nG|------|\nD|------|\nA|----2-|\nE|-0-2--|\n"
	m := moved(t, part(t, low), "E", "Eb", Refingered)
	if m.Semitones == -1 && problems(m) != "0:open-string 0:octave" {
		t.Errorf("the low E moved down: %d %s", m.Semitones, problems(m))
	}
	high := "e|-22-|\nB|----|\nG|----|\nD|----|\nA|----|\nE|-0--|\n"
	m = moved(t, part(t, high), "E", "F", Refingered)
	if !strings.Contains(problems(m), "octave") {
		t.Errorf("two notes at the ends of the neck: %s", problems(m))
	}
}

func TestAMoveKeepsTheMode(t *testing.T) {
	_, err := Move(part(t, quay), key(t, "D"), key(t, "Bm"), Asked{})
	oneSentence(t, err)
	for _, asked := range []Asked{{How: "sideways"}, {Up: true, Down: true}, {Octave: 3}, {Position: 23}, {Position: -1}} {
		_, err = Move(part(t, quay), key(t, "D"), key(t, "C"), asked)
		oneSentence(t, err)
	}
}

// A riff on a bass goes a whole step down with its song, not ten half steps up, though
// some of its notes leave their octave; the ways up come behind.
func TestTheNearerWayComesFirst(t *testing.T) {
	tab, err := tablature.Parse("G|--------|--------|--------|\nD|------3-|----1---|----1-3-|\nA|-1-1-3--|--3-----|--0-----|\nE|--------|1-----3-|3-----1-|", fretboard.Fretboard{Tuning: fretboard.Bass, Frets: 20})
	must(t, err)
	part := tab.Part()
	if all, _ := Move(part, key(t, "Bb"), key(t, "Ab"), Asked{}); all[0].Semitones != 10 {
		t.Fatalf("by what it costs alone it goes %d half steps: the test is none", all[0].Semitones)
	}
	offers, err := MoveNear(part, key(t, "Bb"), key(t, "Ab"))
	if err != nil || offers[0].Semitones != -2 {
		t.Fatalf("from Bb to Ab it goes %d half steps first (%v)", offers[0].Semitones, err)
	}
	for i, m := range offers {
		if slices.ContainsFunc(offers[:i], func(other Moved) bool { return m.route.like(other.route) }) {
			t.Errorf("way %d comes twice", i+1)
		}
	}
	if len(offers) < 2 || offers[1].Semitones != 10 {
		t.Errorf("behind it there is no way up: %d ways", len(offers))
	}
}

func TestSlursLeadFromTheNoteOnTheirString(t *testing.T) {
	tab, err := tablature.Parse("e|-3---|\nB|-5h7-|\nG|-x---|\nD|-----|\nA|-----|\nE|-----|\n", guitar)
	must(t, err)
	sounds, events := soundsOf(tab.Part())
	if len(sounds) != 2 || len(sounds[0].midi) != 2 || sounds[0].from != nil || events[1] != 1 {
		t.Fatalf("read as %+v", sounds)
	}
	if from := sounds[1].from; len(from) != 1 || from[0] != 1 {
		t.Errorf("the hammer-on comes from %v, want note 1 of the chord", from)
	}
}

// A move and the move back give the same page, where nothing fell off the neck.
func TestThereAndBackIsTheSamePart(t *testing.T) {
	for name := range melodies {
		tab := readMelody(t, name)
		from := key(t, melodies[name])
		for _, up := range []int{1, 2, 3, 4, 5} {
			to := from
			to.Tonic = guitar.Pitch(fretboard.Position{String: 1, Fret: from.Tonic.PitchClass() - 4 + 12 + up}, true).Note
			there, err := Move(tab.Part(), from, to, Asked{How: SameStrings, Up: true})
			must(t, err)
			all, err := Move(fretboard.Part{Neck: guitar, Events: there[0].Events}, to, from, Asked{How: SameStrings, Down: true})
			if err != nil || all[0].Semitones != -up {
				t.Fatalf("%s: back by %d (%v)", name, all[0].Semitones, err)
			}
			back := all[0]
			page, err := tab.Write(back.Events)
			if err != nil || page != tab.String() {
				t.Errorf("%s, %d up and down: (%v)\n%s", name, up, err, page)
			}
		}
	}
}
