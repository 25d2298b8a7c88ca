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
		if err := json.Unmarshal(line, &n); err != nil {
			t.Fatal(err)
		}
		sets[n.Set] = append(sets[n.Set], n)
	}
	return sets
}

// The tunings that LilyPond knows by its own names are ours, fret by fret.
func TestFretsAgreeWithLilypond(t *testing.T) {
	sets := readLilypond(t)
	compared := 0
	for _, name := range []string{"standard", "drop D", "DADGAD", "open G", "open D", "seven strings", "bass", "five-string bass"} {
		tuning, err := ParseTuning(name)
		if err != nil {
			t.Fatal(err)
		}
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
	if err != nil {
		t.Fatal(err)
	}
	tab, err := ParseTab(string(text), guitar)
	if err != nil {
		t.Fatal(err)
	}
	return tab
}

func TestRefingeringNeverCostsMoreThanLilypondsChoice(t *testing.T) {
	sets := readLilypond(t)
	for name := range melodies {
		var part []Sound
		var theirs [][]Position
		for _, n := range sets[name] {
			part = append(part, Sound{MIDI: []int{n.MIDI}, Beats: n.Beats})
			theirs = append(theirs, []Position{{String: n.String, Fret: n.Fret}})
		}
		for _, effort := range []*effort{&defaultEffort, &closedEffort} {
			w := wish{effort: effort}
			ours, err := guitar.fingering(part, w)
			if err != nil {
				t.Fatal(err)
			}
			cost, err := costOf(part, theirs, w)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%s: %d notes, ours %.2f, LilyPond's %.2f", name, len(part), ours.Cost, cost)
			if ours.Cost > cost+1e-9 {
				t.Errorf("%s: ours costs %.2f, LilyPond's %.2f", name, ours.Cost, cost)
			}
			if own, err := costOf(part, ours.Places, w); err != nil || own > ours.Cost+1e-9 || own < ours.Cost-1e-9 {
				t.Errorf("%s: our own path is said to cost %.3f and costs %.3f (%v)", name, ours.Cost, own, err)
			}
		}
	}
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
			for _, how := range []How{SameStrings, Refingered} {
				m, err := p.Move(from, to, how)
				if err != nil {
					t.Fatal(err)
				}
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
