package fingering

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"surefret/drills/fretboard"
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
	p.Neck.Capo, p.Neck.Tuning = 1, fretboard.WholeStepDown
	if capoed, _ := json.Marshal(offers(t, p, "D", "E", Asked{How: SameStrings})); !strings.Contains(string(capoed), `"notes":[{"string":4,"fret":2,"pitch":"E3"`) {
		t.Errorf("behind a capo: %s", capoed)
	}
	if want := "D to E, a whole step up on the same strings: 2 open strings lost"; m.Say() != want {
		t.Errorf("told as %q", m.Say())
	}
	empty, _ := json.Marshal(offers(t, part(t, quay), "D", "D", Asked{}))
	if !strings.HasSuffix(string(empty), `"problems":[],"ways":[],"offers":[{"how":"same-strings","semitones":0,"way":"where it is on the same strings","keeps":"every note on its string, every open string","costs":"nothing breaks"}]}`) {
		t.Errorf("no problems are written as %s", empty)
	}
}

func TestOriginsFollowTheNotes(t *testing.T) {
	for _, how := range []How{SameStrings, Refingered} {
		m := moved(t, part(t, chords), "C", "G", how)
		for i, e := range m.Events {
			for j, n := range e.Notes {
				was := m.origin(i, j)
				if d := guitar.MIDI(n.Position) - guitar.MIDI(was) - m.Semitones; !n.Dead && d%12 != 0 {
					t.Errorf("%s, event %d: %s is said to come from %s", how, i, n.Say(), was.Say())
				}
			}
		}
	}
}

// What breaks is told before what changes, and each thing once, with its bars.
func TestTheSameProblemIsToldOnceWithItsBars(t *testing.T) {
	open := fretboard.Fretted{Position: fretboard.Position{String: 5, Fret: 0}}
	low := fretboard.Fretted{Position: fretboard.Position{String: 4, Fret: 2}}
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
		p := fretboard.Part{Neck: guitar}
		for _, bar := range c.bars {
			p.Events = append(p.Events, fretboard.Event{Bar: bar, Beats: 1, Notes: []fretboard.Fretted{open}})
		}
		p.Events = append(p.Events, fretboard.Event{Bar: 10, Beats: 1, Notes: []fretboard.Fretted{low}}) // no way down
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

// What comes off or goes further down is said, to who has it.
func TestWaysOutKnowTheGuitarAsItIs(t *testing.T) {
	said := func(capo int, tuning fretboard.Tuning, line, from, to string) string {
		p := lineOf(t, line)
		p.Neck.Capo, p.Neck.Tuning = capo, tuning
		var all []string
		for _, w := range offers(t, p, from, to, Asked{})[0].Ways {
			all = append(all, w.Message)
		}
		return strings.Join(all, "; ")
	}
	if got := said(2, fretboard.Standard, "6/3+5/2+4/0+3/0+2/0+1/3", "G", "F"); !strings.Contains(got, "take the capo off and play it as written") {
		t.Errorf("with a capo at 2, a whole step down: %q", got)
	}
	if got := said(0, fretboard.HalfStepDown, "6/3+5/2+4/0+3/0+2/0+1/3", "G", "F#"); !strings.Contains(got, "tune every string down a half step more") {
		t.Errorf("half step down already: %q", got)
	}
	if got := said(0, fretboard.DADGAD, "6/0+5/0+4/0+3/2+2/0+1/0", "D", "Db"); strings.Contains(got, "tune every string") {
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
