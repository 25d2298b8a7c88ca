package fretboard

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestAMoveIsWrittenAsPromised(t *testing.T) {
	m := moved(t, part(t, quay), "D", "E", SameStrings)
	data, err := json.Marshal(Offers{m})
	must(t, err)
	for _, want := range []string{
		`{"from":"D","to":"E","semitones":2,"how":"same-strings","events":[{"bar":1,"notes":[{"string":4,"fret":2,"pitch":"E3","was":{"string":4,"fret":0}}],"problems":["open-string"]}`,
		`"problems":[{"event":0,"kind":"open-string","message":"bar 1: the open string 4 becomes fret 2 and no longer rings"}`,
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
	for _, c := range []struct {
		tuning    Tuning
		key, want string
	}{{DADGAD, "D", "capo 0 D"}, {DADGAD, "E", "capo 2 D"}, {OpenG, "A", "capo 2 G"}, {OpenD, "D", "capo 0 D"}, {OpenD, "F", "capo 3 D"}, {Bass, "D", ""}} {
		got := ""
		for i, choice := range (Fretboard{Tuning: c.tuning, Frets: 22}).Choices(key(t, c.key)) {
			if i == 0 {
				got = fmt.Sprintf("capo %d %s", choice.Capo, choice.Shapes.Short())
			}
			if choice.Detuned > 0 {
				t.Errorf("%s: tuned down besides", c.tuning.Name)
			}
		}
		if got != c.want {
			t.Errorf("%s in %s: %q, want %q", c.key, c.tuning.Name, got, c.want)
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
		{[]int{3}, []string{"bar 3: the open string 5 becomes fret 2 and no longer rings"}},
		{[]int{1, 1}, []string{"bar 1, twice: the open string 5 becomes fret 2 and no longer rings"}},
		{[]int{1, 1, 1, 2}, []string{"bars 1 and 2, 4 times: the open string 5 becomes fret 2 and no longer rings"}},
		{[]int{1, 2, 3, 5, 8, 9}, []string{"bars 1 to 3, 5, 8 and 9: the open string 5 becomes fret 2 and no longer rings"}},
		{[]int{4, 5, 6, 7}, []string{"bars 4 to 7: the open string 5 becomes fret 2 and no longer rings"}},
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

// The open chords that every player learns are those that ring open in standard tuning,
// and in drop D the one on its low string is among them but not the G with its own at
// fret 5: common practice, no source.
func TestOpenChordsAreThoseThatRing(t *testing.T) {
	for _, c := range []struct{ tuning, want string }{
		{"standard", "C A G E D Am Em Dm"}, {"half step down", "C A G E D Am Em Dm"}, {"seven strings", "C A G E D Am Em Dm"},
		{"drop D", "C A E D Am Em Dm"}, {"drop C", "C A E D Am Em Dm"},
	} {
		tuning, _ := ParseTuning(c.tuning)
		rings := tuning.openChords()
		for _, name := range strings.Fields("C Db D Eb E F F# G Ab A Bb B Cm C#m Dm Ebm Em Fm F#m Gm G#m Am Bbm Bm") {
			k := key(t, name)
			if got, want := rings(k.Triads()[0], k), slices.Contains(strings.Fields(c.want), name); got != want {
				t.Errorf("%s: %s rings open: %v, want %v", c.tuning, name, got, want)
			}
		}
	}
}

// What comes off or goes further down is said, to who has it.
func TestWaysOutKnowTheGuitarAsItIs(t *testing.T) {
	said := func(capo int, tuning Tuning, line, from, to string) string {
		p := lineOf(t, line)
		p.Neck.Capo, p.Neck.Tuning = capo, tuning
		var all []string
		for _, w := range offers(t, p, from, to, Asked{})[0].Ways {
			all = append(all, w.Message)
		}
		return strings.Join(all, "; ")
	}
	if got := said(2, Standard, "6/3+5/2+4/0+3/0+2/0+1/3", "G", "F"); !strings.Contains(got, "take the capo off and play it as written") {
		t.Errorf("with a capo at 2, a whole step down: %q", got)
	}
	if got := said(0, HalfStepDown, "6/3+5/2+4/0+3/0+2/0+1/3", "G", "F#"); !strings.Contains(got, "tune every string down a half step more") {
		t.Errorf("half step down already: %q", got)
	}
	if got := said(0, DADGAD, "6/0+5/0+4/0+3/2+2/0+1/0", "D", "Db"); strings.Contains(got, "tune every string") {
		t.Errorf("DADGAD is tuned down besides: %q", got)
	}
}

// A line says where it comes to lie, and where it leaps.
func TestALineTellsItsRegister(t *testing.T) {
	for _, c := range []struct{ line, from, to, want string }{
		{"5/3 5/5 4/2 4/3", "C", "D", ""}, {"5/3 5/5 4/2 4/3", "C", "E", "a major third higher"}, {"5/7 5/9 4/6 4/7", "E", "C", "a major third lower"},
		{"6/3+5/2 4/0 3/0", "G", "B", ""},
	} {
		if got := offers(t, lineOf(t, c.line), c.from, c.to, Asked{})[0].Register(); got != c.want {
			t.Errorf("%s, %s to %s: %q, want %q", c.line, c.from, c.to, got, c.want)
		}
	}
	m := offers(t, lineOf(t, "5/3 5/2 5/0 6/3 6/0 6/3 5/0 5/2 5/3 5/5 5/3 5/2"), "C", "B", Asked{})[0]
	if m.high > 7 || m.Semitones != -1 || !strings.Contains(strings.Join(m.Told(), " "), "and the line leaps there") {
		t.Errorf("one open string that cannot drop: %s, up to fret %d: %q", m.Say(), m.high, m.Told())
	}
}
