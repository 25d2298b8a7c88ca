package fingering

import (
	"bytes"
	"encoding/json"
	"os"
	"slices"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/tablature"
	"surefret/drills/theory"
	"surefret/testdata/oracle"
)

// The melodies of testdata/parts, by the key that they are written in.
var melodies = map[string]string{"ode": "G", "maman": "C", "round": "G", "sleeves": "Am", "britain": "G", "air": "F"}

func readMelody(t testing.TB, name string) *tablature.Tab {
	t.Helper()
	text, err := os.ReadFile("../../../testdata/parts/" + name + ".txt")
	must(t, err)
	tab, err := tablature.Parse(string(text), guitar)
	must(t, err)
	return tab
}

// The files hold what LilyPond was given, and every move to every key keeps
// the melody, but for notes that are said to change their octave.
func TestMelodiesKeepTheirPitchesInEveryKey(t *testing.T) {
	sets := map[string][]int{} // MIDI key numbers
	for line := range bytes.Lines(oracle.Table(t, "fretboard-lilypond.jsonl")) {
		var n struct {
			Set  string
			MIDI int
		}
		must(t, json.Unmarshal(line, &n))
		sets[n.Set] = append(sets[n.Set], n.MIDI)
	}
	for name, home := range melodies {
		p := readMelody(t, name).Part()
		if len(p.Events) != len(sets[name]) {
			t.Fatalf("%s: %d notes in the file, %d at LilyPond", name, len(p.Events), len(sets[name]))
		}
		from := key(t, home)
		for _, to := range theory.KeysOf(from.Mode) {
			for _, how := range []How{"", Refingered} {
				all, err := Move(p, from, to, Asked{How: how})
				must(t, err)
				m := all[0]
				if m.Semitones%12 != (to.Tonic.PitchClass()-from.Tonic.PitchClass())%12 &&
					(m.Semitones+12)%12 != (to.Tonic.PitchClass()-from.Tonic.PitchClass()+12)%12 {
					t.Errorf("%s to %s goes %d semitones", name, to, m.Semitones)
				}
				told := map[int]bool{}
				for _, problem := range m.Problems {
					if problem.kind == octaveChange {
						told[problem.event] = true
					}
				}
				for i, e := range m.Events {
					want := sets[name][i] + m.Semitones
					got := guitar.MIDI(e.Notes[0].Position)
					if got != want && !(told[i] && (got-want)%12 == 0) {
						t.Fatalf("%s to %s, %s, note %d sounds %d, want %d", name, to, how, i, got, want)
					}
				}
			}
		}
	}
}

// readPhrases returns the phrases of phrases-lilypond.jsonl as LilyPond writes them,
// and where it puts each again, moved so many half steps.
func readPhrases(t testing.TB) (phrases []fretboard.Part, again [][][]fretboard.Position, by []int) {
	t.Helper()
	sounding := func(e fretboard.Event) int { return guitar.MIDI(e.Notes[0].Position) }
	var events []fretboard.Event
	for line := range bytes.Lines(oracle.Table(t, "phrases-lilypond.jsonl.gz")) {
		var n struct{ Beat, String, Fret int }
		must(t, json.Unmarshal(line, &n))
		for len(events) <= n.Beat {
			events = append(events, fretboard.Event{Bar: 1 + len(events)%16/4, Beats: 1})
		}
		e := &events[n.Beat]
		e.Notes = append(e.Notes, fretboard.Fretted{Position: fretboard.Position{String: n.String, Fret: n.Fret}})
		slices.SortFunc(e.Notes, func(a, b fretboard.Fretted) int { return guitar.MIDI(a.Position) - guitar.MIDI(b.Position) })
	}
	neck := guitar
	neck.Frets = 24 // LilyPond's ends nowhere
	for ; len(events) > 0; events = events[16:] {
		p := fretboard.Part{Neck: neck, Events: events[:8:8]}
		var places [][]fretboard.Position
		for _, e := range events[8:16] {
			var at []fretboard.Position
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
				places := make([]fretboard.Position, len(again[i][k]))
				ph.graph.places(at.state, ph.events[k].sound.midi, places)
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
