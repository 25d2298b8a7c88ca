package fretboard

import (
	"slices"
	"strings"
	"testing"
)

// Frets as players of these tunings are shown them: common practice, no source.
func TestATuningHasWhatItsPlayersUse(t *testing.T) {
	for _, c := range []struct{ tuning, name, root, frets, sounds string }{
		{"open G", "barre-5-major", "C", "x 5 5 5 5 5", "C"},
		{"open G", "barre-4-relative-minor", "Em", "x x 2 0 0 2", "Em"},
		{"open G", "barre-5-minor", "Am", "x 2 2 2 1 x", "Am"},
		{"open D", "barre-6-major", "A", "7 7 7 7 7 7", "A"},
		{"open D", "barre-5-relative-minor", "Bm", "x 2 0 0 2 0", "Bm"},
		{"open E", "barre-6-major", "B", "7 7 7 7 7 7", "B"},
		{"open E", "barre-5-relative-minor", "C#m", "x 2 0 0 2 0", "C#m"},
		{"DADGAD", "modal-6", "D", "0 0 0 2 0 0", "D5"},
		{"DADGAD", "modal-6-sus4", "G", "5 5 5 5 5 5", "Gsus4"},
		{"DADGAD", "drone-6-major", "G", "5 5 5 4 0 0", ""},
		{"DADGAD", "drone-6-minor", "Em", "2 2 2 0 0 0", ""},
		{"DADGAD", "drone-5-octave", "B", "x 2 4 4 0 0", ""},
		{"DADGAD", "drone-4-major", "G", "x x 5 4 0 0", ""},
		{"DADGAD", "drone-4-minor", "E", "x x 2 0 0 0", ""},
		{"drop D", "power-6", "F", "3 3 x x x x", "F5"},
		{"drop D", "power-6-octave", "G", "5 5 5 x x x", "G5"},
		{"drop C", "power-6-octave", "F", "5 5 5 x x x", "F5"},
		{"drop A", "power-7-octave", "D", "5 5 5 x x x x", "D5"},
		{"double drop D", "power-6-octave", "G", "5 5 5 x x x", "G5"},
		{"seven strings", "grip-7-1-5-1-3", "D", "3 5 5 4 x x x", "D"},
	} {
		tuning, err := ParseTuning(c.tuning)
		must(t, err)
		fb := Fretboard{Tuning: tuning, Frets: 22}
		at := slices.IndexFunc(ShapesOn(fb), func(r Recipe) bool { return r.Name == c.name })
		if at < 0 {
			t.Errorf("%s lacks %s", c.tuning, c.name)
			continue
		}
		r := ShapesOn(fb)[at]
		root := note(t, strings.TrimSuffix(c.root, "m"))
		var frets []string
		for _, p := range r.On(fb, root) {
			frets = append(frets, p.String())
		}
		if !slices.Contains(frets, c.frets) {
			t.Errorf("%s: %s over %s lies at %q, want %s", c.tuning, c.name, c.root, frets, c.frets)
		}
		if chord, ok := r.Chord(root); ok && chord.String() != c.sounds || !ok && c.sounds != "" {
			t.Errorf("%s: %s over %s is %s, want %s", c.tuning, c.name, c.root, chord, c.sounds)
		}
		if named, err := fb.Shape(c.name); err != nil || named.Words != r.Words {
			t.Errorf("%s: %s is found as %q: %v", c.tuning, c.name, named.Words, err)
		}
		if err := CheckInSong(c.name); err != nil {
			t.Errorf("a song cannot name %s: %v", c.name, err)
		}
	}
}

// Every note of a shape that a tuning has of its own, or that was found for it, is put by
// LilyPond's tablature at the same fret.
func TestShapesOfTuningsAgreeWithLilypond(t *testing.T) {
	sets := readLilypond(t)
	compared := 0
	for _, name := range []string{"drop D", "drop C", "DADGAD", "open G", "open D", "seven strings", "half step down"} {
		tuning, _ := ParseTuning(name)
		sounds := map[Position]int{}
		for _, n := range sets[name] {
			sounds[Position{n.String, n.Fret}] = n.MIDI
		}
		fb := Fretboard{Tuning: tuning, Frets: 12}
		for _, r := range ShapesOn(fb) {
			for _, p := range r.On(fb, note(t, "Bb")) {
				if !p.Playable() {
					continue
				}
				root, found := sounds[Position{r.Root, p.Fret}]
				for i, tone := range r.Tones {
					if got := sounds[p.Notes[i].Position]; !found || got != root+tone.Above.Semitones {
						t.Errorf("%s: %s at %s sounds %d at LilyPond, want %d above %d", name, r.Name, p, got, tone.Above.Semitones, root)
					}
					compared++
				}
			}
		}
	}
	if compared < 2000 {
		t.Errorf("only %d notes were compared", compared)
	}
}

// A form of standard tuning that another bends is left out, or measured and found to take
// more; what is found instead is called by its degrees, and there are twelve at most.
func TestBentFormsAreLeftOut(t *testing.T) {
	for _, tuning := range slices.Concat(Tunings, rarer) {
		fb := Fretboard{Tuning: tuning, Frets: 22}
		usual, _ := tuning.usual()
		found := 0
		for _, r := range ShapesOn(fb) {
			here, taught := r.middle(fb), r.middle(Fretboard{Tuning: usual, Frets: 22})
			switch {
			case r.Family == foundGrips:
				found++
				if here.Span > 3 || here.effort() > 1.3 {
					t.Errorf("%s: %s, %s, takes %.1f", tuning.Name, r.Name, here, here.effort())
				}
			case r.Bass || r.Tuned || slices.Equal(here.frets(), taught.frets()):
			case strings.HasSuffix(r.Family, " form"):
				t.Errorf("%s has %s at %s", tuning.Name, r.Name, here)
			case here.effort() > taught.effort()+bearable:
				t.Errorf("%s: %s at %s takes %.1f, not %.1f", tuning.Name, r.Name, here, here.effort(), taught.effort())
			}
		}
		if found > 12 {
			t.Errorf("%s: %d grips are found", tuning.Name, found)
		}
		if _, err := fb.Shape("e-form-major"); err != nil {
			t.Errorf("%s: %v", tuning.Name, err)
		}
	}
	openG := Fretboard{Tuning: OpenG, Frets: 22}
	oneSentence(t, shape(t, "e-form-major").Fits(openG))
	oneSentence(t, shape(t, "third-6-5-major").Fits(Fretboard{Tuning: DropD, Frets: 22}))
}
