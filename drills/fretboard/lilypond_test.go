package fretboard

import (
	"bytes"
	"encoding/json"
	"os"
	"slices"
	"testing"

	"surefret/drills/theory"
	"surefret/testdata/oracle"
)

// lilypondNote is one line of fretboard-lilypond.jsonl, which
// fretboard-lilypond.ly makes with LilyPond 2.24.
type lilypondNote struct {
	Set    string
	MIDI   int
	String int
	Fret   int
	Beats  float64
}

func readLilypond(t testing.TB) map[string][]lilypondNote {
	t.Helper()
	sets := map[string][]lilypondNote{}
	for line := range bytes.Lines(oracle.Table(t, "fretboard-lilypond.jsonl")) {
		var n lilypondNote
		must(t, json.Unmarshal(line, &n))
		sets[n.Set] = append(sets[n.Set], n)
	}
	return sets
}

// The tunings that LilyPond knows by its own names are ours, fret by fret.
func TestFretsAgreeWithLilypond(t *testing.T) {
	sets := readLilypond(t)
	compared := 0
	for _, name := range []string{"standard", "drop D", "DADGAD", "open G", "open D", "seven strings", "drop C", "half step down", "bass", "five-string bass"} {
		tuning, err := ParseTuning(name)
		must(t, err)
		fb := Fretboard{Tuning: tuning, Frets: 22}
		frets := 13 // open to the twelfth
		if name == "standard" {
			frets = 23
		}
		if want := frets * tuning.Strings(); len(sets[name]) != want {
			t.Errorf("%s: LilyPond gives %d places, want %d", name, len(sets[name]), want)
		}
		for _, n := range sets[name] {
			p := Position{String: n.String, Fret: n.Fret}
			if fb.MIDI(p) != n.MIDI || !slices.Contains(fb.Places(n.MIDI), p) {
				t.Errorf("%s: LilyPond puts %d at %s", name, n.MIDI, p.Say())
			}
			compared++
		}
	}
	if compared < 650 {
		t.Errorf("only %d places were compared", compared)
	}
}

// The melodies of testdata/parts, by the key that they are written in.
var melodies = map[string]string{"ode": "G", "maman": "C", "round": "G", "sleeves": "Am", "britain": "G", "air": "F"}

func readMelody(t testing.TB, name string) *Tab {
	t.Helper()
	text, err := os.ReadFile("../../testdata/parts/" + name + ".txt")
	must(t, err)
	tab, err := ParseTab(string(text), guitar)
	must(t, err)
	return tab
}

// The files hold what LilyPond was given, and every move to every key keeps
// the melody, but for notes that are said to change their octave.
func TestMelodiesKeepTheirPitchesInEveryKey(t *testing.T) {
	sets := readLilypond(t)
	for name, home := range melodies {
		p := readMelody(t, name).Part()
		if len(p.Events) != len(sets[name]) {
			t.Fatalf("%s: %d notes in the file, %d at LilyPond", name, len(p.Events), len(sets[name]))
		}
		from := key(t, home)
		for _, to := range theory.KeysOf(from.Mode) {
			for _, how := range []How{"", Refingered} {
				all, err := p.Move(from, to, Asked{How: how})
				must(t, err)
				m := all[0]
				if m.Semitones%12 != (to.Tonic.PitchClass()-from.Tonic.PitchClass())%12 &&
					(m.Semitones+12)%12 != (to.Tonic.PitchClass()-from.Tonic.PitchClass()+12)%12 {
					t.Errorf("%s to %s goes %d semitones", name, to, m.Semitones)
				}
				told := map[int]bool{}
				for _, problem := range m.Problems {
					if problem.Kind == octaveChange {
						told[problem.Event] = true
					}
				}
				for i, e := range m.Events {
					want := sets[name][i].MIDI + m.Semitones
					got := guitar.MIDI(e.Notes[0].Position)
					if got != want && !(told[i] && (got-want)%12 == 0) {
						t.Fatalf("%s to %s, %s, note %d sounds %d, want %d", name, to, how, i, got, want)
					}
				}
			}
		}
	}
}

func TestLilypondTableCanBeMadeAgain(t *testing.T) {
	oracle.MakeAgain(t, "fretboard-lilypond.jsonl", "fretboard-lilypond.ly")
}

// readPhrases returns the phrases of phrases-lilypond.jsonl as LilyPond writes them,
// and where it puts each again, moved so many half steps.
func readPhrases(t testing.TB) (phrases []Part, again [][][]Position, by []int) {
	t.Helper()
	sounding := func(e Event) int { return guitar.MIDI(e.Notes[0].Position) }
	var events []Event
	for line := range bytes.Lines(oracle.Table(t, "phrases-lilypond.jsonl.gz")) {
		var n struct{ Beat, String, Fret int }
		must(t, json.Unmarshal(line, &n))
		for len(events) <= n.Beat {
			events = append(events, Event{Bar: 1 + len(events)%16/4, Beats: 1})
		}
		e := &events[n.Beat]
		e.Notes = append(e.Notes, Fretted{Position: Position{n.String, n.Fret}})
		slices.SortFunc(e.Notes, func(a, b Fretted) int { return guitar.MIDI(a.Position) - guitar.MIDI(b.Position) })
	}
	neck := guitar
	neck.Frets = 24 // LilyPond's ends nowhere
	for ; len(events) > 0; events = events[16:] {
		p := Part{Neck: neck, Events: events[:8:8]}
		var places [][]Position
		for _, e := range events[8:16] {
			var at []Position
			for _, n := range e.Notes {
				at = append(at, n.Position)
			}
			places = append(places, at)
		}
		phrases, again, by = append(phrases, p), append(again, places), append(by, sounding(events[8])-sounding(events[0]))
	}
	return phrases, again, by
}

// No way of ours costs more than LilyPond's tablature by the same weights.
func TestNoPhraseCostsMoreThanLilypondsTablature(t *testing.T) {
	phrases, again, by := readPhrases(t)
	cheaper := 0
	for i, p := range phrases {
		r := newRouter(p, wish{})
		ph := r.prepare(0, 8, by[i])
		if len(ph.events) < 8 {
			t.Fatalf("phrase %d has no place %d half steps away", i, by[i])
		}
		ph.weighWith(&keeping)
		_, ours := ph.search(manner{any: true}.choose(ph.events))
		theirs := make(choices, len(ph.events))
		for k := range ph.events {
			for j, at := range ph.events[k].places {
				places := make([]Position, len(again[i][k]))
				ph.graph.places(at.state, ph.events[k].sound.MIDI, places)
				if slices.Equal(places, again[i][k]) {
					theirs[k] = append(theirs[k], int16(j))
				}
			}
		}
		way, _ := ph.cheapest(theirs)
		if way == nil {
			t.Errorf("phrase %d, by %d: no hand holds what LilyPond wrote", i, by[i])
			continue
		}
		switch cost := ph.costOf(way); {
		case ours > cost+1e-9:
			t.Errorf("phrase %d, by %d: ours costs %.2f, LilyPond's %.2f", i, by[i], ours, cost)
		case ours < cost-1e-9:
			cheaper++
		}
	}
	t.Logf("%d of %d phrases are cheaper than LilyPond's", cheaper, len(phrases))
	if len(phrases) != 200 {
		t.Errorf("%d phrases, want 200", len(phrases))
	}
}

func TestLilypondPhrasesCanBeMadeAgain(t *testing.T) {
	oracle.MakeAgain(t, "phrases-lilypond.jsonl.gz", "phrases-lilypond.ly")
}
