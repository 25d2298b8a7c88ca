package fretboard

import (
	"strings"
	"testing"

	"surefret/drills/theory"
)

// Common practice, no source. Frets run from string 6 to string 1.
func TestShapesThatEveryPlayerKnows(t *testing.T) {
	for _, c := range []struct{ name, root, frets string }{
		{"tenth-6-major", "G", "3 x x 4 x x"},
		{"tenth-6-major", "D", "10 x x 11 x x"},
		{"tenth-6-major", "A", "5 x x 6 x x"},
		{"tenth-6-minor", "B", "7 x x 7 x x"},
		{"tenth-6-minor", "C#", "9 x x 9 x x"},
		{"tenth-5-major", "C", "x 3 x x 5 x"},
		{"tenth-5-minor", "C", "x 3 x x 4 x"},
		{"d-form-top-major", "D", "x x x 2 3 2"},
		{"d-form-top-major", "G", "x x x 7 8 7"},
		{"d-form-top-major", "A", "x x x 9 10 9"},
		{"d-form-top-major", "D", "x x x 14 15 14"},
		{"octave-5-3", "D", "x 5 x 7 x x"},
		{"octave-5-3", "B", "x 2 x 4 x x"},
		{"octave-6-4", "A", "5 x 7 x x x"},
		{"octave-4-2", "E", "x x 2 x 5 x"},
		{"octave-3-1", "A", "x x x 2 x 5"},
		{"power-6", "G", "3 5 x x x x"},
		{"power-5-octave", "D", "x 5 7 7 x x"},
		{"power-6-inverted", "C", "3 3 x x x x"},
		{"third-3-2-major", "C", "x x x 5 5 x"},
		{"third-5-4-minor", "D", "x 5 3 x x x"},
		{"sixth-3-1-major", "C", "x x x 5 x 5"},
		{"sixth-4-2-minor", "E", "x x 2 x 1 x"},
		{"e-form-major", "F", "1 3 3 2 1 1"},
		{"e-form-minor", "G", "3 5 5 3 3 3"},
		{"e-form-7", "F", "1 3 1 2 1 1"},
		{"e-form-m7", "F", "1 3 1 1 1 1"},
		{"e-form-maj7", "F", "1 3 2 2 1 1"},
		{"e-form-sus4", "G", "3 5 5 5 3 3"},
		{"e-form-major", "E", "0 2 2 1 0 0"},
		{"a-form-major", "Bb", "x 1 3 3 3 1"},
		{"a-form-minor", "Bb", "x 1 3 3 2 1"},
		{"a-form-7", "Bb", "x 1 3 1 3 1"},
		{"a-form-m7", "B", "x 2 4 2 3 2"},
		{"a-form-maj7", "C", "x 3 5 4 5 3"},
		{"a-form-sus2", "A", "x 0 2 2 0 0"},
		{"a-form-add9", "A", "x 0 2 4 2 0"},
		{"c-form-major", "C", "x 3 2 0 1 0"},
		{"c-form-add9", "C", "x 3 2 0 3 0"},
		{"c-form-maj7", "C", "x 3 2 0 0 0"},
		{"c-form-major", "D", "x 5 4 2 3 2"},
		{"g-form-major", "G", "3 2 0 0 0 3"},
		{"g-form-7", "G", "3 2 0 0 0 1"},
		{"g-form-major", "A", "5 4 2 2 2 5"},
		{"d-form-major", "D", "x x 0 2 3 2"},
		{"d-form-m7", "D", "x x 0 2 1 1"},
		{"d-form-sus2", "D", "x x 0 2 3 0"},
		{"triad-321-major-root", "C", "x x x 5 5 3"},
		{"triad-432-minor-second", "A", "x x 2 2 1 x"},
		{"over-third-6-major", "D", "2 x 0 2 3 x"},
		{"over-third-5-major", "G", "x 2 0 0 0 x"},
		{"over-third-5-major-wide", "G", "x 2 x 0 3 x"},
		{"over-third-5-minor", "A", "x 3 2 2 1 x"},
		{"over-fifth-6-major", "C", "3 3 2 0 1 0"},
		{"over-fifth-6-a-major", "B", "2 2 4 4 4 2"},
		{"over-fifth-6-a-minor", "B", "2 2 4 4 3 2"},
		{"over-fifth-5-major", "D", "x 0 0 2 3 2"},
		{"over-fifth-5-minor", "D", "x 0 0 2 3 1"},
		{"held-1-5-over-1", "G", "3 2 0 0 3 3"},
		{"held-1-5-over-4", "G", "x 3 2 0 3 3"},
		{"held-1-5-over-5", "G", "x x 0 2 3 3"},
		{"held-1-5-over-6", "G", "0 2 2 0 3 3"},
		{"held-1-5-over-2", "G", "x 0 2 0 3 3"},
		{"held-1-over-6", "C", "x 0 2 2 1 x"},
		{"pentatonic-1-minor", "A", "5,8 5,7 5,7 5,7 5,8 5,8"},
		{"pentatonic-2-minor", "A", "8,10 7,10 7,10 7,9 8,10 8,10"},
		{"pentatonic-4-major", "C", "3,5 3,5 2,5 2,5 3,5 3,5"}, // from G, the fifth
	} {
		found := false
		for _, p := range shape(t, c.name).On(guitar, note(t, c.root)) {
			found = found || p.String() == c.frets
		}
		if !found {
			t.Errorf("%s in %s is never %s: %v", c.name, c.root, c.frets, shape(t, c.name).On(guitar, note(t, c.root)))
		}
	}
}

