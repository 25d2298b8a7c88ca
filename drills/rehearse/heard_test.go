package rehearse_test

import (
	"strings"
	"testing"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/tablature"
	"surefret/drills/rehearse"
	"surefret/drills/theory"
)

// A note is a MIDI number at a place of a run, in quarter notes.
type note struct {
	at  float64
	key int
}

// play strikes notes, all of them surely heard.
func play(r rehearse.Run, notes ...note) (strokes []rehearse.Stroke) {
	for _, n := range notes {
		strokes = append(strokes, rehearse.Stroke{At: r.Time(n.at), Key: n.key, Sure: true})
	}
	return strokes
}

// A walk is judged by its root's time and by its notes in their order: G, A and B lead from
// the G of one bar to the C of the next.
func TestAWalkIsJudgedByItsNotes(t *testing.T) {
	r := run(t, "Key: G\n\n| G | C |", 100)
	if err := r.As(rehearse.Walks, neck); err != nil {
		t.Fatal(err)
	}
	if lead := r.Changes[1].Lead; len(lead) != 2 || lead[0].At != 2 || lead[0].Keys[0] != 45 || lead[1].Keys[0] != 47 {
		t.Fatalf("what leads to C: %+v", lead)
	}
	for _, v := range []struct {
		want  string
		notes []note
	}{
		{"right in time", []note{{0, 43}, {2, 45}, {3, 47}, {4, 48}}},
		{"right in time", []note{{0, 55}, {2, 57}, {3, 59}, {4, 60}}}, // an octave higher
		{"right in time", []note{{0, 43}, {2, 45}, {4, 48}}},          // one was not heard
		{"too little of it", []note{{0, 43}, {4, 48}}},
		{"wrong", []note{{0, 43}, {2, 46}, {3, 47}, {4, 48}}},
		{"wrong", []note{{0, 43}, {2, 45}, {3, 47}, {4, 50}}},
		{"not heard", []note{{0, 43}, {2, 45}, {3, 47}}},
	} {
		marks, _ := r.Hear(play(r, v.notes...), r.Time(r.Length()))
		if !strings.HasPrefix(marks[1].Tell(), v.want) {
			t.Errorf("%v: %s, want %s", v.notes, marks[1].Tell(), v.want)
		}
	}
}

// A part lies in the sections of its name; each of its bars is a phrase, judged by the
// time of its first note and the order of the others. The places were read off the tab.
func TestAPartIsPlayedInItsSection(t *testing.T) {
	r := run(t, "Key: C\n\n[Verse]\n| C | F |\n\n[Bridge]\n| G | C | G |", 100)
	tab, err := tablature.Parse("e|---------|---------|\nB|---------|---------|\nG|---------|---------|\nD|---------|---0-----|\nA|-2-2-3---|-0---3---|\nE|-------3-|---------|\n", neck)
	if err != nil {
		t.Fatal(err)
	}
	c := theory.Key{Tonic: theory.Note{Letter: theory.C}}
	if err := r.AsParts(neck, []drills.OwnPart{{ID: "ferry/bridge", Name: "bridge lick", Learned: c, Part: tab.Part()}}); err != nil {
		t.Fatal(err)
	}
	if len(r.Changes) != 2 || r.Changes[0].Bar != 2 || r.Changes[1].Bar != 3 || r.Changes[1].Phrase.Bar != 2 || r.Changes[1].Pitch != 45 {
		t.Fatalf("it lies at %+v", r.Changes)
	}
	for want, second := range map[string][]note{
		"right in time":    {{12, 45}, {13, 50}, {14, 48}},
		"not heard":        {{13, 50}, {14, 48}},
		"wrong":            {{12, 45}, {13, 51}, {14, 48}},
		"too little of it": {{12, 45}},
	} {
		marks, _ := r.Hear(play(r, append([]note{{8, 47}, {9, 47}, {10, 48}, {11, 43}}, second...)...), r.Time(r.Length()))
		if len(marks) != 2 || marks[0].Tell() != "right in time" || !strings.HasPrefix(marks[1].Tell(), want) {
			t.Errorf("%v: %+v, want %s", second, marks, want)
		}
	}
	page := r.Page([]rehearse.Mark{{Change: 0, Given: true, Right: true}, {Change: 1}})
	if said := strings.Join(page.Lines(theory.Chord.String), " "); !strings.HasPrefix(said, "1 of 2 phrases right in time. Not in time: bridge lick, bar 2, 1 of 1, bar 4.") {
		t.Error(said)
	}
}

// On a bass only the roots are given; whichever notes lead from one to the next are right,
// but they have to come.
func TestABassChoosesItsWalk(t *testing.T) {
	bass := fretboard.Fretboard{Tuning: fretboard.Bass, Frets: 20}
	r := runOn(t, bass, "Key: C\n\n| C | F |", 100)
	if err := r.As(rehearse.Walking, bass); err != nil {
		t.Fatal(err)
	}
	for want, notes := range map[string][]note{
		"right in time":    {{0, 36}, {1, 31}, {2, 34}, {3, 40}, {4, 41}},
		"wrong":            {{0, 36}, {1, 31}, {2, 34}, {3, 40}, {4, 43}},
		"too little of it": {{0, 36}, {4, 41}},
	} {
		notes = append(notes, note{5, 38}, note{6, 40}, note{7, 43}) // the last bar leads round
		if marks, _ := r.Hear(play(r, notes...), r.Time(r.Length())); !strings.HasPrefix(marks[1].Tell(), want) {
			t.Errorf("%v: %+v, want %s", notes, marks, want)
		}
	}
}
