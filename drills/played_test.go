package drills

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"surefret/drills/fretboard"
)

// Of every item that can be played: the notes of the right answer, as the question itself
// sounds them afterwards, make a text that is judged right; one that is a semitone off
// makes none that is.
func TestTheRightNotesPlayedAreRight(t *testing.T) {
	bass := standard()
	bass.Neck.Tuning = fretboard.Bass
	c, low := whole(), NewCatalogue(bass)
	rng := rand.New(rand.NewPCG(1, 2))
	played := map[Family]int{}
	for _, it := range append(slices.Clone(c.Items()), low.Items()...) {
		c := c
		if it.Family == "walking" {
			c = low
		} else if _, here := c.Item(it.ID); !here || !it.Playable() {
			continue
		}
		for range 2 {
			q, err := c.Ask(it.ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			p, ok := q.Playing()
			for tries := 0; !ok && tries < 50 && (it.Family == "interval" || it.Family == "shape"); tries++ { // of these some posings are typed
				q = must(c.Ask(it.ID, rng))
				p, ok = q.Playing()
			}
			if !ok {
				t.Fatalf("%s: %q cannot be played", it.ID, q.Text)
			}
			answer := ""
			for i := 0; answer == "" && i < 20; i++ {
				midi := p.Want()[len(p.Want())-1]
				if p.Line && i == 0 {
					midi = p.Want()[0]
				}
				if answer, err = p.Take(midi, 0); err != nil {
					t.Fatalf("%s: %q: %v", it.ID, q.Text, err)
				}
			}
			if v, err := q.Judge(answer); err != nil || !v.Right {
				t.Errorf("%s: %q answered %q: %+v, %v", it.ID, q.Text, answer, v, err)
			}
			p, _ = q.Playing()
			off, err := p.Take(p.Want()[0]+1, 0)
			if v, bad := q.Judge(off); err == nil && off != "" && (bad != nil || v.Right) {
				t.Errorf("%s: %q answered a semitone off, %q: %+v, %v", it.ID, q.Text, off, v, bad)
			}
			played[it.Family]++
		}
	}
	if played["note"] == 0 || played["shape"] == 0 || played["interval"] == 0 || played["walkup"] == 0 || played["walking"] == 0 || played["ear"] == 0 {
		t.Errorf("played %v", played)
	}
}

// What is played back counts by how far its notes are apart, wherever they begin. Of a
// tenth the third says as much; anything else, and what does not rise, decides nothing.
func TestWhatIsPlayedBackCountsByItsInterval(t *testing.T) {
	for _, c := range []struct {
		item     string
		up       int
		decided  bool
		semitone int // that make it right
	}{
		{"ear/interval/m3", 3, true, 3}, {"ear/interval/m3", 4, true, 3}, {"ear/interval/P8", 12, true, 12}, {"ear/interval/m3", -3, false, 3},
		{"ear/interval/m3", 48, true, 3}, {"ear/interval/m3", 49, false, 3}, // no name is known for what is wider than four octaves
		{"ear/tenth", 16, true, 16}, {"ear/tenth", 4, true, 16}, {"ear/tenth", 15, true, 15}, {"ear/tenth", 3, true, 15}, {"ear/tenth", 7, false, 16},
	} {
		for seed := range 6 {
			q := must(whole().Ask(c.item, seeded(seed)))
			p, _ := q.Playing()
			if answer, err := p.Take(50, 0); answer != "" || err != nil {
				t.Fatalf("%s: after one note %q, %v", c.item, answer, err)
			}
			answer, err := p.Take(50+c.up, 0)
			if (err == nil) != c.decided || c.decided && judged(t, q, answer) != (c.semitone == q.Heard[1].MIDI-q.Heard[0].MIDI && (c.item == "ear/tenth" || c.up == c.semitone)) {
				t.Errorf("%s, %d up: %q, %v", c.item, c.up, answer, err)
			}
		}
	}
}

// A note of a line that was not heard is no wrong one.
func TestANoteOfALineThatWasNotHeardDecidesNothing(t *testing.T) {
	p := standard().playLine([]int{43, 45, 47, 48}, false, func([]int) string { return "decided" })
	for _, midi := range []int{43, 47} {
		if answer, err := p.Take(midi, 0); answer != "" || (err != nil) != (midi == 47) {
			t.Errorf("note %d: %q, %v", midi, answer, err)
		}
	}
	if want := p.Want(); len(want) != 1 || want[0] != 43 {
		t.Errorf("then %v is wanted, not the first note", want)
	}
}

// Of a grip that is rolled each note is heard by itself. What rings on from before is no
// wrong one, nor is the note after one that was not heard, or the wrong end of an interval.
func TestAGripIsRolled(t *testing.T) {
	s := standard()
	low, high := fretboard.Position{String: 6, Fret: 3}, fretboard.Position{String: 4, Fret: 5}
	octave := func() *Playing { return s.rollInterval(low, high, low) }
	low7 := fretboard.Position{String: 6, Fret: 7}
	third := func() *Playing { return s.rollInterval(low7, fretboard.Position{String: 5, Fret: 5}, low7) }
	triads := [][]fretboard.Position{{{String: 4, Fret: 2}, {String: 3, Fret: 1}, {String: 2, Fret: 0}}, {{String: 4, Fret: 14}, {String: 3, Fret: 13}, {String: 2, Fret: 12}}}
	triad := func() *Playing {
		return s.playRolled(triads, func(heard []fretboard.Position) (string, error) { return fretboard.WritePlaces(heard), nil })
	}
	for _, c := range []struct {
		grip    func() *Playing
		midis   []int
		answer  string
		decided bool
	}{
		{octave, []int{43, 55}, "5", true}, {octave, []int{43, 56}, "6", true}, {octave, []int{43, 43}, "", false},
		{octave, []int{55}, "", false}, {octave, []int{44}, "", false}, {octave, []int{43, 90}, "", false},
		{third, []int{47, 50}, "5", true}, {third, []int{47, 47}, "", false}, // which string 5 has, too
		{triad, []int{52, 56, 59}, "4/2 3/1 2/0", true}, {triad, []int{64, 68, 71}, "4/14 3/13 2/12", true},
		{triad, []int{52, 55}, "4/2 3/0 2/0", true}, {triad, []int{64, 69}, "4/14 3/14 2/12", true}, {triad, []int{53}, "4/3 3/1 2/0", true},
		{triad, []int{52, 59}, "", false}, {triad, []int{52, 52}, "", false}, {triad, []int{52, 56, 52}, "", false},
	} {
		p := c.grip()
		answer, err := "", error(nil)
		for _, midi := range c.midis {
			answer, err = p.Take(midi, 0)
		}
		if answer != c.answer || (err == nil) != c.decided {
			t.Errorf("%v is %q, %v; want %q", c.midis, answer, err, c.answer)
		}
	}
}

// A phrase is played to its end: each wrong note is told, and each that came late after the
// one before, at the tempo of the phrase itself. What is played over rightly, and what is
// slurred, is no note too many.
func TestAPhraseIsJudgedNoteByNote(t *testing.T) {
	s := standard()
	at := func(str, fret int) fretboard.Position { return fretboard.Position{String: str, Fret: fret} }
	way := []struck{{at: at(6, 3)}, {at: at(5, 0), beat: 1}, {at: at(5, 2), beat: 2, slurred: []int{48}}, {at: at(4, 0), beat: 3}, {at: at(4, 2), beat: 4}}
	for _, c := range []struct {
		midis, ms []int
		answer    string
		right     bool
		is, note  string
	}{
		{[]int{43, 45, 47, 50, 52}, []int{0, 400, 800, 1200, 1600}, "6/3 5/0 5/2 4/0 4/2", true, "", ""},
		{[]int{43, 45, 47, 48, 50, 52}, []int{0, 420, 790, 1000, 1210, 1590}, "6/3 5/0 5/2 4/0 4/2", true, "", ""},
		{[]int{43, 45, 47, 50, 52}, []int{0, 400, 1000, 1400, 2000}, "6/3 5/0 5/2 late 4/0 4/2 late", true, "", "late: note 3, 5"},
		{[]int{43, 46, 47, 51, 52}, []int{0, 400, 800, 1200, 1600}, "6/3 5/1 5/2 4/1 4/2", false, "note 2 is A, not A#, note 4 is D, not D#", ""},
		{[]int{43, 46, 45, 47, 50, 52}, []int{0, 400, 600, 800, 1200, 1600}, "6/3 5/1 5/2 4/0 4/2", false, "note 2 is A, not A#", ""},
		{[]int{43, 46, 45, 47, 50, 52}, []int{0, 400, 800, 1200, 1600, 2000}, "6/3 5/1 5/2 4/0 4/2", false, "note 2 is A, not A#", ""},
		{[]int{43, 40, 47, 50, 52}, []int{0, 400, 800, 1200, 1600}, "6/3 6/0 5/2 4/0 4/2", false, "note 2 is A, not E", ""},
		{[]int{43, 47}, []int{0, 800}, "", false, "", ""}, // a note was not heard
	} {
		p := s.playPhrase([][]struck{way})
		answer, err := "", error(nil)
		for i, midi := range c.midis {
			if answer, err = p.Take(midi, time.Duration(c.ms[i])*time.Millisecond); err != nil || answer != "" {
				break
			}
		}
		if answer != c.answer || (err != nil) != (c.answer == "") {
			t.Errorf("%v is %q, %v; want %q", c.midis, answer, err, c.answer)
		}
		if answer == "" {
			continue
		}
		v, err := s.judgePhrase(answer, [][]struck{way}, Verdict{})
		if err != nil || v.Right != c.right || v.is != c.is || v.Note != c.note || len(v.Strokes) != len(way) || v.Want != "6/3 5/0 5/2 4/0 4/2" {
			t.Errorf("%q: %+v, %v", answer, v, err)
		}
	}
	for _, typed := range []string{"6/3 5/0", "late 6/3 5/0 5/2 4/0 4/2"} {
		if v, err := s.judgePhrase(typed, [][]struck{way}, Verdict{}); err == nil {
			t.Errorf("%q is judged: %+v", typed, v)
		}
	}
}