// Common practice, no source: how forms are taught that the books of chords do not have.
func TestFingersOfTheFormsAsTaught(t *testing.T) {
	for _, c := range []struct{ name, root, frets, fingers string }{
		{"d-form-top-major", "D", "x x x 2 3 2", "1 3 2"},
		{"power-5-octave", "D", "x 5 7 7 x x", "1 3 4"},
		{"octave-6-4", "G", "3 x 5 x x x", "1 3"},
		{"tenth-6-major", "G", "3 x x 4 x x", "1 2"},
		{"triad-321-major-first", "A", "x x x 6 5 5", "2 1 1"}, // the index flat
		{"triad-432-major-second", "C", "x x 5 5 5 x", "1 1 1"},
		{"triad-321-minor-first", "A", "x x x 5 5 5", "1 1 1"},
		{"triad-321-major-root", "C", "x x x 5 5 3", "3 4 1"},
		{"over-third-5-major", "A", "x 4 2 2 2 x", "3 1 1 1"},
		{"power-6-inverted", "C", "3 3 x x x x", "1 1"},
		{"held-1-5-over-4", "G", "x 3 2 0 3 3", "2 1 0 3 4"},
		{"over-fifth-6-major", "C", "3 3 2 0 1 0", "3 4 2 0 1 0"},
		{"over-fifth-5-major", "F", "x 3 3 5 6 5", "1 1 2 4 3"},
	} {
		seen := false
		for _, p := range shape(t, c.name).On(guitar, note(t, c.root)) {
			if p.String() != c.frets {
				continue
			}
			var fingers []int
			for _, n := range p.Notes {
				fingers = append(fingers, n.Finger)
			}
			seen = true
			if got := spellInts(fingers); got != c.fingers {
				t.Errorf("%s in %s is fingered %s, want %s", c.name, c.root, got, c.fingers)
			}
		}
		if !seen {
			t.Errorf("%s in %s is never %s", c.name, c.root, c.frets)
		}
	}
	p := shape(t, "e-form-major").At(guitar, note(t, "F"), 1)
	if len(p.Barres) != 1 || p.Barres[0] != (Barre{Fret: 1, From: 6, To: 1}) {
		t.Errorf("F is barred %v, want one barre from string 6 to 1", p.Barres)
	}
	if p.Span != 2 {
		t.Errorf("F spans %d frets, want 2", p.Span)
	}
}

func TestUnplayablePlacesSayWhy(t *testing.T) {
	p := shape(t, "c-form-major").At(guitar, note(t, "A#"), 1)
	if p.Why != "string 3 would lie 2 frets below the nut" {
		t.Errorf("a C form at fret 1: %q", p.Why)
	}
	if p := shape(t, "e-form-major").At(guitar, note(t, "D"), 22); !strings.Contains(p.Why, "the neck ends at 22") {
		t.Errorf("an E form at the last fret: %q", p.Why)
	}
	narrow := guitar
	narrow.Stretch = 3
	if p := shape(t, "e-form-sus2").At(narrow, note(t, "G"), 3); p.Why != "it needs a stretch of 4 frets, and your hand is set to 3" {
		t.Errorf("a wide shape for a small hand: %q", p.Why)
	}
	bass := Fretboard{Tuning: Bass, Frets: 20}
	err := shape(t, "e-form-major").Fits(bass)
	oneSentence(t, err)
	if got := shape(t, "e-form-major").On(bass, note(t, "G")); got != nil {
		t.Errorf("a six-string shape was laid on a bass: %v", got)
	}
	openD := Fretboard{Tuning: OpenD, Frets: 22}
	refused := 0
	for _, r := range Shapes {
		if err := r.Fits(openD); err != nil && r.Tones[0].String <= 6 {
			refused++
			oneSentence(t, err)
			if !strings.Contains(err.Error(), "stretch") && !strings.Contains(err.Error(), "fingers") && !strings.Contains(err.Error(), "is no form of") && !strings.Contains(err.Error(), "more of the hand than") {
				t.Errorf("refused in open D for no reason of the hand: %v", err)
			}
		}
	}
	if refused == 0 {
		t.Error("open D refuses no shape, though its strings 4 and 3 lie a third apart")
	}
}

func TestEveryShapeIsPlayableInStandardTuningInEveryKey(t *testing.T) {
	names := map[string]bool{}
	for _, r := range Shapes {
		if names[r.Name] {
			t.Errorf("two shapes are called %s", r.Name)
		}
		names[r.Name] = true
		if err := r.Fits(guitar); err != nil {
			// A major sixth on strings 3 and 2 lies five frets apart.
			if r.Tones[0].String <= 6 && r.Name != "sixth-3-2-major" {
				t.Errorf("refused in standard tuning: %v", err)
			}
			continue
		}
		for _, root := range strings.Fields("C Db D Eb E F F# G Ab A Bb B") {
			playable := false
			for _, p := range r.On(guitar, note(t, root)) {
				playable = playable || p.Playable()
			}
			if !playable {
				t.Errorf("%s in %s cannot be played", r.Name, root)
			}
		}
	}
}

func TestUnknownShapesOfferTheNearest(t *testing.T) {
	_, err := Shape("tenth-6-minr")
	oneSentence(t, err)
	if !strings.Contains(err.Error(), "tenth-6-minor") {
		t.Errorf("the nearest name is missing: %v", err)
	}
	if _, err := Shape("tenth"); strings.Count(err.Error(), "tenth-") != 3 {
		t.Errorf("a name cut short: %v", err)
	}
	if r, err := Shape(" E-Form-m7 "); err != nil || r.Name != "e-form-m7" {
		t.Errorf("a name in other case: %v %v", r.Name, err)
	}
}

func shape(t *testing.T, name string) Recipe {
	t.Helper()
	r, err := Shape(name)
	must(t, err)
	return r
}

func note(t *testing.T, s string) theory.Note {
	t.Helper()
	n, err := theory.ParseNote(s)
	must(t, err)
	return n
}
