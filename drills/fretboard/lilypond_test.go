package fretboard_test

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// testdata/oracle/fretboard-lilypond.jsonl is what LilyPond 2.24 says; the .ly
// file beside it makes it.
const oracle = "../../testdata/oracle"

type lilypondNote struct {
	Set    string
	MIDI   int
	String int
	Fret   int
	Beats  float64
}

func readLilypond(t testing.TB) map[string][]lilypondNote {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(oracle, "fretboard-lilypond.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	sets := map[string][]lilypondNote{}
	for line := range bytes.Lines(data) {
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
		tuning, err := fretboard.ParseTuning(name)
		if err != nil {
			t.Fatal(err)
		}
		fb := fretboard.Fretboard{Tuning: tuning, Frets: 22}
		frets := 13 // open to the twelfth
		if name == "standard" {
			frets = 23
		}
		if want := frets * tuning.Strings(); len(sets[name]) != want {
			t.Errorf("%s: LilyPond gives %d places, want %d", name, len(sets[name]), want)
		}
		for _, n := range sets[name] {
			p := fretboard.Position{String: n.String, Fret: n.Fret}
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

func readMelody(t testing.TB, name string) *fretboard.Tab {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("../../testdata/parts", name+".txt"))
	if err != nil {
		t.Fatal(err)
	}
	tab, err := fretboard.ParseTab(string(text), guitar)
	if err != nil {
		t.Fatal(err)
	}
	return tab
}

func TestRefingeringNeverCostsMoreThanLilypondsChoice(t *testing.T) {
	sets := readLilypond(t)
	for name := range melodies {
		var part []fretboard.Sound
		var theirs [][]fretboard.Position
		for _, n := range sets[name] {
			part = append(part, fretboard.Sound{MIDI: []int{n.MIDI}, Beats: n.Beats})
			theirs = append(theirs, []fretboard.Position{{String: n.String, Fret: n.Fret}})
		}
		for _, effort := range []*fretboard.Effort{&fretboard.DefaultEffort, &fretboard.ClosedEffort} {
			w := fretboard.Wish{Effort: effort}
			ours, err := guitar.Refinger(part, w)
			if err != nil {
				t.Fatal(err)
			}
			cost, err := guitar.Cost(part, theirs, w)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%s: %d notes, ours %.2f, LilyPond's %.2f", name, len(part), ours.Cost, cost)
			if ours.Cost > cost+1e-9 {
				t.Errorf("%s: ours costs %.2f, LilyPond's %.2f", name, ours.Cost, cost)
			}
			if own, err := guitar.Cost(part, ours.Places, w); err != nil || own > ours.Cost+1e-9 || own < ours.Cost-1e-9 {
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
			for _, how := range []fretboard.How{fretboard.SameStrings, fretboard.Refingered} {
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
					if problem.Kind == fretboard.OctaveChange {
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
	if testing.Short() {
		skipUnlessCI(t, "making the table takes seconds")
	}
	lilypond, err := exec.LookPath("lilypond")
	if err != nil {
		skipUnlessCI(t, "lilypond is not installed")
	}
	maker, err := filepath.Abs(filepath.Join(oracle, "fretboard-lilypond.ly"))
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(lilypond, "-dno-print-pages", "--loglevel=WARN", maker)
	cmd.Dir = t.TempDir()
	made, err := cmd.Output()
	if err != nil {
		t.Fatalf("running the maker: %v", err)
	}
	table, err := os.ReadFile(filepath.Join(oracle, "fretboard-lilypond.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(made, table) {
		t.Error("fretboard-lilypond.ly makes another table than fretboard-lilypond.jsonl")
	}
}

func skipUnlessCI(t *testing.T, why string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatal(why)
	}
	t.Skip(why)
}
