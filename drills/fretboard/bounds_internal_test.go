package fretboard

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"testing"

	"surefret/drills/theory"
)

// A note in another octave changes a part and does not break it, but its pitch is
// not kept.
func TestWhatBreaksAndWhatOnlyChanges(t *testing.T) {
	for i, want := range []struct{ breaks, changes int }{{1, 0}, {1, 0}, {1, 0}, {1, 0}, {1, 0}, {0, 1}, {0, 1}, {0, 1}, {0, 1}} {
		var all tally
		all[i] = 1
		breaks, changes := all.count()
		kept := want.breaks == 0 && troubles[i].kind != octaveChange
		if breaks != want.breaks || changes != want.changes || troubles[i].kind.Breaks() != (want.breaks == 1) || all.keepsEveryPitch() != kept {
			t.Errorf("%s: %d breaks, %d changes", troubles[i].kind, breaks, changes)
		}
	}
}

var oneFretTwice = regexp.MustCompile(`frets (\d+) to (\d+)`)

// Ways out are ways that there are: a capo at one of the first twelve frets, two
// of them at most, and frets that are said as they are.
func TestWaysOutOfManyMoves(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 1))
	keys := []string{"C", "Db", "D", "Eb", "E", "F", "G", "A", "Bb"}
	most, at := 0, false
	for range 400 {
		p := Part{Neck: Fretboard{Tuning: Standard, Frets: 22, Capo: []int{0, 0, 3, 10}[rng.IntN(4)]}}
		for bar := 1; bar <= 1+rng.IntN(3); bar++ {
			p.Events = append(p.Events, Event{Bar: bar, Beats: 4, Notes: []Fretted{{Position: Position{1 + rng.IntN(6), rng.IntN(4) * rng.IntN(4)}}}})
		}
		from, _ := theory.ParseKey(keys[rng.IntN(len(keys))])
		to, _ := theory.ParseKey(keys[rng.IntN(len(keys))])
		m, err := p.Move(from, to, []How{SameStrings, Refingered}[rng.IntN(2)])
		if err != nil {
			t.Fatal(err)
		}
		capos := 0
		for _, w := range m.Ways {
			var fret int
			if _, err := fmt.Sscanf(w.Message, "put a capo at fret %d", &fret); err == nil {
				capos++
				if fret <= p.Neck.Capo || fret > 12 {
					t.Errorf("from a capo at %d: %s", p.Neck.Capo, w.Message)
				}
			}
			if f := oneFretTwice.FindStringSubmatch(w.Message); f != nil && f[1] == f[2] {
				t.Errorf("one fret is said as two: %s", w.Message)
			}
			at = at || regexp.MustCompile(`at fret \d+:`).MatchString(w.Message) && w.Kind != wayCapoOn
		}
		most = max(most, capos)
	}
	if most < 1 || most > 2 || !at {
		t.Errorf("at most %d capos were offered, want 1 or 2; one fret alone was said: %v", most, at)
	}
}

// Down two half steps and down two more: no shift up would do.
func TestTuningDownSavesAPartThatFillsTheNeck(t *testing.T) {
	p := Part{Neck: Fretboard{Tuning: Standard, Frets: 22}, Events: []Event{
		{Bar: 1, Beats: 4, Notes: []Fretted{{Position: Position{1, 3}}}}, {Bar: 2, Beats: 4, Notes: []Fretted{{Position: Position{1, 22}}}},
	}}
	e, _ := theory.ParseKey("E")
	c, _ := theory.ParseKey("C")
	m, err := p.Move(e, c, SameStrings)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range m.Ways {
		if w.Kind == wayTuneDown && w.Message == "tune every string down a whole step and play it in D shapes: nothing breaks" {
			return
		}
	}
	t.Errorf("no way out by tuning down: %+v", m.Ways)
}

func TestTheEdgesOfANeck(t *testing.T) {
	neck := Fretboard{Tuning: Standard, Frets: 12}
	e := theory.Note{Letter: theory.E}
	if got := neck.Find(e, 6); len(got) != 2 || got[1].Fret != 12 {
		t.Errorf("E on string 6 of 12 frets lies at %v, want open and fret 12", got)
	}
	odd, err := ParseTuning("E2 A2 D3 G3 B3 D4")
	if err != nil {
		t.Fatal(err)
	}
	if _, like := odd.Below(); like {
		t.Error("a tuning with one odd string passes for standard")
	}
	for pitches, good := range map[string]bool{
		"C1 E1 A1 D2 G2 C3 F3 A3 D4 G4": true, "C1 E1 A1 D2 G2 C3 F3 A3 D4 G4 B4": false, "A2 D3 G3": true, "A2 D3": false,
	} {
		if _, err := ParseTuning(pitches); (err == nil) != good {
			t.Errorf("%s: %v", pitches, err)
		}
	}
	// Notes to the last fret and one more.
	guitar := Fretboard{Tuning: Standard, Frets: 22}
	c, _ := theory.ParseKey("C")
	d, _ := theory.ParseKey("D")
	for tab, want := range map[string]ProblemKind{
		"|-2-20-|": "", "|-2-21-|": pastLastFret,
	} {
		text := tab + "\n"
		for range 5 {
			text += "|------|\n"
		}
		read, err := ParseTab(text, guitar)
		if err != nil {
			t.Fatal(err)
		}
		m, err := read.Part().Move(c, d, SameStrings)
		if err != nil {
			t.Fatal(err)
		}
		if want == "" && len(m.Problems) > 0 || want != "" && (len(m.Problems) != 1 || m.Problems[0].Kind != want) {
			t.Errorf("%s: %+v, want %q", tab, m.Problems, want)
		}
	}
}
